"""Documents: a model is changed only into one that a file may hold."""

from __future__ import annotations

import pytest

from fxstudio.documents import changed
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.errors import InputError


@pytest.fixture(scope="module")
def fire():
    return read_effect(find_effect("banked_fire"))


def test_a_changed_model_is_as_before_but_for_what_was_changed(fire):
    bed = changed(fire.lamps["bed"], output=9)
    effect = changed(fire, lamps={**fire.lamps, "bed": bed})
    assert effect.lamps["bed"].output == 9
    assert effect.model_fields_set == fire.model_fields_set
    assert changed(effect, lamps=fire.lamps) == fire


@pytest.mark.parametrize(
    ("fields", "told"), [({"rate_hz": 99.0}, "too large"), ({"rate": 1.0}, "not a known field")]
)
def test_what_a_file_may_not_hold_is_refused(fire, fields, told):
    with pytest.raises(InputError, match=told):
        changed(fire, **fields)
    with pytest.raises(InputError, match="both on output"):
        changed(fire, lamps={**fire.lamps, "bed": changed(fire.lamps["bed"], output=4)})
