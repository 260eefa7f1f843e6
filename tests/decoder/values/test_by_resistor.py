"""The resistor that dims an LED: checked by hand with Ohm's law."""

from __future__ import annotations

import re

import pytest
from decoders import effect

from fxstudio.decoder.values.by_resistor import resistor_words


def told(share: float = 0.4, **lamp) -> str | None:
    return resistor_words(effect(bed={"output": 3, "key": "F1", **lamp}).lamps["bed"], share)


@pytest.mark.parametrize(
    ("colour", "milliamps", "ohm"),
    [
        # (15 V - forward voltage) / (share x current), the next value of E24 (IEC 60063) upwards
        ({"wavelength_nm": 605}, 5.0, "6.8 kilohm"),  # 12.9 V / 2 mA = 6.45
        ({"wavelength_nm": 625}, 10.0, "3.3 kilohm"),  # 13.05 V / 4 mA = 3.26
        ({"temperature_k": 2700}, 5.0, "6.2 kilohm"),  # 11.9 V / 2 mA = 5.95
    ],
)
def test_it_gives_the_share_of_the_current(colour, milliamps, ohm):
    words = told(colour=colour, current_ma=milliamps)
    assert f"{ohm} gives about 40 %" in words
    assert f"{milliamps:g} mA" in words


def test_a_flame_is_no_white_led():
    """White LEDs are not made as warm as a fire (common practice, no source)."""
    assert re.search(r"\((orange|amber) LED", told(colour={"temperature_k": 1900}))


@pytest.mark.parametrize("share", [0.0, 1.0, 0.001])
def test_none_is_offered_where_none_can_do_it(share):
    assert told(share, colour={"wavelength_nm": 605}) is None
