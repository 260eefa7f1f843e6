"""`fxstudio film` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

SMALL = ("--size", "96x64", "--fps", "5")


def test_film_writes_a_looping_gif_and_says_so(run):
    code, out, _ = run("film", "banked_fire", *SMALL)
    assert code == 0
    assert "photosensitive" in out
    with Image.open("banked_fire.gif") as gif:
        pictures = f"30 frames, {gif.n_frames} pictures in the file"
        assert f"banked_fire.gif: {pictures}, 6 s, 96 x 64" in out
        shown_ms = 0
        for number in range(gif.n_frames):  # pictures that are alike are one
            gif.seek(number)
            shown_ms += gif.info["duration"]
        assert (shown_ms, gif.info["loop"]) == (6000, 0)


def test_film_by_the_options(run):
    options = ("--travel", "reverse", "--keys", "none", "--seconds", "2", *SMALL)
    code, out, _ = run("film", "chimney_first", "-o", "dark.gif", *options)
    assert code == 0
    assert "dark.gif: 10 frames, 1 picture in the file, 2 s" in out
    with Image.open("dark.gif") as gif:  # no key is on: one picture stands for the whole time
        assert (gif.n_frames, gif.info["duration"]) == (1, 2000)


@pytest.mark.parametrize(
    ("options", "shows"),
    [
        (("--travel", "reverse", "--keys", "F2 F1"), "reverse, 0 km/h, keys F1, F2 on"),
        (("--speed", 20, "--keys", "F1"), "forward, 20 km/h, key F1 on"),
        (("--travel", "stopped", "--keys", "none"), "stopped, no key on"),
    ],
)
def test_film_says_what_it_shows_and_so_does_its_comment(run, options, shows):
    _, out, _ = run("film", "chimney_first", "-o", "a.gif", "--seconds", 1, *options, *SMALL)
    assert f"  shows: {shows}\n" in out
    with Image.open("a.gif") as gif:
        assert f"Shows: {shows}" in gif.info["comment"].decode()


def test_film_says_what_a_drive_changes(run, driven_fire):
    steps = "steps = [{ speed_kmh = 4, keys = ['F1'] }, { at_s = 0.5, travel = 'reverse' }]"
    _, out, _ = run("film", driven_fire(steps), *SMALL)
    assert "shows: at 0 s 4 km/h, key F1 on; at 0.5 s reverse\n" in out


def test_film_with_a_decoder_shows_what_it_does_and_writes_the_values(run):
    code, out, _ = run("film", "banked_fire", "--decoder", "carrow_lantern", *SMALL)
    assert code == 0
    table = Path("banked_fire.values.txt").read_text("utf-8")
    assert table.startswith("Banked for the night")
    assert "binary" in table
    assert "banked_fire.values.txt" in out


def test_film_says_what_it_rounded_to_loop(run):
    _, out, _ = run("film", "banked_fire", "--seconds", "1.1", *SMALL)
    assert "to loop" not in out  # a smooth flicker needs no rounding
    _, out, _ = run("film", "ticking_fire", "--seconds", "1.1", *SMALL)
    assert "to loop without a seam, flames: flicker rate: 6 Hz asked, 6.364 Hz used" in out


def test_keys_that_switch_nothing_are_told(run, driven_fire):
    _, out, _ = run("film", "banked_fire", "--keys", "F7,F1", "--seconds", 1, *SMALL)
    assert "hint no lamp is on F7; keys that switch lamps: F1, F2" in out
    fire = driven_fire("steps = [{ keys = ['F1', 'F2', 'F5'] }]")
    code, out, _ = run("check", fire)
    assert code == 0
    assert "hint no lamp is on F5" in out


def test_keys_are_written_as_people_write_them(run):
    for name, keys in (("a", "F1,F2"), ("b", " f1, F2 "), ("c", "none")):
        run("film", "banked_fire", "-o", f"{name}.gif", "--keys", keys, "--seconds", 1, *SMALL)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert a == b != c


def test_same_seed_same_file(run):
    for name, seed in (("a", 1), ("b", 1), ("c", 2)):
        run("film", "banked_fire", "-o", f"{name}.gif", "--seed", seed, "--seconds", 1, *SMALL)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert a == b != c


def test_an_output_folder_that_is_a_file(run, tmp_path):
    (tmp_path / "taken").write_text("mine")
    code, _, err = run("film", "banked_fire", "--into", "taken/here", *SMALL)
    assert code == 2
    assert "cannot be made" in err
    assert (tmp_path / "taken").read_text() == "mine"


def test_an_interrupted_film_ends_in_words_and_leaves_nothing(run, monkeypatch, tmp_path):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("fxstudio.scenes.render.Renderer.frame", interrupted)
    code, _, err = run("film", "banked_fire", *SMALL)
    assert code == 130
    assert err.strip() == "interrupted; no file is left half-written"
    assert list(tmp_path.iterdir()) == []


FAILING = ("--size", "280x400")


@pytest.mark.usefixtures("strobe")
def test_film_refuses_what_flashes_too_much(run):
    code, out, error = run("film", "strobe.toml", *FAILING)
    assert code == 2
    assert out == ""
    assert "strobe.toml: the film would flash more than is safe to show" in error
    assert "5 in the second from" in error
    assert "--accept-flashes" in error
    assert not Path("strobe.gif").exists()


@pytest.mark.usefixtures("strobe")
def test_what_is_refused_is_offered_calmer_in_numbers(run):
    error = run("film", "strobe.toml", *FAILING)[2]
    offer = next(line for line in error.splitlines() if "--calm: " in line)
    assert "of its look is lost" in offer
    told = run("film", "strobe.toml", "--calm", *FAILING)[1].splitlines()
    changes = [line.strip().removeprefix("calmer ") for line in told if "  calmer " in line]
    assert changes
    assert all(change in offer for change in changes)


@pytest.mark.usefixtures("strobe")
def test_nothing_is_offered_where_nothing_calmer_passes(run):
    steps = ", ".join(f"{{ at_s = {k / 10}, keys = {['F3'] if k % 2 else []} }}" for k in range(20))
    text = (
        Path("strobe.toml")
        .read_text("utf-8")
        .replace('kind = "flash", period_s = 0.2', 'kind = "steady"')
    )
    Path("keys.toml").write_text(
        text[: text.index("[drive]")] + f"[drive]\nlength_s = 2.0\nsteps = [{steps}]\n", "utf-8"
    )
    code, _, error = run("film", "keys.toml", *FAILING)
    assert code == 2
    assert "do:      no calmer version of it passes: its keys may go on and off" in error
    assert "--calm:" not in error
    error = run("film", "keys.toml", *FAILING, "--decoder", "tolley_hearth")[2]
    assert "do:      write a calm effect with `fxstudio calm`" in error


@pytest.mark.usefixtures("strobe")
def test_film_takes_it_if_told_so_and_says_it(run):
    code, out, error = run("film", "strobe.toml", "--accept-flashes", *FAILING)
    assert (code, error) == (0, "")
    assert "WARNING red flashes" in out
    with Image.open("strobe.gif") as gif:
        assert b"WARNING" in gif.info["comment"]


@pytest.mark.usefixtures("strobe")
def test_film_calms_it_if_told_so(run):
    code, out, _ = run("film", "strobe.toml", "--calm", *FAILING)
    assert code == 0
    assert "calmer door: " in out
    assert "of its look is lost" in out
    assert "flashes: passes WCAG 2.3.1" in out
    code, _, error = run("film", "strobe.toml", "--calm", "--decoder", "tolley_hearth")
    assert code == 2
    assert "fxstudio calm" in error


SECOND = ("--keys", "F1", "--seconds", 1)


@pytest.mark.parametrize(
    ("word", "pixels"),
    [("small", "360 x 240"), ("post", "600 x 400"), ("square", "480 x 480"), ("tall", "480 x 600")],
)
def test_a_size_may_be_a_word(run, word, pixels):
    _, out, _ = run("film", "end_lamps", "--fps", 2, *SECOND, "--size", word)
    assert f"1 s, {pixels}, " in out
    _, told, _ = run("film", "--help")
    assert f"{word} ({pixels.replace(' ', '')})" in " ".join(told.replace("│", " ").split())


def test_better_quality_takes_more_bytes(run):
    for quality in ("draft", "good", "best"):
        run("film", "banked_fire", *SMALL, "-o", f"{quality}.gif", "--quality", quality)
    draft, good, best = (Path(f"{q}.gif").stat().st_size for q in ("draft", "good", "best"))
    assert draft < good < best


def test_a_film_that_must_fit_says_what_it_gave_up(run):
    code, out, _ = run("film", "banked_fire", *SMALL, "-o", "a.gif", "--max-size", "30 kB")
    assert code == 0
    assert Path("a.gif").stat().st_size <= 30_000
    assert "  given up to be so small: quality: " in out


def test_a_name_with_a_slash_is_a_folder_of_pictures(run):
    code, _, _ = run("film", "banked_fire", *SMALL, "-o", "frames/", "--poster", "one.jpg")
    assert code == 0
    assert len(list(Path("frames").glob("*.png"))) == 30
    with Image.open("one.jpg") as poster:
        assert (poster.format, poster.size) == ("JPEG", (96, 64))
    code, _, err = run("film", "banked_fire", *SMALL, "-o", "frames/")
    assert (code, "is there already and is not empty" in err) == (2, True)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--quality", "great"), "field '--quality': is no quality"),
        (("--max-size", "2 XB"), "field '--max-size': is no size of a file"),
        (("--max-size", "0"), "field '--max-size': is no size of a file"),
        (("--max-size", "1MB", "-o", "frames/"), "field '--max-size': is for one file"),
        (("--poster", "a.gif"), "field '--poster': the name must end in .png or .jpg"),
        (
            ("-o", "a.bmp"),
            "field '--output': the name must end in .gif or .webp or .avif or",
        ),
        (("--size", "huge"), "or one of small, medium, post, square, tall"),
    ],
)
def test_what_cannot_be_is_refused_before_it_is_filmed(run, options, said):
    code, _, err = run("film", "banked_fire", *options)
    assert code == 2
    assert said in err
    assert list(Path().iterdir()) == []


CAPTIONED = ("--size", "200x134", "--fps", "5", "--seconds", 1)


def test_a_caption_is_no_part_of_a_film_that_does_not_ask_for_it(run):
    for name, options in (("a", ()), ("b", ("--caption", "none")), ("c", ("--caption", "plain"))):
        run("film", "banked_fire", "-o", f"{name}.gif", *options, *CAPTIONED)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert a == b != c


def test_a_full_caption_says_more_than_a_plain_one(run):
    decoder = ("--decoder", "carrow_lantern")
    for name, options in (
        ("a", ("--caption", "plain")),
        ("b", ("--caption", "full")),
        ("c", ("--caption", "full", *decoder)),
    ):
        run("film", "banked_fire", "-o", f"{name}.gif", *options, *CAPTIONED)
    a, b, c = (Path(f"{name}.gif").read_bytes() for name in "abc")
    assert len({a, b, c}) == 3


def test_a_caption_that_there_is_none_of(run):
    code, _, err = run("film", "banked_fire", "--caption", "loud", *SMALL)
    assert code == 2
    assert "--caption" in err
    assert "none, plain, full" in err


def test_a_film_too_small_for_its_caption(run):
    code, _, err = run("film", "banked_fire", "--caption", "full", *SMALL)
    assert code == 2
    assert "leaves no room" in err


def test_a_tour_is_a_drive_of_its_own(run):
    size = ("--size", "200x150", "--fps", "5")
    code, out, _ = run("film", "banked_fire", "--tour", *size)
    assert code == 0
    assert "at 3 s forward, 0 km/h, key F1 on; at 6 s forward, 0 km/h, key F2 on" in out
    code, _, err = run("film", "banked_fire", "--tour", "--keys", "F1", "-o", "b.gif", *size)
    assert code == 2
    assert "leave out --tour, or --keys" in err


@pytest.mark.usefixtures("strobe")
def test_films_made_at_once_are_those_made_one_by_one(run):
    """One that is refused is named, and the others are filmed."""
    names = ["banked_fire.gif", "flashing_tail.gif"]
    run("film", "banked_fire", "flashing_tail", "--into", "one", "--seconds", 1, *FAILING)
    three = ("banked_fire", "strobe.toml", "flashing_tail", "--into", "all")
    code, out, error = run("film", *three, "--jobs", 2, "--seconds", 1, *FAILING)
    assert code == 2
    assert "strobe.toml: the film would flash more than is safe to show" in error
    told = [Path(line.partition(":")[0]).name for line in out.splitlines() if " MB" in line]
    assert told == names == sorted(path.name for path in Path("all").iterdir())
    for name in names:
        assert Path("all", name).read_bytes() == Path("one", name).read_bytes()


def test_lanes_take_of_the_height_of_the_film(run):
    size = ("--size", "240x240", "--fps", "5", "--seconds", "1")
    assert run("film", "banked_fire", "-o", "lanes.gif", "--lanes", *size)[0] == 0
    run("film", "banked_fire", "-o", "bare.gif", *size)
    with Image.open("lanes.gif") as lanes, Image.open("bare.gif") as bare:
        assert lanes.size == bare.size == (240, 240)
        assert lanes.n_frames == 5  # the line at the present moves
    code, _, error = run("film", "banked_fire", "--lanes", "-o", "small.gif", *SMALL)
    assert (code, "leave out the caption or the lanes" in error) == (2, True)
