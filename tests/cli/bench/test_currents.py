"""`fxstudio currents` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fxstudio.decoder.leaflet.files import shipped

FILES = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"


def test_currents_against_a_decoder_and_a_plug(run):
    code, out, _ = run(
        "currents",
        "1=5",
        "3=60+50",
        "4=5",
        "--decoder",
        "withybank_glim",
        "--decoder-limit",
        110,
        "--plug",
        "nem652",
    )
    assert code == 0
    assert "Output 3 carries 110 mA but may switch only 100 mA" in out
    assert "Outputs 1, 3, 4 together carry 120 mA" in out
    assert "no contact for output 4" in out
    quiet = run("currents", "1=5", "2=5.5", "--output-limit", 100, "--plug", "nem651")[1]
    assert "mind" not in quiet
    assert "10.5" in quiet


GLIM = shipped()["withybank_glim"]


@pytest.fixture
def limited(tmp_path):
    """A decoder whose outputs give 18 mA together; 1 shines forward only and 2 in reverse."""
    path = tmp_path / "limited.toml"
    path.write_text(
        GLIM.read_text("utf-8")
        .replace("keys =", "limit_ma = 18\nkeys =", 1)
        .replace('"green"', '"pink"'),
        "utf-8",
    )
    return path


def test_currents_know_the_wires_of_the_description(run, limited):
    out = run("currents", "3=5", "-d", limited)[1]
    assert "pink" in out
    assert "see the manual" not in out


@pytest.mark.parametrize(
    ("loads", "at_once"),
    [
        (("1=9", "2=8"), "9 mA of 18 mA at most at once, with outputs 1 on"),
        (("1=9", "2=8", "3=9"), "18 mA of 18 mA at most at once, with outputs 1, 3 on"),
        (("1=8", "2=10", "3=9"), "19 mA of 18 mA at most at once, with outputs 2, 3 on"),
    ],
)
def test_lamps_of_opposite_directions_do_not_add_up(run, limited, loads, at_once):
    out = run("currents", *loads, "-d", limited)[1]
    assert at_once in out
    assert ("the decoder gives only 18 mA" in out) == (at_once.startswith("19"))


def test_an_effect_says_what_is_lit_at_once(run):
    # Its lamp on 1 shines forward, that on 2 in reverse; 3 is none of its outputs: always counted.
    out = run("currents", "1=4", "2=5", "3=6", "--effect", "end_lamps", "-d", "withybank_glim")[1]
    assert "11 mA at most at once, with outputs 2, 3 on" in out


def test_check_and_plan_hold_an_effect_against_the_decoder(run, limited, tmp_path):
    code, out, _ = run("check", "banked_fire", "beyond.toml", limited)
    assert code == 2  # there is no beyond.toml
    assert f"banked_fire on {limited}:" in out
    assert "of 18 mA at most at once" in out
    assert "of 18 mA at most at once" in run("plan", "banked_fire", "-d", limited)[1]
    beyond = tmp_path / "beyond.toml"
    text = 'title = "B"\n'
    for name, output in (("bed", 3), ("flames", 32)):
        text += (
            f'[lamps.{name}]\noutput = {output}\ncolour = "#ff8000"\n'
            'pattern = { kind = "steady" }\nkey = "F1"\n'
        )
    beyond.write_text(text)
    code, out, _ = run("check", beyond, limited, "carrow_lantern")
    assert code == 0
    assert out.count("compromise flames: output: output 32 asked, nothing will be seen") == 2


def test_outputs_without_a_printed_limit_are_added_up_all_the_same(run):
    code, out, _ = run("currents", "1=5", "2=6", "-d", FILES / "sallow_mill.toml")
    assert code == 0
    assert out.count("not given") == 3  # of two outputs, and of all
    assert "6 mA at most at once, with outputs 2 on" in out  # 1 is dark in reverse, 2 forward


def test_lamps_of_standing_and_of_moving_do_not_add_up(run, tmp_path):
    text = (FILES / "tarn_end.toml").read_text("utf-8")
    told = "delivered = [1, 2, 0, 0, 0, 0, 0, 0]"
    assert told in text
    path = tmp_path / "moving.toml"
    path.write_text(text.replace(told, "delivered = [3, 4, 0, 0, 0, 0, 0, 0]"), "utf-8")
    out = run("currents", "1=5", "2=6", "3=7", "-d", path)[1]
    assert "13 mA of 500 mA at most at once, with outputs 2, 3 on" in out


@pytest.mark.parametrize(
    ("loads", "told"),
    [
        (("1=60", "3=60"), "Outputs 1, 3 carry 120 mA at once but may switch only 100 mA together"),
        (("1=60", "2=60"), None),  # of opposite directions
        (("1=60", "4=60"), None),  # not of the group
    ],
)
def test_outputs_with_a_limit_together_are_held_to_it(run, tmp_path, loads, told):
    text = (FILES / "tarn_end.toml").read_text("utf-8")
    path = tmp_path / "group.toml"
    group = 'limits = [{ of = ["1", "2", "3"], limit_ma = 100 }]\n'
    path.write_text(text.replace("limit_ma = 500\n", f"limit_ma = 500\n{group}"), "utf-8")
    out = run("currents", *loads, "-d", path)[1]
    assert ("together: use fewer lamps" in out) is bool(told)
    assert told is None or told in out
