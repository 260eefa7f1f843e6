"""The values as a text: what is not known and what is not proved stands below them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from decoders import FLICKER, GLIM, effect

from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.export.table import notes_of, table_text

MARSH = load_decoder(
    Path(__file__).parents[1] / "decoder" / "leaflet" / "files" / "marsh_hollow.toml"
)
FIRE = {"output": 3, "key": "F1", "pattern": FLICKER}


@pytest.mark.parametrize("proved", [True, False])
def test_values_that_are_not_proved_best_say_so(proved):
    made = replace(compile_effect(effect(fire=FIRE), GLIM), proved=proved)
    assert any("Not proved" in note for note in notes_of(made)) is not proved
    assert ("Not proved" in table_text("Fire", made)) is not proved


@pytest.mark.parametrize(("decoder", "told"), [(GLIM, False), (MARSH, True)], ids=["known", "not"])
def test_a_rate_that_is_not_known_stands_below(decoder, told):
    text = table_text("Fire", compile_effect(effect(4.0, fire=FIRE), decoder))
    assert ("Note: fire: how fast: not known, drawn at 4 a second" in text) is told


def test_only_parts_that_are_others_alone_are_others():
    made = compile_effect(effect(fire=FIRE), GLIM)
    shared = {str(value.cv) for value in made.values if value.shared}
    assert shared == {"CV35"}  # bits of other outputs; the rate is one value of all
