"""What a leaflet leaves out is told of each lamp it concerns, and of no other."""

from __future__ import annotations

from pathlib import Path

import pytest
from decoders import effect

from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.unknowns import not_known_of
from fxstudio.documents.reading import parse
from fxstudio.export.plan_table import to_fill_in

FILES = Path(__file__).parents[1] / "leaflet" / "files"
SMOOTH = {"kind": "flicker", "style": "smooth", "lowest": 0.2, "highest": 1.0}
FLASH = {"kind": "flash", "period_s": 1.5, "on_share": 0.25}

# By each leaflet's own words: what its file says is "unknown", or does not say at all.
TOLD = [
    ("marsh_hollow", SMOOTH, {"rate_hz": "4 a second", "lowest": "20 %", "style": "drifting"}),
    ("rook_lane", SMOOTH, {"lowest": "20 %", "style": "drifting"}),
    ("sallow_mill", SMOOTH, {"style": "drifting"}),
    ("tarn_end", {"kind": "steady", "level": 1.0}, {}),
    ("heron_weir", FLASH, {"lowest": "0 %", "on_share": "25 %", "period_s": "1.5 s"}),
]
WORDS = {
    "rate_hz": "how fast",
    "lowest": "how dark at least",
    "style": "whether it jumps or drifts",
    "on_share": "for what share of that it is bright",
    "period_s": "how long from one flash to the next",
}


@pytest.mark.parametrize(("name", "pattern", "told"), TOLD, ids=lambda value: str(value)[:12])
def test_what_is_not_known_is_told_with_what_is_drawn(name, pattern, told):
    leaflet = load_decoder(FILES / f"{name}.toml")
    output = leaflet.outputs[-1]
    lamp = {"output": output.number, "key": leaflet.keys_reaching(output.number)[0]}
    found = compile_effect(effect(4.0, fire={**lamp, "pattern": pattern}), leaflet)
    rows = not_known_of(found.shown)
    assert {row.what: row.drawn.split(" ", 2)[2] for row in rows} == {
        WORDS[field]: drawn for field, drawn in told.items()
    }
    assert all(row.lamp == "fire" and row.find for row in rows)


def test_it_reads_as_a_sentence():
    leaflet = load_decoder(FILES / "marsh_hollow.toml")
    wish = effect(4.0, fire={"output": 3, "key": "F1", "pattern": SMOOTH})
    told = list(map(str, not_known_of(compile_effect(wish, leaflet).shown)))
    assert "fire: how fast: not known, drawn at 4 a second" in told


def test_a_guess_is_marked_where_it_is_used_and_nowhere_else():
    rows = {
        "title": "Alder Bridge 1",
        "outputs": {"A": {"key": "F1"}, "B": {"key": "F2"}},
        "effects": {"fire": {"kind": "flicker", "style": "hold", "lowest": 0.2}},
        "cells": [
            {
                "cv": {"A": 130, "B": 131},
                "parts": [{"says": "effect", "codes": {"0": "steady", "1": "fire"}}],
                "delivered": 0,
            },
            {
                "cv": 140,
                "parts": [{"says": "rate", "each_hz": 0.5, "from": 1, "to": 40, "known": "guess"}],
                "delivered": 8,
            },
        ],
    }
    wish = {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0}
    asked = effect(
        4.0,
        fire={"output": 1, "key": "F1", "pattern": wish},
        lamp={"output": 2, "key": "F2"},
    )
    (row,) = not_known_of(compile_effect(asked, parse(Leaflet, rows)).shown)
    assert str(row) == "fire: how fast: only a guess, drawn at 4 a second"


@pytest.mark.parametrize(
    ("known", "within", "told"),
    [
        ("measured", 0.15, "measured, drawn at 4 a second, 3.4 to 4.6"),
        ("by eye", None, "found by eye, drawn at 4 a second"),
        ("guess", None, "only a guess, drawn at 4 a second"),
        ("leaflet", None, None),
    ],
)
@pytest.mark.parametrize("by_cell", [True, False])
def test_a_figure_that_is_from_elsewhere_says_so_with_how_sure_it_is(known, within, told, by_cell):
    source = {"known": known} | ({} if within is None else {"within": within})
    part = {"says": "rate", "each_hz": 1.0, "from": 1, "to": 9} | source
    fixed = {} if by_cell else {"rate_hz": 4.0, **source}
    read = parse(
        Leaflet,
        {
            "title": "Sedge Lock 4",
            "outputs": {"A": {"key": "F1"}},
            "effects": {"glow": {"kind": "flicker", "style": "hold", "lowest": 0.2, **fixed}},
            "cells": [
                {"cv": 120, "parts": [{"says": "effect", "codes": {"1": "glow"}}], "delivered": 1},
                *([{"cv": 121, "parts": [part], "delivered": 2}] if by_cell else []),
            ],
        },
    )
    lamp = {"output": 1, "key": "F1", "pattern": SMOOTH | {"style": "hold"}}
    rows = not_known_of(compile_effect(effect(4.0, fire=lamp), read).shown)
    rate = [str(row) for row in rows if row.what == "how fast"]
    assert rate == ([] if told is None else [f"fire: how fast: {told}"])
    assert [told in to_fill_in(row) for row in rows if row.what == "how fast"] == [True] * len(rate)
