"""The film file: timing, structure, colour and whole-or-not-at-all writing.

Structure is checked against GIF89a (1990): section 23 as quoted in the project's collected
facts, other sections from memory. The file is read back twice, by the small reader beside this
file and by Pillow.
"""

import errno
import itertools
import os
import warnings

import gif89a
import imageio.v3 as imageio
import numpy as np
import pytest
from films import write_film
from published import read_gif

from fxstudio.colour import lamp_rgb, srgb8, temperature_to_xyz
from fxstudio.errors import InputError, WriteError
from fxstudio.film.indexed import holding, reduction
from fxstudio.film.indexed.palette import EvenSpace, Palette, choose_colours, evenly
from fxstudio.film.quality import GOOD
from fxstudio.film.take import telling_frames
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.progress import Progress, StoppedError
from fxstudio.scenes.catalogue import draw_scene, find_scene
from fxstudio.scenes.render import Renderer
from fxstudio.whole_files import replacing

with warnings.catch_warnings():  # it warns of plotting libraries that nothing here needs
    warnings.simplefilter("ignore")
    import colour

FOREVER = bytes.fromhex("21 ff 0b 4e 45 54 53 43 41 50 45 32 2e 30 03 01 00 00 00")
"""The loop block with count 0, byte for byte as in the project's collected facts."""


def fire(count: int = 12, height: int = 60, width: int = 90):
    """A film of a fire in a dim room: a function from frame number to picture."""
    chance = np.random.default_rng(5)
    y, x = np.mgrid[0:height, 0:width] / height
    room = np.stack([0.010 + 0.010 * y, 0.013 + 0.012 * y, 0.022 + 0.02 * x], axis=-1)
    coal = 1 + 0.15 * chance.standard_normal((height, width))
    light = np.exp(-((x - 1) ** 2 + (y - 0.7) ** 2) / 0.08) * coal.clip(0.3)
    lamp = light[..., None] * [1.0, 0.35, 0.04]
    brightness = 0.55 + 0.4 * np.sin(2 * np.pi * np.arange(count) / count)

    def frame_at(number: int) -> np.ndarray:
        return srgb8(room + brightness[number] * lamp)

    return frame_at


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    path = tmp_path_factory.mktemp("film") / "fire.gif"
    frame_at, delays = fire(), frame_delays(24, 0.5)
    report = write_film(path, frame_at, delays, comment="Banked for the night")
    return path, report, delays, np.stack([frame_at(n) for n in range(12)])


# Timing -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fps", "first"),
    [
        (50, [2, 2, 2, 2]),  # the fastest that viewers honour: collected facts, section 9
        (25, [4, 4, 4, 4]),
        (20, [5, 5, 5, 5]),
        (12.5, [8, 8, 8, 8]),
        (30, [3, 4, 3, 3, 4, 3]),  # arithmetic in the collected facts, section 9
        (100 / 3, [3, 3, 3, 3]),
        (24, [4, 4, 4, 5, 4, 4, 4, 4, 5]),
    ],
)
def test_delays_begin_as_worked_out_by_hand(fps, first):
    assert frame_delays(fps, 6)[: len(first)].tolist() == first


def test_a_second_of_24_frames_is_a_hundred_hundredths():
    assert len(frame_delays(24, 1)) == 24
    assert frame_delays(24, 1).sum() == 100


@pytest.mark.parametrize("fps", [50, 49.9, 48, 40, 30, 29.97, 25, 24, 18, 12.5, 10, 7, 1])
@pytest.mark.parametrize("duration_s", [1, 2.4, 2.997, 3.33, 6, 7.01, 60])
def test_delays_are_whole_long_enough_and_sum_to_the_duration(fps, duration_s):
    delays = frame_delays(fps, duration_s)
    assert delays.dtype.kind == "i"
    assert delays.min() >= 2
    assert delays.sum() == round(100 * duration_s)
    assert abs(len(delays) - fps * duration_s) <= 1
    even = np.arange(len(delays)) * delays.sum() / 100 / len(delays)
    assert np.abs(frame_times_s(delays) - even).max() <= 0.0051


def test_frames_begin_where_the_one_before_ends():
    assert frame_times_s([3, 4, 3]).tolist() == [0, 0.03, 0.07]


@pytest.mark.parametrize("fps", [0, -25, 50.1, 100, float("nan"), float("inf")])
def test_an_impossible_rate_is_refused(fps):
    with pytest.raises(InputError, match="'fps': this frame rate cannot be kept") as caught:
        frame_delays(fps, 6)
    assert "allowed: more than 0, at most 50" in str(caught.value)
    assert "do:      use 25" in str(caught.value)


@pytest.mark.parametrize("duration_s", [0, 0.01, 0.019, -1, float("nan"), float("inf")])
def test_a_duration_too_short_is_refused(duration_s):
    with pytest.raises(InputError, match="'duration_s': this duration holds no frame") as caught:
        frame_delays(25, duration_s)
    assert "allowed: 0.04 to 655.35 s at 25 fps" in str(caught.value)


def test_a_duration_longer_than_a_16_bit_delay_is_refused():
    with pytest.raises(InputError, match="this duration is too long"):
        frame_delays(25, 655.36)
    assert frame_delays(1, 655.35).sum() == 65535


# Structure --------------------------------------------------------------------------------


def test_the_file_is_built_as_gif89a_says(film):
    path, report, delays, frames = film
    data = path.read_bytes()
    assert data[:6] == bytes.fromhex("47 49 46 38 39 61")
    assert data[-1] == 0x3B
    gif = gif89a.read(data)
    assert (gif.height, gif.width) == frames.shape[1:3]
    assert len(gif.pictures) <= len(delays) == report.frames
    assert sum(picture.delay_cs for picture in gif.pictures) == sum(delays)
    assert report.colours < len(gif.table) <= 256
    assert gif.applications == [FOREVER]
    assert gif.comments == [b"Banked for the night"]


def test_each_image_has_one_control_block_and_no_table_of_its_own(film):
    path, report, _, _ = film
    for picture in gif89a.read(path.read_bytes()).pictures:
        assert picture.delay_cs >= 2
        assert not picture.local_table
        assert not picture.interlaced
        # Section 23: disposal 1 leaves the picture in place, bit 0 flags transparency.
        assert picture.control == bytes(
            [0x21, 0xF9, 4, 1 << 2 | 1, picture.delay_cs, 0, report.colours, 0]
        )


def test_the_first_image_is_whole_so_the_loop_closes(film):
    path, report, _, frames = film
    first = gif89a.read(path.read_bytes()).pictures[0]
    assert (first.left, first.top, first.height, first.width) == (0, 0, *frames.shape[1:3])
    assert first.numbers().max() < report.colours


def test_later_images_hold_only_what_changes(film):
    path, report, _, frames = film
    later = gif89a.read(path.read_bytes()).pictures[1:]
    pixels = sum(np.count_nonzero(p.numbers() != report.colours) for p in later)
    assert pixels < 0.7 * len(later) * frames[0, ..., 0].size


def test_both_readers_see_the_same_film(film):
    path, report, delays, frames = film
    seen, seen_delays, info = read_gif(path)
    gif = gif89a.read(path.read_bytes())
    assert seen.shape[1:] == frames.shape[1:]
    assert seen_delays.tolist() == [picture.delay_cs for picture in gif.pictures]
    assert seen_delays.sum() == sum(delays)
    assert info["loop"] == 0
    assert info["comment"] == b"Banked for the night"
    assert np.array_equal(seen, list(gif.frames()))
    assert report.duration_s == 0.5
    assert report.bytes == path.stat().st_size


def test_no_comment_unless_asked(tmp_path):
    write_film(tmp_path / "a.gif", fire(), [4, 4])
    assert gif89a.read((tmp_path / "a.gif").read_bytes()).comments == []


def test_the_same_film_gives_the_same_bytes(film, tmp_path):
    path, _, delays, _ = film
    write_film(tmp_path / "b.gif", fire(), delays, comment="Banked for the night")
    assert (tmp_path / "b.gif").read_bytes() == path.read_bytes()


def test_frames_that_stay_alike_keep_the_whole_duration(tmp_path):
    still = fire()(0)
    report = write_film(tmp_path / "still.gif", lambda _: still, [4, 5, 6])
    gif = gif89a.read((tmp_path / "still.gif").read_bytes())
    assert sum(p.delay_cs for p in gif.pictures) == 15
    assert gif.applications == [FOREVER]
    assert report.duration_s == 0.15


@pytest.mark.parametrize("shape", [(1, 1, 3), (1, 40, 3), (40, 1, 3), (7, 13, 3)])
def test_tiny_pictures(tmp_path, shape):
    tones = np.linspace(0, 255, 4).astype(np.uint8)
    write_film(tmp_path / "tiny.gif", lambda n: np.full(shape, tones[n]), [2, 2, 2, 2])
    gif = gif89a.read((tmp_path / "tiny.gif").read_bytes())
    assert np.allclose([int(f.max()) for f in gif.frames()], tones, atol=1)


def test_a_renderer_may_reuse_one_array(film, tmp_path):
    path, _, delays, frames = film
    canvas = np.empty_like(frames[0])

    def frame_at(number):
        canvas[:] = frames[number]
        return canvas

    write_film(tmp_path / "c.gif", frame_at, delays, comment="Banked for the night")
    assert (tmp_path / "c.gif").read_bytes() == path.read_bytes()


def test_progress_counts_every_frame(tmp_path):
    """Once while they are looked at, and once while they are packed."""
    seen = []
    write_film(tmp_path / "p.gif", fire(), [4] * 5, progress=Progress(seen.append))
    assert seen == pytest.approx(np.arange(1, 11) / 10)


@pytest.mark.parametrize("share", [0.1, 1.0])
def test_a_film_that_is_stopped_is_not_written(tmp_path, share):
    """While frames are drawn, and once they are all."""
    progress = Progress(lambda done: progress.stop() if done == share else None)
    with pytest.raises(StoppedError):
        write_film(tmp_path / "p.gif", fire(), [4] * 5, progress=progress)
    assert progress.share == share
    assert left_in(tmp_path) == []


# Colour -----------------------------------------------------------------------------------


def ciede2000(a, b):
    """CIEDE2000 of sRGB 0..255 arrays [..., 3]. Source: ISO/CIE 11664-6 in colour-science."""
    lab = [colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.asarray(rgb) / 255)) for rgb in (a, b)]
    return colour.delta_E(*lab, method="CIE 2000")


def test_colours_stay_within_what_the_eye_forgives(film):
    path, _, delays, frames = film
    error = ciede2000(frames, read_gif(path).at(frame_times_s(delays)))
    assert error.mean() <= 1.2
    assert np.percentile(error, 95) <= 2.5
    assert error.max() <= 6.0


def test_a_cab_is_small_and_true(tmp_path):
    """Beside imageio's own way of writing the same frames; bench_film.py has the full size."""
    lamps = [lamp_rgb(temperature_to_xyz(kelvin)) for kelvin in (1500, 1900, 2100)]
    renderer = Renderer(draw_scene(find_scene("cab"), 240, 160), ["bed", "flames", "door"], lamps)
    turn = 2 * np.pi * np.arange(50) / 50
    light = np.stack([np.full(50, 0.35), 0.5 + 0.3 * np.sin(2 * turn), 0.4 + 0.2 * np.cos(turn)], 1)
    frames = [renderer.frame(row) for row in light]

    report = write_film(
        tmp_path / "ours.gif", frames.__getitem__, [4] * 50, sample=telling_frames(light)
    )
    imageio.imwrite(tmp_path / "plain.gif", frames, duration=40, loop=0)
    assert (tmp_path / "plain.gif").stat().st_size > 4 * report.bytes
    gif = gif89a.read((tmp_path / "ours.gif").read_bytes())
    error = ciede2000(frames[::7], gif.shown_at(range(0, 200, 28)))
    assert error.mean() <= 1.1
    assert np.percentile(error, 95) <= 2.5


def test_no_ghost_is_left_behind():
    """What stands still is never farther off than allowed, apart from the palette's steps."""
    frames = np.stack([fire(40)(n) for n in range(40)])
    space = EvenSpace()
    runs = reduction.Runs(frames, space, GOOD.join_cost)
    wanted = np.stack([runs.colours(frame) for frame in frames])
    palette, blocks = Palette(choose_colours(wanted.reshape(-1, 3))), holding.Blocks.of(runs)
    phases = np.zeros(40, int)
    held = holding.hold_still(wanted, runs, blocks, palette, space, GOOD, phases)
    shown = palette.colours[held].astype(int)
    exact = palette.colours[[palette.numbers(w) for w in wanted]].astype(int)
    assert (shown != exact).any()
    steps = np.abs(exact - wanted).max()
    assert np.abs(shown - wanted).max() <= holding.WORST_CODES + steps


@pytest.mark.parametrize("seed", range(3))
def test_changes_are_planned_as_well_as_by_trying_all(seed):
    """Against every way to cut eight frames, worked out one by one."""
    track = np.random.default_rng(seed).standard_normal((8, 3)).cumsum(axis=0)
    price = 1.5

    def cost(cuts):
        parts = [track[a:b] for a, b in itertools.pairwise(cuts)]
        return sum(((p - p.mean(axis=0)) ** 2).sum() + price for p in parts)

    ways = [(0, *inner, 8) for k in range(8) for inner in itertools.combinations(range(1, 8), k)]
    found = holding.least_cuts((holding.stretch_errors(track, 8) + price)[None])
    assert cost(np.flatnonzero(found[:, 0])) == pytest.approx(min(map(cost, ways)))


def test_a_flash_between_the_telling_frames_is_not_lost(tmp_path):
    """Two lamps; the second shines in one frame only, which nobody said was telling."""
    room = np.full((40, 60, 3), 20, np.uint8)
    flash = room.copy()
    flash[10:20, 30:40] = 250, 60, 40

    write_film(tmp_path / "f.gif", lambda n: flash if n == 5 else room, [4] * 9, sample=[0, 8])
    seen = gif89a.read((tmp_path / "f.gif").read_bytes()).shown_at(range(0, 36, 4))
    assert ciede2000(seen[5], flash).max() < 3
    assert ciede2000(seen[6], room).max() < 3


def test_a_film_that_moves_is_written_true(tmp_path):
    chance = np.random.default_rng(2)
    noise = (chance.random((12, 30, 40, 1)) * [200, 90, 30]).astype(np.uint8)
    write_film(tmp_path / "n.gif", noise.__getitem__, [4] * 12, sample=[0])
    seen = gif89a.read((tmp_path / "n.gif").read_bytes()).shown_at(range(0, 48, 4))
    assert ciede2000(seen, noise).mean() < 2
    assert np.percentile(ciede2000(seen, noise), 99) < 5


def test_telling_frames_hold_each_lamp_at_its_brightest():
    light = np.full((500, 3), 0.1)
    light[[101, 222, 333], [0, 1, 2]] = 1, 0.8, 0.9
    assert {101, 222, 333} <= set(telling_frames(light))
    assert telling_frames(np.zeros((1, 2))) == [0]


def test_a_slow_drift_is_followed_to_the_end(tmp_path):
    """Steps too small to be seen one by one must not add up to a picture that stands still."""
    ramp = np.linspace(20, 220, 100).astype(np.uint8)
    write_film(tmp_path / "r.gif", lambda n: np.full((20, 20, 3), ramp[n]), [4] * 100)
    last = list(gif89a.read((tmp_path / "r.gif").read_bytes()).frames())[-1]
    assert ciede2000(last, np.full((20, 20, 3), 220)).max() < 3


def test_even_space_is_close_to_ciede2000_for_small_steps():
    """Against colour-science, for the colours of fires and dim rooms."""
    chance = np.random.default_rng(3)
    one = srgb8(chance.random((2000, 3)) ** 2 * [1, 0.45, 0.2])
    two = np.clip(one + chance.integers(-6, 7, one.shape), 0, 255)
    ours = np.linalg.norm(evenly(one) - evenly(two), axis=-1)
    theirs = ciede2000(one, two)
    moved = theirs > 0.3
    ratio = ours[moved] / theirs[moved]
    assert 0.9 < np.median(ratio) < 1.5
    assert np.percentile(ratio, 5) > 0.6  # never much blinder than the standard
    assert np.percentile(ratio, 95) < 2.5


def test_a_rare_spark_keeps_its_colour():
    dark = np.full((10_000, 3), 12, np.uint8)
    dark[77] = 255, 240, 180
    colours = choose_colours(dark)
    assert ciede2000(colours, np.full_like(colours, dark[77])).min() < 1


def test_colours_never_exceed_the_table():
    every = np.random.default_rng(1).integers(0, 256, (60_000, 3)).astype(np.uint8)
    assert len(choose_colours(every)) <= 255
    assert len(choose_colours(every, most=7)) <= 7


# Whole or not at all ----------------------------------------------------------------------


def left_in(folder):
    return sorted(p.name for p in folder.iterdir())


def test_a_missing_folder_is_named(tmp_path):
    path = tmp_path / "nowhere" / "film.gif"
    with pytest.raises(WriteError, match="cannot be written: No such file") as caught:
        write_film(path, fire(), [4, 4])
    assert str(path) in str(caught.value)
    assert "do:      make the folder first, or choose another" in str(caught.value)


def test_a_path_below_a_file_is_refused(tmp_path):
    (tmp_path / "plain").write_text("x")
    with pytest.raises(WriteError, match="a part of the path is a file"):
        write_film(tmp_path / "plain" / "film.gif", fire(), [4, 4])
    assert left_in(tmp_path) == ["plain"]


def test_a_folder_is_not_a_target(tmp_path):
    (tmp_path / "folder").mkdir()
    with pytest.raises(WriteError, match="add a file name: this is a folder"):
        write_film(tmp_path / "folder", fire(), [4, 4])
    assert left_in(tmp_path) == ["folder"]
    assert left_in(tmp_path / "folder") == []


@pytest.mark.parametrize("failure", [ZeroDivisionError, KeyboardInterrupt])
def test_an_interruption_leaves_the_old_file(tmp_path, failure):
    path = tmp_path / "film.gif"
    path.write_bytes(b"the old film")

    def frame_at(number):
        if number == 1:
            raise failure
        return fire()(number)

    with pytest.raises(failure):
        write_film(path, frame_at, [4, 4], sample=[0])
    assert path.read_bytes() == b"the old film"
    assert left_in(tmp_path) == ["film.gif"]


def test_a_full_disk_leaves_the_old_file(tmp_path):
    path = tmp_path / "film.gif"
    path.write_bytes(b"the old film")

    def fill_up():
        with replacing(path) as file:
            file.write(b"half a film")
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with pytest.raises(WriteError, match="make room on the disk") as caught:
        fill_up()
    assert str(path) in str(caught.value)
    assert path.read_bytes() == b"the old film"
    assert left_in(tmp_path) == ["film.gif"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_what_is_no_ordinary_file_is_left_alone(tmp_path):
    path = tmp_path / "film.gif"
    os.mkfifo(path)
    with pytest.raises(WriteError, match="not an ordinary file"), replacing(path):
        pytest.fail("it must not come to writing")
    assert path.is_fifo()
    assert left_in(tmp_path) == ["film.gif"]


def test_a_write_cut_short_by_the_system_leaves_the_old_file(tmp_path):
    resource = pytest.importorskip("resource")
    path = tmp_path / "film.gif"
    path.write_bytes(b"the old film")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (3000, hard))
    try:
        with pytest.raises(WriteError, match=r"film\.gif: cannot be written"):
            write_film(path, fire(), [4] * 12)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert path.read_bytes() == b"the old film"
    assert left_in(tmp_path) == ["film.gif"]


def test_a_finished_file_replaces_the_old_one_and_keeps_its_rights(tmp_path):
    path = tmp_path / "film.gif"
    path.write_bytes(b"the old film")
    path.chmod(0o640)
    write_film(path, fire(), [4, 4])
    assert path.read_bytes()[:6] == gif89a.HEADER
    assert path.stat().st_mode & 0o777 == 0o640
    assert left_in(tmp_path) == ["film.gif"]


def test_a_link_is_followed(tmp_path):
    (tmp_path / "film.gif").write_bytes(b"the old film")
    (tmp_path / "link.gif").symlink_to(tmp_path / "film.gif")
    write_film(tmp_path / "link.gif", fire(), [4, 4])
    assert (tmp_path / "link.gif").is_symlink()
    assert (tmp_path / "film.gif").read_bytes()[:6] == gif89a.HEADER


# Arguments --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("delays", "message"),
    [
        ([], "there are no frames to write"),
        ([[4, 4]], "there are no frames to write"),
        ([4, 1], "a frame cannot stand this long"),
        ([4.0, 4.0], "a frame cannot stand this long"),
        ([40_000, 40_000], "a frame cannot stand this long"),
    ],
)
def test_unusable_delays_are_refused(tmp_path, delays, message):
    with pytest.raises(InputError, match=f"field 'delays_cs': {message}"):
        write_film(tmp_path / "film.gif", fire(), delays)
    assert left_in(tmp_path) == []


@pytest.mark.parametrize(
    "second",
    [
        np.zeros((60, 91, 3), np.uint8),
        np.zeros((60, 90), np.uint8),
        np.zeros((60, 90, 4), np.uint8),
        np.zeros((60, 90, 3), float),
    ],
)
def test_a_frame_unlike_the_first_is_refused(tmp_path, second):
    frames = [fire()(0), second]
    with pytest.raises(InputError, match="frame 1 cannot be written") as caught:
        write_film(tmp_path / "film.gif", frames.__getitem__, [4, 4], sample=[0])
    assert "allowed: uint8 (60, 90, 3), all frames alike" in str(caught.value)
    assert f"given:   {second.dtype} {second.shape}" in str(caught.value)
    assert left_in(tmp_path) == []
