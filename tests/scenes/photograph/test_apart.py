"""Photographs taken apart, held against the scenes that they were made of."""

from __future__ import annotations

import re

import numpy as np
import pytest
from PIL import Image
from scenes.photograph.camera import Camera, photographed, random_model
from scenes.photograph.truth import case, still

from fxstudio.errors import InputError
from fxstudio.scenes.photograph.apart import take_apart
from fxstudio.scenes.photograph.reading import read_photograph

MODEL = random_model(np.random.default_rng(8))


def shot(folder, cameras, model=MODEL, **lit):
    """The photographs of a model, read."""
    paths = photographed(folder, model, cameras, dim=lit)
    return {name: read_photograph(path) for name, path in paths.items()}


def apart_of(photographs, **colours):
    lamps = {name: picture for name, picture in photographs.items() if name != "off"}
    return take_apart(photographs["off"], lamps, colours)


@pytest.mark.parametrize("seed", [3, 17])
@pytest.mark.parametrize(("exif", "delta_e", "scale"), [(True, 2.0, 0.03), (False, 3.0, 0.08)])
def test_a_scene_photographed_by_hand_comes_out_as_it_was(tmp_path, seed, exif, delta_e, scale):
    found = case(tmp_path, seed, exif)
    assert found.delta_e < delta_e
    assert found.scale < scale
    assert found.registration_px < 0.5


def test_light_adds_up(tmp_path):
    """Without noise, moves and compression all states are as they would be photographed."""
    camera = Camera(quality=None, seconds=1 / 60)
    apart = apart_of(shot(tmp_path, dict.fromkeys(("off", "bed", "flames"), camera)))
    both = 0.5 * MODEL.seen(MODEL.state(bed=0.5, flames=1.0))
    rebuilt = apart.dark + 0.5 * apart.light["bed"] + apart.light["flames"]
    fits = (MODEL.seen(MODEL.state(bed=1.0, flames=1.0)) < 1.9).all(axis=0)
    assert abs(rebuilt - both)[:, fits].mean() < 0.002
    assert np.quantile(abs(rebuilt - both)[:, fits], 0.99) < 0.012


@pytest.mark.parametrize("exif", [True, False])
def test_exposure_and_white_balance_are_undone(tmp_path, exif):
    cameras = {
        "off": still(exif=exif),
        "bed": still(exif=exif, seconds=1 / 50, white=(1.1, 1.0, 0.9)),
    }
    found = apart_of(shot(tmp_path, cameras)).found["bed"]
    assert found.by == ("exif" if exif else "pictures")
    assert found.gain == pytest.approx([0.66, 0.6, 0.54], rel=0.015)


def test_too_little_left_unlit_is_told(tmp_path):
    """A lamp that lights all of the picture: nothing says how long it was exposed."""
    size = (160, 120)
    model = random_model(np.random.default_rng(2), size)
    x = np.linspace(0.3, 3, model.room.shape[2])
    model.lamps["bed"][:] = model.room * x
    cameras = {"off": still(exif=False), "bed": still(exif=False)}
    found = apart_of(shot(tmp_path, cameras, model)).found["bed"]
    assert found.by == "assumed"
    assert "no EXIF, and too little is left unlit" in " ".join(found.notes)


@pytest.mark.parametrize(
    ("shift", "turn"),
    [((0.0, 0.0), 0.0), ((0.028, 0.0), 0.0), ((0.0, -0.02), 1.9), ((-0.02, 0.01), -1.9)],
)
def test_hands_that_moved_are_undone(tmp_path, shift, turn):
    cameras = {"off": still(), "bed": still(shift=shift, turn=turn)}
    apart = apart_of(shot(tmp_path, cameras))
    assert apart.found["bed"].move.turn_deg == pytest.approx(turn, abs=0.1)
    left, top, right, low = apart.margins
    assert apart.dark.shape == (3, 240 - top - low, 320 - left - right)
    assert apart.light["bed"].shape == apart.dark.shape
    if shift == (0.0, 0.0):
        assert apart.margins == (0, 0, 0, 0)


@pytest.mark.parametrize(
    ("shift", "turn"), [((0.05, 0.0), 0.0), ((0.0, 0.0), 3.5), ((0.3, 0.2), 8.0)]
)
def test_what_has_moved_too_far_is_refused_with_both_names(tmp_path, shift, turn):
    cameras = {"off": still(), "bed": still(shift=shift, turn=turn)}
    photographs = shot(tmp_path, cameras)
    with pytest.raises(InputError, match="cannot be laid on") as error:
        apart_of(photographs)
    assert error.value.file == photographs["bed"].file
    assert "off.jpg" in error.value.problem


def test_another_view_is_refused(tmp_path):
    photographs = shot(tmp_path, {"off": still()})
    other = random_model(np.random.default_rng(99))
    photographs |= {"bed": shot(tmp_path, {"bed": still()}, other)["bed"]}
    with pytest.raises(InputError, match="cannot be laid on"):
        apart_of(photographs)


def test_clipped_light_is_counted_and_told(tmp_path):
    """Cores of twice the light that the picture can hold, and the same one darker."""
    words = {}
    for seconds in (1 / 15, 1 / 240):
        cameras = {"off": still(seconds=1 / 30), "bed": still(seconds=seconds)}
        found = apart_of(shot(tmp_path, cameras)).found["bed"]
        words[seconds] = found.clipped, " ".join(found.notes)
    assert words[1 / 15][0] > 0.05
    assert re.search(r"clipped in .* of its light .*: take it darker by", words[1 / 15][1])
    assert words[1 / 240] == (0.0, "")


def test_noise_does_not_shimmer(tmp_path):
    """Far from a lamp nothing is left of the noise of two dark pictures."""
    cameras = {name: still(noise=0.004, photons=1500) for name in ("off", "bed")}
    apart = apart_of(shot(tmp_path, cameras))
    true = MODEL.seen(MODEL.lamps["bed"])
    far = true.max(axis=0) < 0.001
    assert far.mean() > 0.2
    assert (apart.light["bed"][:, far] == 0).mean() > 0.9
    lit = true.max(axis=0) > 0.1
    assert apart.light["bed"][:, lit].sum() == pytest.approx(true[:, lit].sum(), rel=0.2)


def test_a_highlight_of_the_room_is_not_taken_for_light_of_the_lamp(tmp_path):
    """It is clipped in the dark picture, and not in the lamp's, which was exposed for less time."""
    model = random_model(np.random.default_rng(8))
    model.room[:, 60:66, 60:90] = 3.0
    cameras = {"off": still(), "bed": still(seconds=1 / 120)}
    added = apart_of(shot(tmp_path, cameras, model)).light["bed"]
    margin = (model.room.shape[1] - 240) // 2
    assert added[:, 61 - margin : 65 - margin, 62 - margin : 88 - margin].max() < 0.05


def test_two_lamps_in_one_picture_are_told_apart_by_their_colours(tmp_path):
    photographs = shot(tmp_path, {"off": still(seconds=1 / 90)})
    model = random_model(np.random.default_rng(8))
    model.lamps["flames"][:] = model.lamps["flames"] * np.array([0.2, 0.8, 5.0])[:, None, None]
    both = model.room + model.lamps["bed"] + model.lamps["flames"]
    file = tmp_path / "both.jpg"
    file.write_bytes(still(seconds=1 / 90).file(both, model.size, np.random.default_rng(4)))
    photographs["bed"] = photographs["flames"] = read_photograph(file)
    colours = {n: model.lamps[n].sum(axis=(1, 2)) for n in ("bed", "flames")}
    apart = apart_of(photographs, **colours)
    for name in colours:
        true = model.seen(model.lamps[name]).sum(axis=0).ravel()
        assert np.corrcoef(true, apart.light[name].sum(axis=0).ravel())[0, 1] > 0.9
    with pytest.raises(InputError, match="cannot be told apart by their colours"):
        apart_of(photographs, bed=np.array([1, 0.3, 0.03]), flames=np.array([1, 0.35, 0.05]))


def wrong(folder, how):
    """Photographs of which one is wrong, and its name."""
    photographs = shot(folder, {"off": still(), "bed": still()})
    if how == "swapped":
        photographs["off"], photographs["bed"] = photographs["bed"], photographs["off"]
        return photographs, "off.jpg"
    if how == "unlit":
        camera = still()
        file = folder / "bed.jpg"
        file.write_bytes(camera.file(MODEL.room, MODEL.size, np.random.default_rng(77)))
        photographs["bed"] = read_photograph(file)
    elif how == "same as dark":
        photographs["bed"] = photographs["off"]
        return photographs, "off.jpg"
    elif how == "same as another":
        photographs["flames"] = photographs["bed"]
    elif how == "other size":
        with Image.open(folder / "bed.jpg") as image:
            image.resize((300, 240)).save(folder / "bed.jpg")
        photographs["bed"] = read_photograph(folder / "bed.jpg")
    return photographs, "bed.jpg"


WRONG = {
    "swapped": "is darker than",
    "unlit": "shows no light that",
    "same as dark": "is the same picture as",
    "same as another": "is the picture of bed and flames",
    "other size": "has another size than",
}


@pytest.mark.parametrize(("how", "problem"), WRONG.items())
def test_pictures_that_do_not_go_together_are_refused(tmp_path, how, problem):
    photographs, name = wrong(tmp_path, how)
    with pytest.raises(InputError) as error:
        apart_of(photographs)
    assert problem in error.value.problem
    assert error.value.file == tmp_path / name


def test_a_picture_too_dark_to_see_a_move_is_taken_as_it_lies(tmp_path):
    model = random_model(np.random.default_rng(8))
    model.room[:] *= 0.002
    apart = apart_of(shot(tmp_path, {"off": still(), "bed": still()}, model))
    assert "too dark to see whether the camera moved" in " ".join(apart.found["bed"].notes)
    assert apart.light["bed"].max() > 0.5
