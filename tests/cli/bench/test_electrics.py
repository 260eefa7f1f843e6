"""`fxstudio resistor`, `currents` and `wires` as people use them."""

from __future__ import annotations

import pytest

from fxstudio.cli.bench.options import Plug, Size, Values
from fxstudio.decoder.description.files import shipped
from fxstudio.electrics.resistor import SERIES, TRACK_VOLTAGES
from fxstudio.electrics.wiring import CONNECTORS


@pytest.mark.parametrize(
    ("options", "rows"), [(Size, TRACK_VOLTAGES), (Values, SERIES), (Plug, CONNECTORS)]
)
def test_every_row_of_a_table_can_be_chosen(options, rows):
    assert [option.value for option in options] == list(rows)


@pytest.mark.parametrize("series", Values)
def test_a_series_is_the_row_of_its_name(series):
    assert series.series == series.value


def test_resistor_by_the_standards_voltages(run):
    code, out, _ = run("resistor", "--forward", 2, "--current", 10, "--size", "n")
    assert code == 0
    # Worked by hand: (12 - 2) V / 10 mA; 20 V over 1000 ohm at the highest 22 V of NMRA S-9.1.
    assert out.startswith("1 kilohm, rated 1 W or more, for each chain of 1 LED (")
    rows = [line.replace("│", " ").split() for line in out.splitlines() if line[:1] == "│"]
    assert rows[0] == ["lowest", "8.5", "6.50", "42.2"]
    assert rows[1] == ["normal", "12", "10.00", "100.0"]
    assert rows[2] == ["highest", "22", "20.00", "400.0"]
    assert rows[3][-3:] == ["24", "22.00", "484.0"]
    assert "Resistors get hot" in out


def test_resistor_for_a_chain_and_a_steady_supply(run):
    chain = ("--forward", 2, "--leds", 2, "--supply", 12, "--highest", 12, "--current", 10)
    assert "820 ohm, rated 250 mW" in run("resistor", *chain)[1]
    out = run("resistor", "--forward", 2.1, "--supply", 12, "--values", "E24")[1]
    assert out.startswith("2 kilohm")


def test_resistor_by_colour_says_how_it_is_known(run):
    out = run("resistor", "--colour", "red", "--colour", "white")[1]
    assert "chain of 2 LEDs" in out
    assert "common practice" in out
    assert "red 1.8 to 2.1 V; white 2.8 to 3.4 V" in out


def test_resistor_warns(run):
    out = run("resistor", "--colour", "white", "--leds", 3, "--current", 20)[1]
    assert "more than 20 mA" in out
    assert "At 8.5 V the LEDs are dark" in out


def test_currents_against_a_decoder_and_a_plug(run):
    code, out, _ = run(
        "currents", "1=5", "3=60+50", "4=5", "--decoder", "withybank_glim",
        "--decoder-limit", 110, "--plug", "nem652",
    )  # fmt: skip
    assert code == 0
    assert "Output 3 carries 110 mA but may switch only 100 mA" in out
    assert "Outputs 1, 3, 4 together carry 120 mA" in out
    assert "no contact for output 4" in out
    quiet = run("currents", "1=5", "2=5.5", "--output-limit", 100, "--plug", "nem651")[1]
    assert "mind" not in quiet
    assert "10.5" in quiet


def test_wires(run):
    code, out, _ = run("wires")
    assert code == 0
    assert "common positive of all lamps" in out
    assert "NEM 651" in out
    assert "their manual decides" in out
    only = run("wires", "--plug", "nem652")[1]
    assert "diode to protect it" in only
    assert "NEM 651" not in only


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("resistor",), "no LED"),
        (("resistor", "--colour", "pink"), "is not a colour in the table"),
        (("resistor", "--forward", 2, "--leds", 9), "15 V is too low"),
        (("resistor", "--forward", 2, "--current", 0), "allowed: 0.1 to 1000 mA"),
        (("resistor", "--forward", 2, "--current", "nan"), "allowed: 0.1 to 1000 mA"),
        (("resistor", "--forward", "2,1"), "decimals have a point"),
        (("resistor", "--forward", 2, "--highest", 12), "below the normal one"),
        (("resistor", "--forward", 2, "--highest", "nan"), "allowed: 1 to 60 V"),
        (("resistor", "--forward", 2, "--led-limit", 0), "allowed: 0.1 to 1000 mA"),
        (("resistor", "--forward", 2, "--values", "E96"), "E96"),
        (("currents", "3"), "write it like 3=5"),
        (("currents", "3=5,5"), "with a point for decimals"),
        (("currents", "0=5"), "an output 1 to 32"),
        (("currents", "3=5", "3=6"), "output 3 is given twice"),
        (("currents", "3=0"), "is not a current"),
        (("currents", "9=5", "--decoder", "withybank_glim"), "has no output 9"),
        (("wires", "--plug", "nem999"), "nem999"),
    ],
)
def test_bad_input_is_told_in_one_message(run, arguments, said):
    code, out, err = run(*arguments)
    assert code == 2
    assert said in err
    assert out == ""


GLIM = shipped()["withybank_glim"]


@pytest.fixture
def limited(tmp_path):
    """A decoder whose outputs give 18 mA together; 1 shines forward only and 2 in reverse."""
    path = tmp_path / "limited.toml"
    path.write_text(
        GLIM.read_text("utf-8")
        .replace("function_map =", "limit_ma = 18\nfunction_map =", 1)
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
    code, out, _ = run("check", "banked_fire", "beyond.toml", limited, "--size", "120x80")
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
    code, out, _ = run("check", beyond, limited, "carrow_lantern", "--size", "120x80")
    assert code == 0
    assert out.count("compromise flames: output: output 32 asked, nothing will be seen") == 2
