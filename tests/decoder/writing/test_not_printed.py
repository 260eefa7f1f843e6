"""Values as delivered that no leaflet prints: written whatever is held, and never written back."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import output_words_now
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import not_known
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.read_back import read_back
from fxstudio.decoder.writing.plan import plan, to_read
from fxstudio.documents.reading import parse
from fxstudio.export.plan_table import BLANK, plan_text, restore_text

EFFECTS, RATE, STEP = (CvAddress(number) for number in (120, 121, 122))
SHARE = {"codes": {"0": "steady", "1": "flicker"}}


def leaflet(effects: object, rate: object) -> Leaflet:
    """Two outputs whose effects are the two figures of one CV; what CV 122 does is not printed."""
    parts = [
        {"says": "effect", "of": "A", **SHARE},
        {"says": "effect", "of": "B", "times": 10, **SHARE},
    ]
    hz = {"says": "rate", "each_hz": 1.0, "from": 1, "to": 9}
    step = {"says": "share on", "of_effect": "flicker", "unknown": {"to": 3}}
    flicker = {"kind": "flicker", "lowest": 0.2, "style": "hold"}
    return parse(
        Leaflet,
        {
            "title": "Sedge Lock 2",
            "outputs": {"A": {"key": "F1"}, "B": {"key": "F2"}},
            "effects": {"flicker": flicker},
            "cells": [
                {"cv": 120, "parts": parts} | ({} if effects is None else {"delivered": effects}),
                {"cv": 121, "parts": [hz], "delivered": rate},
                {"cv": 122, "parts": [step]},
            ],
        },
    )


HALF = leaflet("unknown", 4)
FLAMES = effect(
    4.0,
    flames={
        "output": 1,
        "key": "F1",
        "pattern": {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0},
    },
)


def test_left_out_is_as_good_as_unknown():
    assert leaflet(None, 4).delivered == HALF.delivered == {RATE: 4}


def test_what_nobody_knows_is_written_and_left_blank_in_the_way_back():
    made = plan(compile_effect(FLAMES, HALF), None, HALF)
    assert [(s.cv, s.value, s.before) for s in made.steps] == [(EFFECTS, 1, None)]
    assert [(s.cv, s.value, s.before) for s in made.restore] == [(EFFECTS, None, 1)]
    assert made.unread == ((RATE, 4),)
    assert "Not known: what CV120 holds" in made.notes[0]
    assert "keeps what CV120 says of other things" in made.notes[0]
    assert made.steps[0].seen.endswith(
        "20 % to 100 %, on F1, both directions; shared rate of flames: 4 Hz"
    )
    for text in (plan_text("x", "y", made), restore_text("x", "y", made)):
        assert f"CV120 = {BLANK}" in text


@pytest.mark.parametrize(("held", "written"), [(0, 1), (10, 11), (1, None), (11, None)])
def test_once_it_is_read_it_is_as_any_other(held, written):
    made = plan(compile_effect(FLAMES, HALF), {EFFECTS: held}, HALF)
    assert [s.value for s in made.steps] == ([] if written is None else [written])
    assert [s.value for s in made.restore] == ([] if written is None else [held])
    assert not any("Not known" in note for note in made.notes)


def test_a_value_that_would_say_nothing_known_is_not_written():
    made = compile_effect(FLAMES, leaflet(1, "unknown"))
    assert made.changes == {RATE: 4}
    assert STEP not in made.by_cv


def test_the_smallest_value_is_no_knowledge():
    steady = effect(glow={"output": 1, "key": "F1", "pattern": {"kind": "steady", "level": 1.0}})
    made = compile_effect(steady, HALF)
    assert made.changes == {EFFECTS: 0}
    assert [row.delivered for row in made.values] == [None]
    assert made.consequences == ()
    assert EFFECTS in to_read(made, HALF)
    assert (
        output_words_now(HALF, HALF.outputs[0], {}) == "A (output 1): not known until CV120 is read"
    )


def test_it_is_told_where_it_matters():
    assert any(
        row.startswith("CV120, CV122, the value as delivered. Read it") for row in not_known(HALF)
    )
    notes = list(read_back({RATE: 4}, HALF).notes)
    assert notes == [
        "not in the list, and not known as delivered: read these too. Until then it is only "
        "supposed that CV120 = 0, CV122 = 0"
    ]
