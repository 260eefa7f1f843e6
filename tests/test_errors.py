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
        ("F03", KEYS, "F3"),
        ("alwasy", (*KEYS, "always"), "always"),
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


@pytest.mark.parametrize("given", ["flahs", "x"])
def test_an_error_says_the_same_however_it_is_put_together(given):
    whole = InputError("is odd", given=given, choices=KINDS, allowed="a kind", remedy="choose one")
    parts = InputError("is odd", given=given, choices=KINDS).allowing("a kind", "choose one")
    assert str(parts) == str(whole)


def test_an_error_says_where_what_and_what_to_do():
    error = InputError("is far", field="x", given=9).allowing("1 to 3", remedy="go nearer")
    assert str(error).splitlines() == [
        "field 'x': is far",
        "  given:   9",
        "  allowed: 1 to 3",
        "  do:      go nearer",
    ]
