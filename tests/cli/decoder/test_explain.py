"""`fxstudio explain` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest

FILES = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"


def test_a_shipped_decoder_is_printed_back(run):
    code, out, _ = run("explain", "withybank_glim")
    assert code == 0
    assert "Which key lights what: CV33 to CV46" in out
    assert "output 1: steady at 100 %, on F0, forward only." in out


@pytest.mark.parametrize("path", sorted(FILES.glob("*.toml")), ids=lambda path: path.stem)
def test_a_leaflet_is_printed_back(run, path):
    code, out, _ = run("explain", path)
    assert code == 0
    assert "Delivered:" in out


def test_worked_examples_and_what_is_not_known(run):
    _, out, _ = run("explain", FILES / "marsh_hollow.toml")
    assert "So 6 = 1 + 5 x 1 means: steady, forward only." in out
    assert "What the codes of CV141 say: " in out


def test_what_is_held_is_told(run):
    Path("now.csv").write_text("cv,value\n117,12\n118,0\n")
    _, out, _ = run("explain", FILES / "marsh_hollow.toml", "--present", "now.csv")
    assert "violet (output 4): random flicker, on F2, reverse only." in out
    assert "brown (output 5): never lights." in out


def test_a_value_that_the_leaflet_forbids_is_refused(run):
    Path("now.csv").write_text("cv,value\n117,200\n")
    code, _, err = run("explain", FILES / "marsh_hollow.toml", "--present", "now.csv")
    assert code == 2
    assert "now.csv" in err
    assert "is no value of Marsh Hollow 5" in err
    assert "0 to 14" in err


def test_other_commands_say_that_they_do_not_read_it(run):
    code, _, err = run("values", "banked_fire", "-d", FILES / "marsh_hollow.toml")
    assert code == 2
    assert "is written in cells, which only `fxstudio explain` reads so far" in err


def test_check_finds_it_usable(run):
    code, out, _ = run("check", FILES / "rook_lane.toml")
    assert code == 0
    assert "a usable decoder description in cells" in out
