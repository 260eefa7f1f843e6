"""Photographed scenes in a folder: what their files may say, and effects on them."""

from __future__ import annotations

import os
import tomllib

import imageio.v3 as imageio
import numpy as np
import pytest
import tifffile

from fxstudio.colour import srgb8
from fxstudio.editing.document import Document
from fxstudio.effect.files import read_effect
from fxstudio.effect.setting.files import Lit, read_scene, write_scene
from fxstudio.errors import FxError
from fxstudio.film.take import renderer_for
from fxstudio.scenes.catalogue import draw_scene, find_scene

RNG = np.random.default_rng(3)
DARK = RNG.uniform(0, 0.2, (3, 48, 64)).astype(np.float32)
BED = RNG.uniform(0, 0.2, (3, 48, 64)).astype(np.float32) * np.float32([[[1]], [[0.4]], [[0.1]]])
EFFECT = """
title = "Banked"
scene = "heron"
[lamps.bed]
output = 3
colour = "#00ff00"
pattern = { kind = "steady", level = 0.5 }
"""


@pytest.fixture
def scene(tmp_path):
    lamps = {"bed": Lit(BED, {}), "tail": Lit(None, {"at": [0.2, 0.5], "reach": 0.1})}
    write_scene(tmp_path / "heron", "Heron", DARK, lamps, ["taken apart"])
    return tmp_path / "heron" / "scene.toml"


@pytest.fixture
def effect(scene):
    (scene.parents[1] / "banked.toml").write_text(EFFECT)
    return scene.parents[1] / "banked.toml"


def change(scene, **fields):
    text = scene.read_text()
    for before, after in fields.values():
        assert before in text
        text = text.replace(before, after)
    scene.write_text(text)
    os.utime(scene, ns=(1, hash(text) % 10**15))


def test_maps_hold_the_light_to_16_bits(scene):
    """Read by tifffile: half a code of 65535 on the curve of sRGB is the most that may be lost."""
    drawn = draw_scene(read_scene(scene), 64, 48)
    assert np.allclose(drawn.ambient, DARK, atol=2e-5)
    assert np.allclose(drawn.light["bed"], BED, atol=2e-5)
    codes = tifffile.imread(scene.parent / "dark.tif")
    assert (codes.dtype, codes.shape) == (np.uint16, (48, 64, 3))
    full = tomllib.loads(scene.read_text())["dark"]["full"]
    assert abs(codes[..., 0] / 257 - srgb8(DARK[0] / full)).max() < 1


def test_other_programs_open_a_map(scene):
    """Pillow, by imageio, which shows it in 8 bits."""
    shown = imageio.imread(scene.parent / "light_bed.tif", plugin="pillow")
    assert shown.shape == (48, 64, 3)


def test_a_frame_is_dark_and_what_the_lamps_add(effect):
    """In the colour of the camera, whatever colour the effect has."""
    frame = renderer_for(read_effect(effect), 64, 48).linear([0.5])
    assert np.allclose(frame, DARK + 0.5 * BED, atol=5e-5)


def test_recoloured_it_has_the_colour_of_the_effect(scene, effect):
    change(scene, bed=("[light.bed]", "[light.bed]\nrecolour = true"))
    drawn = read_effect(effect)
    frame = renderer_for(drawn, 64, 48).linear([1.0]) - renderer_for(drawn, 64, 48).linear([0.0])
    assert np.allclose(frame[[0, 2]], 0)
    assert frame[1].mean() == pytest.approx(BED[0].mean(), rel=0.15)


def test_what_a_person_sets(scene, effect):
    """The level that the lamp had, a darker room, and all of it brighter."""
    change(scene, bed=("[light.bed]", "[light.bed]\nlit_at = 0.8"), top=("[dark]", "[dark]"))
    scene.write_text("ambient = 0.2\nexposure = 1.5\n" + scene.read_text())
    frame = renderer_for(read_effect(effect), 64, 48).linear([1.0])
    assert np.allclose(frame, 1.5 * (0.2 * DARK + BED / 0.8), atol=2e-4)


def test_a_painted_lamp_is_brightest_where_it_is_and_says_what_it_is(scene):
    row = read_scene(scene)
    assert row.places["tail"].startswith("painted")
    light = draw_scene(row, 64, 48).light["tail"][0]
    y, x = np.unravel_index(light.argmax(), light.shape)
    assert np.hypot(x - 0.2 * 64, y - 0.5 * 48) < 4
    assert not light[:, 25:].any()


def test_all_of_it_is_seen_in_a_film_of_another_shape(scene):
    drawn = draw_scene(read_scene(scene), 96, 48)
    assert not drawn.ambient[:, :, :16].any()
    assert np.allclose(drawn.ambient[:, :, 16:80], DARK, atol=2e-5)


def test_a_scene_is_the_same_until_its_files_change(scene, effect):
    row = read_effect(effect).setting
    assert read_effect(effect).setting is row
    change(scene, title=('"Heron"', '"Crane"'))
    assert read_effect(effect).setting.title == "Crane"


def test_a_drawn_scene_goes_before_a_folder_of_its_name(effect):
    (effect.parent / "heron").rename(effect.parent / "cab")
    effect.write_text(EFFECT.replace("heron", "cab"))
    assert read_effect(effect).setting is find_scene("cab")
    effect.write_text(EFFECT.replace("heron", "./cab"))
    assert read_effect(effect).setting.title == "Heron"


def spoiled(scene, how):
    """The scene with one thing wrong."""
    bed, folder = scene.parent / "light_bed.tif", scene.parent
    if how == "no map":
        bed.unlink()
    elif how == "text":
        bed.write_text("no map")
    elif how == "cut":
        bed.write_bytes(bed.read_bytes()[:200])
    elif how == "8 bits":
        tifffile.imwrite(bed, np.zeros((48, 64, 3), np.uint8))
    elif how == "grey":
        tifffile.imwrite(bed, np.zeros((48, 64), np.uint16))
    elif how == "huge":
        tifffile.imwrite(bed, np.zeros((10, 20000, 3), np.uint16))
    elif how == "other size":
        tifffile.imwrite(bed, np.zeros((48, 60, 3), np.uint16), photometric="rgb")
    elif how == "link":
        (folder.parent / "out.tif").write_bytes(bed.read_bytes())
        bed.unlink()
        bed.symlink_to("../out.tif")
    elif how == "path":
        change(scene, map=('"light_bed.tif"', '"../out.tif"'))
    elif how == "both":
        change(scene, bed=("[light.bed]", "[light.bed]\nat = [0.1, 0.1]"))
    elif how == "shape":
        change(scene, tail=("[light.tail]", '[light.tail]\nshape = "star"'))


SPOILED = {
    "no map": "there is no such file",
    "text": "is not a TIFF file",
    "cut": "",
    "8 bits": "is not a map of light",
    "grey": "is not a map of light",
    "huge": "is not a map of light",
    "other size": "has another size",
    "link": "leads out of the scene's folder",
    "path": "field 'light.bed.map'",
    "both": "needs either a map",
    "shape": "field 'light.tail.shape'",
}


@pytest.mark.parametrize(("how", "problem"), SPOILED.items())
def test_a_scene_that_cannot_be_used_is_refused_by_name(scene, effect, how, problem):
    spoiled(scene, how)
    with pytest.raises(FxError, match="heron") as error:
        draw_scene(read_scene(scene), 64, 48)
    assert problem in str(error.value)
    with pytest.raises(FxError, match="heron") as error:
        renderer_for(read_effect(effect), 64, 48)
    assert problem in str(error.value)


def test_nothing_is_written_over(scene):
    with pytest.raises(FxError, match="is there already"):
        write_scene(scene.parent, "Heron", DARK, {"bed": Lit(BED, {})})


def test_lamps_whose_names_make_one_file_name_have_two(tmp_path):
    lamps = {"Bed!": Lit(BED, {}), "bed?": Lit(BED, {}), "ü": Lit(BED, {}), "dark": Lit(BED, {})}
    write_scene(tmp_path / "a", "A", DARK, lamps)
    assert set(draw_scene(read_scene(tmp_path / "a" / "scene.toml"), 64, 48).light) == set(lamps)
    assert len(list((tmp_path / "a").glob("*.tif"))) == 5


def test_it_is_filmed_and_checked_like_any_other(run, effect, scene):
    assert (
        run("film", effect, "-o", effect.parent / "a.gif", "--size", "96x64", "--fps", "5")[0] == 0
    )
    assert (effect.parent / "a.gif").stat().st_size > 500
    code, out, _ = run("check", scene)
    assert (code, "a usable photographed scene" in out) == (0, True)


@pytest.mark.parametrize("place", ["other.toml", "deep/er/other.toml", "heron/other.toml"])
def test_an_effect_written_elsewhere_still_finds_its_scene(effect, place):
    effect.write_text("# my own\n" + EFFECT)
    target = effect.parent / place
    target.parent.mkdir(parents=True, exist_ok=True)
    document = Document()
    document.open(effect)
    document.save(target)
    assert read_effect(target).setting.title == "Heron"
    assert document.effect.setting.title == "Heron"
    assert target.read_text().startswith("# my own")
    document.save(effect)
    assert read_effect(effect).scene == "heron"
