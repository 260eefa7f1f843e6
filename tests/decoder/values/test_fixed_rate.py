"""Decoders whose flicker has a rate of its own that no CV sets."""

from __future__ import annotations

import pytest
import tomlkit
from decoders import FLICKER, GLIM, effect, said_as, said_of
from window_driver import Driver, write_fire

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.plan import plan
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError
from fxstudio.units import hz

TABLES = said_of(GLIM)
FIXED = said_as({**TABLES, "rate": {"fixed_hz": 4.0}})
RATE = CvAddress(149)
FIRE = {"output": 3, "key": "F1", "pattern": FLICKER}


def test_no_cv_of_the_rate_is_known_compiled_or_written():
    assert set(GLIM.delivered) - set(FIXED.delivered) == {RATE}
    made = compile_effect(effect(6.0, fire=FIRE), FIXED)
    assert "fire" in made.seen.flickering()
    assert RATE not in made.by_cv
    steps = plan(made, None, FIXED).steps
    assert RATE not in [step.cv for step in steps]


def test_another_rate_is_a_compromise_that_names_the_only_one():
    made = compile_effect(effect(6.0, fire=FIRE), FIXED)
    assert made.seen.rate_hz == 4.0
    (told,) = [row for row in made.compromises if row.lamp is None]
    assert "set rate_hz = 4 in the effect, the only one it has" in str(told)
    same = compile_effect(effect(4.0, fire=FIRE), FIXED)
    assert [row for row in same.compromises if row.lamp is None] == []


def test_values_are_seen_at_the_fixed_rate():
    assert decode(FIXED.delivered, FIXED).effect.rate_hz == 4.0


@pytest.mark.parametrize(
    ("rate", "field", "told"),
    [
        ({"fixed_hz": 4.0, "cv": 149}, "rate.fixed_hz", "stands beside cv"),
        ({"fixed_hz": 4.0, "page": [40, 0]}, "rate.fixed_hz", "stands beside page"),
        ({"cv": 149}, "rate", "lacks works and curve"),
        ({}, "rate", "lacks cv and works and curve"),
    ],
)
def test_a_rate_is_either_fixed_or_a_cv(rate, field, told):
    with pytest.raises(InputError) as caught:
        parse(Description, {**TABLES, "rate": rate})
    assert (caught.value.field, caught.value.problem) == (field, told)
    assert "fixed_hz alone" in caught.value.allowed


def test_the_window_tells_the_rate_in_place_of_a_value(tmp_path):
    path = tmp_path / "fixed.toml"
    path.write_text(tomlkit.dumps({**TABLES, "rate": {"fixed_hz": 4.0}}), encoding="utf-8")
    driver = Driver(write_fire(tmp_path))
    try:
        driver.studio.use_decoder(str(path))
        driver.frame(0)
        assert f"{GLIM.title} always flickers at {hz(4.0)}." in driver.texts()
        with pytest.raises(KeyError):
            driver.widget("rate value")
    finally:
        driver.close()
