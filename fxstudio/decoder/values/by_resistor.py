"""The resistor that dims an LED where the decoder cannot.

The light of an LED goes with its current, so a share of light is a share of current (common
practice; a data sheet has the curve).
"""

from __future__ import annotations

from typing import Final

from fxstudio.effect.lamp import Lamp
from fxstudio.effect.led import led_kind
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

SMALLEST_MA: Final = 0.1
"""Currents below this are no matter of a resistor."""

SIZE: Final = TRACK_VOLTAGES["ho"]


def resistor_words(lamp: Lamp, share: float) -> str | None:
    """How a resistor gives a lamp this share 0..1 of its light; None if none can.

    The lamp's own current, or `ASSUMED_CURRENT_MA`, is that of its full light, at the normal
    voltage of `SIZE`.
    """
    full_ma = lamp.current_ma or ASSUMED_CURRENT_MA
    if not 0 < share < 1 or full_ma * share < SMALLEST_MA:
        return None
    name = led_kind(lamp.colour)
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
