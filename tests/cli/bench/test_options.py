"""What can be chosen at the bench, and what is refused."""

from __future__ import annotations

import pytest

from fxstudio.cli.bench.options import Plug, Size, Values
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
