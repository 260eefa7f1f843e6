"""Keys and looks that no leaflet prints: drawn as they are wished, told, and never chosen."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import output_words_now
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import not_known, output_lines
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.values.unknowns import not_known_of
from fxstudio.documents.reading import parse

LOOK, KEY = CvAddress(120), CvAddress(121)
FLICKER = {"kind": "flicker", "lowest": 0.2, "style": "hold", "rate_hz": 4.0}
CODES = [
    {"codes": {"0": "steady", "1": "unknown", "2": "glimmer", "3": "flicker"}},
    {"codes": {"0": "steady", "3": "flicker"}, "unknown": {"from": 1, "to": 2}},
]


def leaflet(codes: dict, held: int = 0) -> Leaflet:
    """A's key is not known; B's is, but for some codes of its CV."""
    keys = {"says": "key", "of": "B", "keys": {"from": 1, "to": 4}, "codes": {"0": "unknown"}}
    return parse(
        Leaflet,
        {
            "title": "Sedge Lock 3",
            "outputs": {"A": {"key": "unknown"}, "B": {}},
            "effects": {"flicker": FLICKER, "glimmer": {"kind": "unknown"}},
            "cells": [
                {
                    "cv": 120,
                    "parts": [{"says": "effect", "of": "A"} | codes],
                    "delivered": held,
                },
                {"cv": 121, "parts": [keys], "delivered": 0},
            ],
        },
    )


def lamp(output: int, kind: str = "flicker"):
    flicker = {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0}
    pattern = flicker if kind == "flicker" else {"kind": "steady", "level": 1.0}
    return effect(4.0, lamp={"output": output, "key": "F3", "pattern": pattern})


@pytest.mark.parametrize("codes", CODES)
@pytest.mark.parametrize("held", [0, 1, 2, 3])
def test_a_code_of_which_nothing_is_known_is_never_chosen(codes, held):
    made = compile_effect(lamp(1), leaflet(codes), {LOOK: held})
    assert made.held_after(LOOK) == 3
    assert made.compromises == ()
    assert [str(row) for row in not_known_of(made.shown)] == [
        "lamp: which key lights it: not known, drawn with F3"
    ]


@pytest.mark.parametrize("codes", CODES)
def test_a_look_that_is_held_and_not_known_is_told(codes):
    shown = decode({LOOK: 1}, leaflet(codes), lamp(1))
    assert shown.effect.lamps["lamp"].pattern == lamp(1).lamps["lamp"].pattern
    assert set(shown.unknown["lamp"]) == {"effect", "key"}
    words = output_words_now(leaflet(codes, 1), leaflet(codes, 1).outputs[0], {})
    assert words == "A (output 1): effect not known, on a key that is not known"


def test_a_key_that_is_known_goes_before_one_that_is_not():
    made = compile_effect(lamp(2, "steady"), leaflet(CODES[0]))
    assert (made.changes, made.compromises) == ({KEY: 4}, ())


def test_where_all_is_silent_nothing_is_written():
    made = compile_effect(lamp(1), leaflet({"unknown": {"to": 3}}, 2))
    assert made.changes == {}
    assert {row.what for row in not_known_of(made.shown)} == {
        "what its light does",
        "which key lights it",
    }


def test_each_is_listed_with_how_it_can_be_found():
    told = not_known(leaflet(CODES[0]))
    assert [row for row in told if "keys" in row or "its light" in row] == [
        "CV120, effect: what its light does. Look at it, or compare it with films.",
        "CV121, key: which key lights it. Try all keys, one after the other.",
        "A (output 1): which key lights it. Try all keys, one after the other.",
        "glimmer: what its light does. Look at it, or compare it with films.",
    ]
    assert [row[2] for row in output_lines(leaflet(CODES[0]))] == ["not printed", "set by a CV"]
