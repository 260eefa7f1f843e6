"""Values worked out by hand for a coding that is common practice; it has no source.

One CV holds an output: effect code + 16 x travel code, with travel 0 forward, 1 reverse,
2 both. As delivered an output is steady in both directions, and one rate from 0 to 255
drives every output that flickers.
"""

from __future__ import annotations

import pytest
from decoders import said_as

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode_values
from fxstudio.documents.reading import parse
from fxstudio.effect.model import Effect

FLICKER = {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0}
STEADY = {"kind": "steady", "level": 1.0}
OUTPUT_3, OUTPUT_4, RATE = CvAddress(118), CvAddress(119), CvAddress(112)
AS_DELIVERED, A_REASONABLE_FIRE = 32, 128

DECODER = said_as(
    {
        "title": "Plain coding",
        "function_map": "s-9.2.2",
        "outputs": [
            {"number": 1, "key": "F0", "travel": "forward", "current_ma": 100},
            {"number": 2, "key": "F0", "travel": "reverse", "current_ma": 100},
            {"number": 3, "key": "F1", "current_ma": 100},
            {"number": 4, "key": "F2", "current_ma": 100},
        ],
        "pwm": {"levels": 256, "refresh_ms": 10.0},
        "rate": {
            "cv": 112,
            "works": 32,
            "curve": [
                {"value": 0, "hz": 0.5},
                {"value": 128, "hz": 5.0},
                {"value": 255, "hz": 20.0},
            ],
        },
        "effect": {
            "cv": 116,
            "cv_step": 1,
            "bits": 4,
            "works": 0,
            "codes": [
                {"code": 0, "name": "steady", "pattern": STEADY},
                {"code": 1, "name": "flicker", "pattern": FLICKER},
            ],
        },
        "travel": {
            "cv": 116,
            "cv_step": 1,
            "bit": 4,
            "bits": 2,
            "works": 2,
            "codes": [
                {"code": 0, "travel": "forward"},
                {"code": 1, "travel": "reverse"},
                {"code": 2, "travel": "both"},
            ],
        },
    },
)


def effect(rate_hz: float = 5.0, **lamps: dict) -> Effect:
    rows = {"bed": {"output": 3, "key": "F1"}, "flames": {"output": 4, "key": "F2"}}
    return parse(
        Effect,
        {
            "title": "Fire",
            "rate_hz": rate_hz,
            "lamps": {name: {"colour": "#ff8000", **rows[name], **lamps[name]} for name in lamps},
        },
    )


@pytest.mark.parametrize(
    ("pattern", "travel", "value"),
    [
        (STEADY, "forward", 0),
        (STEADY, "reverse", 16),
        (STEADY, "both", AS_DELIVERED),
        (FLICKER, "forward", 1),
        (FLICKER, "reverse", 17),
        (FLICKER, "both", 33),
    ],
)
def test_the_value_of_an_output(pattern, travel, value):
    asked = effect(flames={"pattern": pattern, "travel": travel})
    compiled = compile_effect(asked, DECODER)
    assert compiled.by_cv[OUTPUT_4] == value
    assert compiled.compromises == ()
    assert compiled.seen == asked
    seen = decode_values({OUTPUT_4: value}, DECODER, asked).lamps["flames"]
    assert (seen.travel, seen.pattern.kind) == (travel, pattern["kind"])


def test_as_delivered_all_is_steady_in_both_directions():
    assert DECODER.delivered[OUTPUT_3] == DECODER.delivered[OUTPUT_4] == AS_DELIVERED
    asked = effect(bed={"pattern": STEADY}, flames={"pattern": FLICKER})
    delivered = decode_values({}, DECODER, asked)
    assert {lamp.pattern.summary() for lamp in delivered.lamps.values()} == {"steady at 100 %"}
    assert {lamp.travel for lamp in delivered.lamps.values()} == {"both"}
    assert {name: lamp.key for name, lamp in delivered.lamps.items()} == {
        "bed": "F1",
        "flames": "F2",
    }


def test_one_glows_and_the_other_flickers():
    compiled = compile_effect(effect(bed={"pattern": STEADY}, flames={"pattern": FLICKER}), DECODER)
    written = {str(cv): value for cv, value in compiled.changes.items()}
    assert written == {"CV119": 33, "CV112": A_REASONABLE_FIRE}
    assert compiled.by_cv[OUTPUT_3] == AS_DELIVERED


def test_all_flickering_outputs_share_one_rate_and_higher_is_faster():
    both = effect(bed={"pattern": FLICKER}, flames={"pattern": FLICKER})
    values = compile_effect(both, DECODER).by_cv
    assert sum(address == RATE for address in values) == 1
    rates = [
        decode_values({OUTPUT_3: 33, OUTPUT_4: 33, RATE: value}, DECODER, both).rate_hz
        for value in range(256)
    ]
    assert rates == sorted(set(rates))


def test_the_highest_rate_is_255():
    fast = effect(20.0, flames={"pattern": FLICKER})
    assert compile_effect(fast, DECODER).by_cv[RATE] == 255


def test_the_rate_is_left_alone_where_nothing_flickers():
    assert RATE not in compile_effect(effect(bed={"pattern": STEADY}), DECODER).by_cv
