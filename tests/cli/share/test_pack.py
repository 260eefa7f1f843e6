"""`fxstudio pack` and `unpack` as people use them."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from PIL import Image

from fxstudio.effect.files import load_effect, shipped_effects

SMALL = ("--size", "240x160")


@pytest.fixture
def packed(run):
    """A pack of a shipped effect with a decoder, in an empty folder."""
    code, out, _ = run("pack", "banked_fire", "-d", "tolley_hearth", "-o", "a.zip", *SMALL)
    assert code == 0
    return out


def test_a_pack_holds_effect_decoder_values_and_film(packed, run):
    assert "a.zip: 5 files" in packed
    with zipfile.ZipFile("a.zip") as archive:
        assert archive.testzip() is None
        assert set(archive.namelist()) == {
            *("README.txt", "banked_fire.toml", "banked_fire.gif"),
            *("tolley_hearth.toml", "banked_fire.values.txt"),
        }
        told = archive.read("README.txt").decode()
    assert "fxstudio plan banked_fire.toml --decoder tolley_hearth.toml" in told
    assert "photosensitive" in told


def test_what_comes_out_is_what_went_in(packed, run):
    code, out, _ = run("unpack", "a.zip", "--into", "theirs")
    assert code == 0
    assert load_effect(Path("theirs", "banked_fire.toml")) == load_effect("banked_fire")
    source = shipped_effects()["banked_fire"]
    assert Path("theirs", "banked_fire.toml").read_text("utf-8") == source.read_text("utf-8")
    with Image.open("theirs/banked_fire.gif") as film:
        assert film.size == (240, 160)
        assert film.n_frames > 10
    assert "banked_fire.toml: effect" in out
    assert "flashes: passes" in out
    assert "See it: fxstudio show theirs/banked_fire.toml" in out


def test_a_photographed_scene_goes_along_wherever_it_lies(run):
    run("scene", "practice", "photos")
    Path("deep").mkdir()
    lamps = ("--lamp", "bed=photos/bed.jpg", "--lamp", "flames=photos/flames.jpg")
    assert run("scene", "new", "deep/my_engine", "--dark", "photos/off.jpg", *lamps)[0] == 0
    text = shipped_effects()["banked_fire"].read_text("utf-8")
    Path("fire.toml").write_text(text.replace('"cab"', '"deep/my_engine"  # mine'), "utf-8")
    assert run("pack", "fire.toml", *SMALL)[0] == 0
    code, out, _ = run("unpack", "fire.zip", "--into", "theirs")
    assert (code, "my_engine/scene.toml: photographed scene" in out) == (0, True)
    theirs, mine = load_effect(Path("theirs", "fire.toml")), load_effect(Path("fire.toml"))
    assert theirs.lamps == mine.lamps
    assert 'scene = "./my_engine"  # mine' in Path("theirs", "fire.toml").read_text("utf-8")
    for path in Path("deep", "my_engine").iterdir():
        assert Path("theirs", "my_engine", path.name).read_bytes() == path.read_bytes()
    assert theirs.setting.draw(48, 32)[1].keys() == {"bed", "flames"}


def test_a_folder_that_is_there_and_files_are_kept(packed, run, refused):
    refused("pack", "banked_fire", "-o", "a.zip", *SMALL, problem="is there already")
    Path("a").mkdir()
    Path("a", "mine.txt").write_text("mine", "utf-8")
    refused("unpack", "a.zip", problem="is not empty")


def test_a_look_that_flashes_too_much_is_not_sent(strobe, refused):
    refused(
        "pack",
        "strobe.toml",
        "-o",
        "a.zip",
        "--size",
        "800x640",
        problem="would flash more than is safe",
    )


def test_a_film_of_others_that_flashes_too_much_is_told(strobe, run):
    run("film", "strobe.toml", "-o", "s.gif", "--accept-flashes")
    with zipfile.ZipFile("s.zip", "w") as archive:
        archive.write("s.gif")
    code, out, _ = run("unpack", "s.zip", "--into", "theirs")
    assert code == 0
    assert "WARNING" in out


def entry(name: str, data: bytes) -> None:
    with zipfile.ZipFile("a.zip", "w") as archive:
        archive.writestr(name, data)


@pytest.mark.parametrize(
    ("name", "data", "problem"),
    [
        ("fire.toml", b"title = 'x'\nlamps = 3", "a.zip, fire.toml in it, field 'lamps'"),
        ("fire.toml", b"title = ", "is not valid TOML"),
        ("../fire.toml", b"", "leads out of the pack"),
    ],
)
def test_a_pack_with_a_fault_in_it_is_refused_whole(run, refused, name, data, problem):
    entry(name, data)
    refused("unpack", "a.zip", "--into", "theirs", problem=problem)


@pytest.mark.parametrize("name", ["film.gif", "film.webp", "film.png"])
def test_a_broken_film_is_told(run, name):
    entry(name, b"GIF89a broken")
    code, out, _ = run("unpack", "a.zip", "--into", "theirs")
    assert code == 0
    assert "mind is no whole film" in out


@pytest.mark.parametrize("name", ["a.zip", "a.txt"])
def test_what_is_no_pack_is_refused(run, refused, name):
    Path(name).write_bytes(b"no pack at all")
    refused("unpack", name, problem="is no whole pack")
    refused("unpack", "ab.zip", problem="cannot be read")
