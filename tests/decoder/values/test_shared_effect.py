"""One CV says who takes part in an effect, another which effect that is: answers by hand."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import not_known
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.documents.reading import parse

SUM = {"A": 1, "B": 2, "C": 4, "D": 8}
WHICH = {"0": "flicker", "1": "flash"}
OWL_BARN = parse(
    Leaflet,
    {
        "title": "Owl Barn 4",
        "outputs": {name: {"key": "F1"} for name in SUM},
        "effects": {
            "shared": {"kind": "unknown"},
            "flicker": {"kind": "flicker", "style": "hold", "lowest": 0.2, "rate_hz": 4.0},
            "flash": {"kind": "flash", "on_share": 0.5, "lowest": 0.0},
        },
        "cells": [
            # "150: the sum of those that take part in the shared effect."
            {"cv": 150, "parts": [{"says": "effect", "set": "shared", "sum": SUM}], "delivered": 0},
            # "151 = effect + 10 x pace. 0 flicker, 1 flash. Pace: 0 half a second to 7 four
            # seconds from one flash to the next, each step the same ratio."
            {
                "cv": 151,
                "parts": [
                    {
                        "says": "effect",
                        "of_effect": "shared",
                        "codes": {"0": "flicker", "1": "flash"},
                    },
                    {
                        "says": "period",
                        "times": 10,
                        "of_effect": "flash",
                        "ratio": {"to": 7, "first": 0.5, "last": 4.0},
                    },
                ],
                "delivered": 0,
            },
        ],
    },
)
FLICKER = {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0}
# The ratio of one step is 8^(1/7) = 1.346, so code 3 is 0.5 s x 1.346^3 = 1.219 s.
FLASH = {"kind": "flash", "period_s": 1.219, "on_share": 0.5, "lowest": 0.0}
STEADY = {"kind": "steady", "level": 1.0}


def lamps(**patterns: dict):
    rows = {
        name: {"output": "ABCD".index(name) + 1, "key": "F1", "pattern": pattern}
        for name, pattern in patterns.items()
    }
    return effect(4.0, **rows)


@pytest.mark.parametrize(
    ("asked", "held", "writes"),
    [
        (lamps(A=STEADY, B=FLICKER), {}, {150: 2}),
        (lamps(A=STEADY, D=FLASH), {}, {150: 8, 151: 31}),
        (
            lamps(B=FLICKER, C=FLICKER),
            {150: 6, 151: 31},
            {151: 0},
        ),  # 30 does as well; 0 is delivered
        (lamps(A=STEADY), {150: 1, 151: 31}, {150: 0}),
    ],
)
def test_the_fewest_writes_are_those_found_by_hand(asked, held, writes):
    made = compile_effect(asked, OWL_BARN, {CvAddress(cv): value for cv, value in held.items()})
    assert {cv.number: value for cv, value in made.changes.items()} == writes
    assert made.compromises == ()


def test_who_takes_part_and_what_it_is_are_read_together():
    shown = decode({CvAddress(150): 4, CvAddress(151): 71}, OWL_BARN)
    kinds = {name: lamp.pattern.kind for name, lamp in shown.effect.lamps.items()}
    assert list(kinds.values()) == ["steady", "steady", "flash", "steady"]
    assert shown.effect.lamps["output 3"].pattern.period_s == pytest.approx(4.0)
    assert (shown.unknown, not_known(OWL_BARN)) == ({}, ())
