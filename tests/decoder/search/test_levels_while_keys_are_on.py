"""Lamps that a key makes brighter or darker: light, levels and keys are chosen together."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.documents.reading import parse

LEVEL, WHILE = CvAddress(160), CvAddress(161)


def decoder(levels: int | None = None) -> Leaflet:
    """One output on F1 with a level, and another while F2 is on, both in quarters."""
    rows = [
        {"cv": 160, "parts": [{"says": "level", "even": {"to": 4}}], "delivered": 4},
        {"cv": 161, "parts": [{"says": "level", "while": "F2", "even": {"to": 4}}], "delivered": 4},
    ]
    pwm = {"pwm": {"levels": levels}} if levels else {}
    return parse(
        Leaflet, {"title": "Quarters", "outputs": {"a": {"key": "F1"}}, "cells": rows} | pwm
    )


def lamp(**fields):
    return effect(a={"output": 1, "key": "F1", **fields})


def steady(level: float):
    return {"kind": "steady", "level": level}


def test_a_level_while_a_key_is_on_is_seen_though_it_is_dark_without_it():
    (seen,) = decode({LEVEL: 0, WHILE: 2}, decoder()).effect.lamps.values()
    assert seen.pattern.brightest == 0.5
    assert [(set(way.on), way.off) for way in seen.ways] == [({"F1", "F2"}, ())]
    assert seen.dim == {}


@pytest.mark.parametrize("held", [{LEVEL: 0, WHILE: 0}, {LEVEL: 1, WHILE: 1}])
def test_light_that_is_rounded_to_none_is_dark(held):
    (seen,) = decode(held, decoder(levels=2)).effect.lamps.values()
    assert seen.pattern.is_dark


WISHES = {
    "as bright with it": ({"pattern": steady(0.5)}, {LEVEL: 2, WHILE: 2}),
    "half as bright with it": ({"pattern": steady(0.5), "dim": {"F2": 0.5}}, {LEVEL: 2, WHILE: 1}),
    "out with it": ({"pattern": steady(0.5), "dim": {"F2": 0.0}}, {LEVEL: 2, WHILE: 0}),
    "only with it": ({"pattern": steady(0.5), "together": ["F2"]}, {LEVEL: 0, WHILE: 2}),
    "never": ({"pattern": steady(0.0)}, {LEVEL: 0, WHILE: 0}),
}


@pytest.mark.parametrize("name", WISHES)
def test_each_level_is_the_one_that_is_asked_for(name):
    fields, values = WISHES[name]
    found = compile_effect(lamp(**fields), decoder())
    assert dict(found.target) == values
    assert found.proved
    assert found.compromises == ()


def test_a_lamp_that_its_own_key_puts_out_is_as_dark_as_can_be():
    wish = lamp(pattern=steady(0.5), dim={"F1": 0.0})
    (seen,) = compile_effect(wish, decoder()).seen.lamps.values()
    assert seen.pattern.is_dark
