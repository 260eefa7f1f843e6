"""`fxstudio read` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from fxstudio.effect.files import read_effect
from fxstudio.film import making
from fxstudio.film.making import FlashError

HELD = "cv,value,note\n1,3,address\n3,5,motor\n143,154,\n144,250,\n149,78,\n35,12,\n36,0,\n"


@pytest.fixture
def held(tmp_path):
    """A list of values read from a locomotive."""
    path = tmp_path / "held.csv"
    path.write_text(HELD)
    return path


def test_read_tells_the_effect_and_saves_one_that_can_be_used(run, held):
    code, out, _ = run("read", held, "-d", "withybank_glim", "--save", "was.toml")
    assert code == 0
    assert "output 3: hold flicker, 6.35 % to 34.9 %, on F1, both directions" in out
    assert "shared rate 4.01 Hz: output 3, output 4" in out
    assert "not in the description, left aside: CV1, CV3" in out
    assert "taken as delivered: 14 CVs" in out
    saved = read_effect(Path("was.toml"))
    assert saved.title == "held"
    assert saved.lamps["output 4"].key == "F1"
    assert run("check", "was.toml")[0] == 0


def test_what_was_read_and_saved_needs_no_write(run, held):
    run("read", held, "-d", "withybank_glim", "--save", "was.toml")
    code, out, _ = run("plan", "was.toml", "-d", "withybank_glim", "--present", held)
    assert code == 0
    assert "Nothing needs to be written" in out


@pytest.mark.parametrize("name", ["was.gif", "was.webp"])
def test_read_with_the_lamps_of_an_effect_and_a_film(run, held, name):
    code, out, _ = run(
        "read", held, "-d", "withybank_glim", "--like", "banked_fire", "--film", name
    )
    assert code == 0
    assert "bed (output 3): hold flicker" in out
    assert "output 1" not in out
    assert "photosensitive" in out
    with Image.open(name) as film:
        assert film.n_frames > 1


def test_a_film_that_is_refused_leaves_no_effect_behind(run, tmp_path, monkeypatch):
    """So that the same call, mended, is not refused for a file that is there."""
    asked = []

    def refuse(effect, path, progress, accept_flashes, said):
        asked.append(accept_flashes)
        if not accept_flashes:
            raise FlashError("the film would flash more than is safe to show")
        return real(effect, path, progress=progress, accept_flashes=True)

    real = making.film
    monkeypatch.setattr(making, "film", refuse)
    (tmp_path / "held.csv").write_text(HELD)
    call = ("read", "held.csv", "-d", "withybank_glim", "--film", "x.gif", "--save", "was.toml")
    code, _, err = run(*call)
    assert (code, asked) == (2, [False])
    assert "--accept-flashes" in err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["held.csv"]
    assert run(*call, "--accept-flashes")[0] == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["held.csv", "was.toml", "x.gif"]


def test_read_tells_of_dark_outputs_and_several_keys(run, tmp_path):
    (tmp_path / "odd.csv").write_text("cv,value\n35,0\n37,24\n")
    code, out, _ = run("read", "odd.csv", "-d", "withybank_glim")
    assert code == 0
    assert "note output 3 stays dark: no key switches it" in out
    assert "output 4: steady at 100 %, on F2, both directions, or on F3, both directions" in out
