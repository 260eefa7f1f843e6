"""Decoders that light outputs by rules, each with a key, a condition and any outputs."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.documents.reading import parse

KEY, LIGHTS, WHEN = 120, 130, 140
WHENS = ("always", "forward", "reverse", "standing", "moving")
OUTPUTS = "abcdefgh"


def rules(count: int = 4, last: int = 28) -> Leaflet:
    """Key 0 to `last` or 255 for none, a sum of outputs, a condition; nothing is lit at first."""
    names = [f"rule {n + 1}" for n in range(count)]

    def cells(first: int, delivered: int, **part) -> dict:
        cvs = {name: first + at for at, name in enumerate(names)}
        return {"cv": cvs, "parts": [part], "delivered": delivered}

    return parse(
        Leaflet,
        {
            "title": "Rules",
            "rules": names,
            "outputs": {name: {} for name in OUTPUTS},
            "cells": [
                cells(KEY, 255, says="key", keys={"from": 0, "to": last}, codes={255: "never"}),
                cells(LIGHTS, 0, says="lights", sum={o: 1 << at for at, o in enumerate(OUTPUTS)}),
                cells(WHEN, 0, says="when", codes=dict(enumerate(WHENS))),
            ],
        },
    )


def lamps(**rows: dict):
    """Lamps by the letter of their output."""
    return effect(
        **{name: {"output": OUTPUTS.index(name) + 1, **row} for name, row in rows.items()}
    )


EACH_ITS_OUTPUT = {KEY + n: n for n in range(4)} | {LIGHTS + n: 1 << n for n in range(4)}
CASES = {
    "one lamp": (lamps(a={"key": "F1"}), {}, 1),
    "two keys": (lamps(a={"key": "F1"}, b={"key": "F2"}), {}, 2),
    "one key": (lamps(a={"key": "F1"}, b={"key": "F1"}), {}, 1),
    "one key, one direction": (lamps(a={"key": "F1"}, b={"key": "F1", "travel": "forward"}), {}, 2),
    "while moving": (lamps(a={"key": "F1", "motion": "moving"}), {}, 1),
    "either of two keys": (lamps(a={"key": "F1", "also": [{"key": "F3"}]}), {}, 2),
    "as many as there are": (lamps(**{o: {"key": f"F{n}"} for n, o in enumerate("abcd")}), {}, 4),
    "all taken, one of them to another key": (lamps(a={"key": "F9"}), EACH_ITS_OUTPUT, 4),
    "all taken, two joined": (lamps(a={"key": "F9"}, b={"key": "F9"}), EACH_ITS_OUTPUT, 3),
    "a rule that says so already": (lamps(b={"key": "F0"}), EACH_ITS_OUTPUT, 3),
}


@pytest.mark.parametrize("name", CASES)
def test_every_way_takes_a_rule(name):
    asked, values, used = CASES[name]
    read, held = rules(), {CvAddress(cv): value for cv, value in values.items()}
    found = compile_effect(asked, read, held)
    assert found.compromises == ()
    assert {n: lamp.ways for n, lamp in found.seen.lamps.items()} == {
        n: lamp.ways for n, lamp in asked.lamps.items()
    }
    ends = {**held, **found.target}
    assert sum(ends.get(CvAddress(LIGHTS + n), 0) > 0 for n in range(4)) == used


def test_no_more_is_written_than_must_be():
    held = {CvAddress(cv): value for cv, value in EACH_ITS_OUTPUT.items()}
    assert compile_effect(lamps(a={"key": "F0"}), rules(), held).changes == {}
    moved = compile_effect(lamps(a={"key": "F9"}), rules(), held).changes
    assert {cv.number: value for cv, value in moved.items()} == {KEY: 9}


def test_outputs_that_nobody_named_stay_on_their_rule():
    held = {CvAddress(KEY): 0, CvAddress(LIGHTS): 0b11}
    found = compile_effect(lamps(b={"key": "F2"}), rules(), held)
    assert found.changes[CvAddress(LIGHTS)] == 0b01
    assert CvAddress(KEY) not in found.changes
    assert found.compromises == ()


def test_with_too_few_rules_every_lamp_shines_and_the_key_is_told():
    asked = lamps(**{name: {"key": f"F{n}"} for n, name in enumerate("abcde")})
    found = compile_effect(asked, rules(4))
    assert not any(row.grave for row in found.compromises)
    assert [(row.lamp, row.what) for row in found.compromises] == [("e", "key")]
    assert not found.proved


def test_a_lamp_that_shall_be_dark_is_taken_off_its_rule():
    held = {CvAddress(KEY): 0, CvAddress(LIGHTS): 0b11}
    dark = lamps(b={"key": "F2", "pattern": {"kind": "steady", "level": 0.0}})
    found = compile_effect(dark, rules(), held)
    assert found.compromises == ()
    assert found.changes == {CvAddress(LIGHTS): 0b01}


def test_eight_rules_for_eight_lamps():
    asked = lamps(**{name: {"key": f"F{n}"} for n, name in enumerate(OUTPUTS)})
    assert compile_effect(asked, rules(8)).compromises == ()


def test_the_only_rule_goes_to_the_lamp_whose_key_it_can_have():
    found = compile_effect(lamps(a={"key": "F12"}, b={"key": "F1"}), rules(1, last=9))
    assert found.seen.lamps["b"].key == "F1"
    assert found.seen.lamps["b"].pattern.is_dark is False
