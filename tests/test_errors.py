"""Names that are near to others, and what errors make of them."""

from __future__ import annotations

import pytest

from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError, near

KINDS = ("steady", "flicker", "flash", "beat", "filament")


@pytest.mark.parametrize(
    ("given", "choices", "meant"),
    [
        ("flciker", KINDS, "flicker"),
        ("Steady", KINDS, "steady"),
        ("fil", KINDS, "filament"),
        ("fl", KINDS, None),
        ("candle", KINDS, None),
        ("f3", KEYS, "F3"),
        ("F30", KEYS, None),
        ("warm white", ["warm-white", "white"], "warm-white"),
        ("my_fire", ["banked_fire", "ticking_fire", "firehole_door"], None),
        (7, KINDS, None),
    ],
)
def test_only_a_near_name_is_suggested(given, choices, meant):
    assert near(given, choices) == meant


def test_an_error_with_choices_names_them_and_the_near_one():
    error = InputError("is not a kind", given="flahs", choices=KINDS, remedy="choose one")
    assert error.allowed == ", ".join(KINDS)
    assert error.remedy == "did you mean 'flash'?"
    assert InputError("is not a kind", given="x", choices=KINDS, remedy="a").remedy == "a"
