"""`fxstudio scene`: from photographs to a film of one's own locomotive."""

from __future__ import annotations

import sys
from pathlib import Path

import imageio.v3 as imageio
import numpy as np
import pytest
from PIL import Image
from scenes.photograph.camera import Camera, packed

from fxstudio.editing.studio import Studio

EFFECT = """
title = "Banked"
scene = "my_engine"
[lamps.bed]
output = 3
key = "F1"
colour = { wavelength_nm = 605 }
pattern = { kind = "steady" }
"""
NEW = ("scene", "new", "my_engine", "--dark", "photos/off.jpg")
BED = ("--lamp", "bed=photos/bed.jpg")


@pytest.fixture(scope="module")
def photographs(tmp_path_factory):
    """Practice photographs at a quarter of the size."""
    from fxstudio.cli.scene import practice
    from fxstudio.cli.scene.options import PracticeOptions

    folder = tmp_path_factory.mktemp("practice") / "photos"
    practice.practice_pictures(PracticeOptions(str(folder)))
    for file in folder.glob("*.jpg"):
        with Image.open(file) as image:
            small, exif = image.resize((400, 300)), image.getexif()
        small.save(file, quality=95, exif=exif)
    return folder


@pytest.fixture
def photos(photographs, run, tmp_path):
    (tmp_path / "photos").symlink_to(photographs)
    return Path("photos")


def test_from_photographs_to_a_film(run, photos):
    code, out, _ = run(*NEW, *BED, "--lamp", "flames=photos/flames.jpg", "--title", "Heron")
    assert code == 0
    assert "bed: exposure by EXIF" in out
    assert "moved by" in out
    assert "Bright LEDs close to the eye can harm it" in out
    code, out, _ = run("scene", "show", "my_engine", "-o", "look.png")
    assert code == 0
    assert "Heron: a scene of" in out
    assert "from a photograph" in out
    assert imageio.imread("look.png").shape[2] == 3
    Path("banked.toml").write_text(EFFECT)
    assert run("film", "banked.toml", "--size", "96x72", "--fps", "5")[0] == 0
    assert run("check", "banked.toml")[0] == 0


def test_what_is_said_of_a_lamp_stands_in_the_file(run, photos):
    said = ("--lit-at", "bed=0.8", "--recolour", "bed", "--lamp", "tail=paint")
    where = ("--at", "tail=0.2,0.3", "--reach", "tail=0.05", "--shape", "tail=wide")
    code, out, _ = run(*NEW, *BED, *said, *where, "--crop", "0.1,0,0.9,1", "--turn", "180")
    assert code == 0
    assert "tail: painted, no photograph shows it" in out
    text = Path("my_engine/scene.toml").read_text()
    for line in ("lit_at = 0.8", "recolour = true", "at = [0.2, 0.3]", 'shape = "wide"'):
        assert line in text
    assert "painted: no photograph shows this lamp" in run("scene", "show", "my_engine")[1]
    Path("tail.toml").write_text(EFFECT.replace("bed", "tail"))
    for words in (("film", "tail.toml", "--size", "96x72", "--fps", "5"), ("check", "tail.toml")):
        assert "tail: painted, no photograph shows how it looks" in run(*words)[1]


def test_only_painted_lamps_need_one_photograph(run, photos):
    assert run(*NEW, "--lamp", "bed=paint", "--at", "bed=0.5,0.6")[0] == 0


def test_where_and_with_what_it_was_taken_is_left_out(run, photos):
    """Exif 2.32: maker, model and artist."""
    for name in ("off", "bed"):
        with Image.open(photos / f"{name}.jpg") as image:
            data = packed(image, Camera(exif=False), t271="Maker", t272="Model", t315="Owner")
        Path(f"{name}.jpg").write_bytes(data)
    assert run("scene", "new", "a", "--dark", "off.jpg", "--lamp", "bed=bed.jpg")[0] == 0
    for file in Path("a").iterdir():
        assert not any(
            word in file.read_bytes() for word in (b"Maker", b"Model", b"Owner", b"Exif")
        )


BAD = {
    "no picture": ((*BED, "--lamp", "flames=banked.toml"), "banked.toml: is not a picture"),
    "none": (("--lamp", "bed=photos/none.jpg"), "none.jpg: there is no such file"),
    "no name": (("--lamp", "photos/bed.jpg"), "does not say which lamp"),
    "twice": ((*BED, *BED), "the lamp 'bed' is named twice"),
    "same": ((*BED, "--lamp", "flames=photos/bed.jpg"), "is the picture of bed and flames"),
    "dark": (("--lamp", "bed=photos/off.jpg"), "is the same picture as"),
    "other lamp": ((*BED, "--lit-at", "bad=0.5"), "there is no lamp of this name"),
    "level": ((*BED, "--lit-at", "bed=0"), "a number above 0 to 1"),
    "word": ((*BED, "--lit-at", "bed=half"), "decimals have a point"),
    "colour": ((*BED, "--colour", "bed=orange"), "605nm, 1900K or #ff8000"),
    "crop": ((*BED, "--crop", "0.9,0,0.1,1"), "left before right"),
    "much cropped": ((*BED, "--crop", "0.5,0.5,0.51,0.51"), "is too small"),
    "turn": ((*BED, "--turn", "45"), "0, 90, 180 or 270"),
    "nowhere": ((*BED, "--lamp", "tail=paint"), "give --at tail=0.5,0.5"),
    "there already": ((*BED, "--at", "bed=0.5,0.5"), "has a photograph"),
    "shape": ((*BED, "--lamp", "t=paint", "--at", "t=0,0", "--shape", "t=star"), "shape"),
    "reach": ((*BED, "--lamp", "t=paint", "--at", "t=0,0", "--reach", "t=9"), "reach"),
}


@pytest.mark.parametrize(("words", "problem"), BAD.values(), ids=BAD)
def test_what_cannot_be_used_is_refused_and_nothing_is_written(refused, photos, words, problem):
    Path("banked.toml").write_text(EFFECT)
    refused(*NEW, *words, problem=problem)


@pytest.mark.parametrize("there", ["folder", "file"])
def test_nothing_is_written_over(refused, photos, there):
    if there == "file":
        Path("my_engine").write_text("mine")
    else:
        Path("my_engine").mkdir()
        Path("my_engine/mine.txt").write_text("mine")
    refused(*NEW, *BED, problem="choose")


def test_a_practice_picture_is_an_ordinary_photograph(photographs):
    picture = imageio.imread(photographs / "bed.jpg")
    assert picture.shape == (300, 400, 3)
    assert np.ptp(picture) > 150


def test_without_the_library_it_says_how_to_get_it(refused, photos, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    refused(*NEW, *BED, problem='pip install "fxstudio[photo]"')


def test_the_window_shows_it_live(run, photos):
    assert run(*NEW, *BED)[0] == 0
    Path("banked.toml").write_text(EFFECT)
    studio = Studio()
    studio.document.open(Path("banked.toml"))
    studio.begin()
    studio.seen_projector.renderer(wait=True)
    frame = studio.seen_projector.frame(0.0, 0.0, calm=False)
    assert np.ptp(frame) > 100
