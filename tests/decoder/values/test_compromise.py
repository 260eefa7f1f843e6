"""What a compromise proposes to set does away with it."""

from __future__ import annotations

from pathlib import Path

import pytest
from decoders import CARROW, GLIM, TOLLEY, UNGATED, effect

from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.editing.edits import set_field
from fxstudio.effect.files import read_effect, shipped_effects

EFFECTS = {name: read_effect(path) for name, path in shipped_effects().items()} | {
    "far outputs": effect(
        bed={"output": 30, "key": "F1"},
        flames={"output": 3, "key": "F1"},
        door={"output": 31, "key": "F1"},
    ),
    "travel": effect(
        bed={"output": 1, "key": "F2", "travel": "forward"},
        flames={"output": 4, "key": "always", "travel": "reverse"},
        door={"output": 3, "key": "F28", "pattern": {"kind": "beat", "lowest": 0.123456}},
    ),
}


@pytest.mark.parametrize("decoder", [GLIM, CARROW, TOLLEY], ids=lambda d: d.title)
@pytest.mark.parametrize("name", EFFECTS)
def test_what_is_proposed_does_away_with_the_compromise(decoder, name):
    wish = EFFECTS[name]
    for told in compile_effect(wish, decoder).compromises:
        if told.what == "output" and len(wish.lamps) > len(decoder.outputs):
            continue  # a lamp too many: no output is free for it
        assert told.change.in_a_file in str(told)
        changed = set_field(wish, told.change.path, told.change.value)
        left = compile_effect(changed, decoder).compromises
        assert (told.lamp, told.what) not in {(each.lamp, each.what) for each in left}


def test_without_a_free_output_nothing_is_proposed():
    full = effect(**{f"lamp {n}": {"output": n, "key": "F0"} for n in (1, 2, 3, 4, 9)})
    told = next(each for each in compile_effect(full, GLIM).compromises if each.what == "output")
    assert told.change is None
    assert "put the lamp on one of these" in str(told)


@pytest.mark.parametrize(
    ("decoder", "lamp", "words"),
    [
        (CARROW, {"output": 6, "key": "F2"}, "Set key to always"),
        (CARROW, {"output": 1, "key": "F0"}, "Set travel to forward only"),
        (
            GLIM,
            {"output": 3, "key": "F1", "pattern": {"kind": "filament"}},
            "Set pattern to steady at 100 %",
        ),
        (
            GLIM,
            {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.4}},
            "Set brightness to 34.9 %",
        ),
        (UNGATED, {"output": 4, "key": "F2", "travel": "reverse"}, "Set key to F0"),
    ],
)
def test_in_words_no_field_of_a_file_is_named(decoder, lamp, words):
    (told,) = compile_effect(effect(x=lamp), decoder).compromises
    assert told.change.in_words == words


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        (255, []),  # 61 for 204 of them is 0.299: within 1 L*
        (3, ["the nearest it can do"]),  # a third for 0.8 is 0.417
    ],
)
def test_a_dimming_key_is_told_only_if_it_can_be_seen(tmp_path, steps, told):
    leaflets = Path(__file__).parents[1] / "leaflet" / "files"
    text = (leaflets / "tarn_end.toml").read_text("utf-8")
    row = 'while = "F6", even = { to = %d } }]\ndelivered = %d\n'
    assert row % (255, 255) in text
    path = tmp_path / "dims.toml"
    path.write_text(text.replace(row % (255, 255), row % (steps, steps)), "utf-8")
    bed = {"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.8}}
    asked = effect(bed={**bed, "dim": {"F6": 0.3}})
    rows = compile_effect(asked, load_decoder(path)).compromises
    assert [row.why for row in rows if row.what == "times as bright"] == told
