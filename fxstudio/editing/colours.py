"""Colours by the names that the trade gives to LEDs, and colours as a person types them."""

from __future__ import annotations

import re

from fxstudio.effect.model import Colour
from fxstudio.errors import InputError

NAMED: dict[str, tuple[str, float]] = {
    "red": ("wavelength_nm", 625.0),
    "orange": ("wavelength_nm", 605.0),
    "amber": ("wavelength_nm", 595.0),
    "yellow": ("wavelength_nm", 588.0),
    "yellow-green": ("wavelength_nm", 570.0),
    "green": ("wavelength_nm", 525.0),
    "blue-green": ("wavelength_nm", 505.0),
    "blue": ("wavelength_nm", 470.0),
    "violet": ("wavelength_nm", 410.0),
    "glowing coal": ("temperature_k", 1300.0),
    "candle flame": ("temperature_k", 1900.0),
    "old light bulb": ("temperature_k", 2400.0),
    "warm white": ("temperature_k", 2700.0),
    "white": ("temperature_k", 4500.0),
    "cool white": ("temperature_k", 6500.0),
}
"""Names with the dominant wavelength in nm or the colour temperature in K: the middle of what
is sold, or seen, under the name. Common practice, from memory; a data sheet may differ.
"""

TYPED = "a name such as orange or warm white, 605 nm, 2700 K, or #ff8000"
"""What a person may type for a colour."""

UNITS = {"nm": "wavelength_nm", "k": "temperature_k"}

LEAST_K = 1000
"""A number without a unit is a temperature from here on, and a wavelength below."""


def way_of(colour: Colour) -> str:
    """The field by which a colour is given."""
    (way,) = colour.model_fields_set
    return way


def name_of(colour: Colour) -> str:
    """The name of a colour; its number or code if it has none."""
    given = way_of(colour), getattr(colour, way_of(colour))
    return next((name for name, named in NAMED.items() if named == given), str(colour))


def read_colour(text: str) -> tuple[str, float | str]:
    """The way in which a colour is given and its value, from what a person typed.

    Raises InputError if it is no colour. Whether the number is in range, the effect says.
    """
    words = " ".join(text.lower().split())
    if words in NAMED:
        return NAMED[words]
    if re.fullmatch("#?[0-9a-f]{6}", words):
        return "hex", "#" + words.removeprefix("#")
    if number := re.fullmatch(r"(\d+(?:[.,]\d+)?) ?(nm|k)?", words):
        value = float(number[1].replace(",", "."))
        return UNITS[number[2] or ("k" if value >= LEAST_K else "nm")], value
    raise InputError("this is not a colour", given=text, allowed=TYPED, choices=NAMED)
