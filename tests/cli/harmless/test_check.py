"""`fxstudio check` as people use it."""

from __future__ import annotations

import pytest
from PIL import Image

from fxstudio.decoder.leaflet.files import shipped as decoders


def test_check_tells_good_hints_and_bad(run, tmp_path):
    code, out, _ = run("check", "banked_fire", "twin_flicker")
    assert code == 0
    assert "banked_fire: a usable effect" in out
    assert "hint bed and flames: flicker at the one shared rate" in out
    wrong = tmp_path / "wrong.toml"
    wrong.write_text('title = "x"\n[lamps]\n')
    code, out, err = run("check", wrong, "banked_fire")
    assert code == 2
    assert "banked_fire: a usable effect" in out
    assert "field 'lamps': is empty" in err


def test_check_says_that_a_long_drive_was_not_looked_at(run, driven_fire):
    fire = driven_fire("length_s = 600\nsteps = [{ keys = ['F1'] }]")
    code, out, _ = run("check", fire, "--size", "960x640")
    assert code == 0
    assert "flashes not checked: the film is too large" in out


def test_check_knows_decoders_and_drives(run, tmp_path):
    drive = tmp_path / "shuttle.toml"
    drive.write_text('steps = [{ travel = "reverse" }]\n')
    code, out, _ = run("check", drive, *decoders(), *decoders().values())
    assert code == 0
    assert "a usable drive" in out
    assert out.count("a usable decoder description") == 2 * len(decoders())


@pytest.mark.usefixtures("strobe")
def test_check_judges_flashes_and_draws_where(run):
    code, out, _ = run("check", "strobe.toml", "--flash-map", "where.png")
    assert code == 2
    assert "WARNING red flashes" in out
    assert "no medical and no legal judgement" in out
    with Image.open("where.png") as picture:
        assert picture.size == (480, 320)
    assert "341 x 256 of its pixels filling 10 degrees of view" in out
    code, out, _ = run("check", "banked_fire")
    assert code == 0
    assert "flashes: passes WCAG 2.3.1" in out
    assert run("check", "strobe.toml", "--size", "120x80")[0] == 0


def test_one_map_for_one_effect(run):
    code, _, error = run("check", "banked_fire", "ticking_fire", "--flash-map", "where.png")
    assert code == 2
    assert "--flash-map" in error


HELD = "cv,value,note\n1,3,address\n3,5,motor\n143,154,\n144,250,\n149,78,\n35,12,\n36,0,\n"


@pytest.fixture
def held(tmp_path):
    """A list of values read from a locomotive."""
    path = tmp_path / "held.csv"
    path.write_text(HELD)
    return path


def test_check_knows_lists_of_values(run, held, tmp_path):
    (tmp_path / "held.toml").write_text("values = [{ cv = 143, value = 5 }]")
    code, out, _ = run("check", held, "held.toml")
    assert code == 0
    assert out.count("a usable list of values") == 2
    (tmp_path / "wrong.csv").write_text("cv,value\n0,1\n")
    code, _, err = run("check", "wrong.csv")
    assert code == 2
    assert "field 'line 2, cv': is too small" in err


def test_check_says_what_it_judged_and_what_was_dark(run, tmp_path):
    (tmp_path / "two.toml").write_text(
        """title = "Two ways"
[lamps.bed]
output = 3
colour = "#ff8000"
pattern = { kind = "steady", level = 0.1 }
[lamps.door]
output = 4
travel = "reverse"
colour = "#ff8000"
pattern = { kind = "flash", period_s = 0.2 }
"""
    )
    code, out, _ = run("check", "two.toml")
    assert code == 0
    assert "judged: forward, 0 km/h, key F0 on" in out
    assert "never lit in it, so not judged: door; film them too" in " ".join(out.split())
