"""`fxstudio film --beside` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

SMALL = ("--size", "240x320", "--fps", "5")


@pytest.mark.parametrize(
    "asked",
    [
        ("saloon_evening",),
        ("saloon_evening", "--decoder", "tolley_hearth"),
        ("wish", "--decoder", "tolley_hearth", "--tour", "--lanes"),
        ("before.csv", "--decoder", "tolley_hearth", "--max-size", "300kB"),
    ],
)
def test_two_looks_in_one_film_of_the_size_asked_for(run, asked):
    Path("before.csv").write_text("cv,value\n1,3\n")
    code, _, err = run("film", "banked_fire", "--beside", *asked, *SMALL, "-o", "two.gif")
    assert (code, err) == (0, "")
    with Image.open("two.gif") as gif:
        assert gif.size == (240, 320)


def test_each_of_several_effects_has_it_beside(run):
    effects = ("banked_fire", "raked_up")
    code, _, _ = run("film", *effects, "--beside", "end_lamps", "--jobs", "2", *SMALL)
    assert code == 0
    assert all(Path(f"{name}.gif").exists() for name in effects)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (("wish",), "add --decoder"),
        (("before.csv",), "add --decoder"),
        (("end_lamp",), "did you mean 'end_lamps'"),
        (("end_lamps", "--calm"), "calms one look, not two"),
    ],
)
def test_what_cannot_stand_beside_it_is_said(run, asked, told):
    Path("before.csv").write_text("cv,value\n1,3\n")
    code, _, err = run("film", "banked_fire", "--beside", *asked, *SMALL)
    assert code != 0
    assert told in err
    assert not Path("banked_fire.gif").exists()


def test_keys_that_the_right_look_wants_are_told(run):
    asked = ("film", "banked_fire", "--beside", "saloon_evening", *SMALL, "-o", "two.gif")
    _, out, _ = run(*asked)
    dark = "lamp_left, lamp_middle, lamp_right, tables"
    assert f"not lit on the right, for want of keys: {dark}; try --keys F1,F2,F5,F6" in out
    _, out, _ = run(*asked, "--keys", "F1,F2,F5,F6", "--replace")
    assert "hint" not in out
