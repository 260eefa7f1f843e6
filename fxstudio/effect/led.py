"""The kind of LED that gives a lamp its colour."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from fxstudio.colour import lamp_rgb, temperature_to_xyz, wavelength_to_xyz
from fxstudio.effect.colour import Colour


class ColouredLed(NamedTuple):
    """A kind of coloured LED by its dominant wavelength in nm; common practice.

    sample_nm : an assumed one, to name the LED that is nearest to a screen colour
    """

    kind: str
    shortest_nm: float
    sample_nm: float


COLOURED_LEDS: Final = (
    ColouredLed("blue", 380.0, 470.0),
    ColouredLed("modern-green", 500.0, 525.0),
    ColouredLed("yellow", 565.0, 580.0),
    ColouredLed("amber", 593.0, 596.0),
    ColouredLed("orange", 600.0, 605.0),
    ColouredLed("red", 613.0, 625.0),
)
ASSUMED_WHITES_K: Final = (2700.0, 6500.0)
ASSUMED_WARMEST_WHITE_K: Final = 2200.0
"""White LEDs are not made warmer than this; a flame's colour takes a coloured one."""


def led_kind(colour: Colour) -> str:
    """The kind of LED, a row of `LED_COLOURS`, that gives a lamp its colour.

    Data sheets give coloured LEDs a wavelength and white ones a colour temperature.
    """
    if colour.temperature_k is not None and colour.temperature_k >= ASSUMED_WARMEST_WHITE_K:
        return "white"
    if colour.wavelength_nm is not None:
        nm = colour.wavelength_nm
        return next(led.kind for led in reversed(COLOURED_LEDS) if nm >= led.shortest_nm)
    samples = [(led.kind, lamp_rgb(wavelength_to_xyz(led.sample_nm))) for led in COLOURED_LEDS]
    if colour.hex is not None:
        samples += [("white", lamp_rgb(temperature_to_xyz(kelvin))) for kelvin in ASSUMED_WHITES_K]
    rgb = np.array(colour.rgb) / max(*colour.rgb, 1e-9)
    return min(samples, key=lambda sample: float(np.linalg.norm(sample[1] - rgb)))[0]
