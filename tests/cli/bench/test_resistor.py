"""`fxstudio resistor` as people use it."""

from __future__ import annotations


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
