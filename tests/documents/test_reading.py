"""What kind of file a TOML file is; a model is changed only into one that a file may hold."""

from __future__ import annotations

import pytest

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.interview.notebook import Unfinished
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.lists import Listed
from fxstudio.documents.reading import (
    ANSWERS,
    DESCRIPTION,
    DRIVE,
    EARLIER,
    EFFECT,
    KINDS,
    SCENE,
    VALUES,
    changed,
    kind_of,
)
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.model import Effect
from fxstudio.effect.setting.model import SceneFile
from fxstudio.errors import InputError

MODELS = {
    EFFECT: Effect,
    EARLIER: Description,
    DESCRIPTION: Leaflet,
    VALUES: Listed,
    DRIVE: Drive,
    ANSWERS: Unfinished,
    SCENE: SceneFile,
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_known_by_the_fields_that_are_its_own(kind):
    others = {name for k, model in MODELS.items() if k != kind for name in in_a_file(model)}
    assert KINDS[kind] == in_a_file(MODELS[kind]) - others


def in_a_file(model):
    return {info.alias or name for name, info in model.model_fields.items()}


def test_a_file_is_what_it_speaks_of_most():
    assert kind_of({"title", "lamps", "scene", "values"}) == EFFECT
    assert kind_of({"title", "note"}) is None


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
