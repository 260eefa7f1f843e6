"""The resistor that dims an LED where the decoder cannot.

The light of an LED goes with its current, so a share of light is a share of current (common
practice; a data sheet has the curve).
"""

from __future__ import annotations

from typing import Final

from fxstudio.effect.model import Colour, Lamp
from fxstudio.electrics.resistor import (
    ASSUMED_CURRENT_MA,
    LED_COLOURS,
    TRACK_VOLTAGES,
    ohms,
    series_resistor,
    watts,
)
from fxstudio.errors import InputError
from fxstudio.units import percent

# Ends of the colours in nm by common names of LEDs; common practice, no source.
COLOUR_ENDS_NM: Final = ((490, "blue"), (560, "modern-green"), (575, "green"), (595, "yellow"))
LONGER: Final = ((610, "orange"), (1000, "red"))

SMALLEST_MA: Final = 0.1
"""Currents below this are no matter of a resistor."""

SIZE: Final = TRACK_VOLTAGES["ho"]


def led_colour(colour: Colour) -> str:
    """The colour of LED that gives this light: white for a mixed one."""
    if colour.wavelength_nm is None:
        return "white"
    rows = (*COLOUR_ENDS_NM, *LONGER)
    return next(name for end, name in rows if colour.wavelength_nm < end)


def resistor_words(lamp: Lamp, share: float) -> str | None:
    """How a resistor gives a lamp this share 0..1 of its light; None if none can.

    The lamp's own current, or `ASSUMED_CURRENT_MA`, is that of its full light, at the normal
    voltage of `SIZE`.
    """
    full_ma = lamp.current_ma or ASSUMED_CURRENT_MA
    if not 0 < share < 1 or full_ma * share < SMALLEST_MA:
        return None
    name = led_colour(lamp.colour)
    forward_v = LED_COLOURS[name].typical_v
    try:
        found = series_resistor(
            SIZE.normal_v, (forward_v,), full_ma * share, series="E24", highest_v=SIZE.highest_v
        )
    except InputError:
        return None
    heat = found.power_mw(found.highest_v)
    rating = f", so take one for {watts(found.rating_mw)}" if found.rating_mw else ""
    return (
        f"or dim it by its resistor: {ohms(found.ohm)} gives about {percent(share)} of the light "
        f"that {full_ma:g} mA give ({name} LED of {forward_v:g} V at {SIZE.normal_v:g} V; "
        f"{heat:.0f} mW of heat at {SIZE.highest_v:g} V{rating}); `fxstudio resistor` reckons it "
        "for your LED and voltage"
    )
