"""What kind of file a TOML file is."""

from __future__ import annotations

import pytest

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.interview.notebook import Unfinished
from fxstudio.decoder.values.lists import Listed
from fxstudio.documents import ANSWERS, DESCRIPTION, DRIVE, EFFECT, KINDS, VALUES, kind_of
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect

MODELS = {
    EFFECT: Effect,
    DESCRIPTION: Description,
    VALUES: Listed,
    DRIVE: Drive,
    ANSWERS: Unfinished,
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_known_by_the_fields_that_are_its_own(kind):
    others = {name for k, model in MODELS.items() if k != kind for name in model.model_fields}
    assert KINDS[kind] == set(MODELS[kind].model_fields) - others


def test_a_file_is_what_it_speaks_of_most():
    assert kind_of({"title", "lamps", "scene", "values"}) == EFFECT
    assert kind_of({"title", "note"}) is None
