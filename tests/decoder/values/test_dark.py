"""Codes that are dark, and lamps that are dark where they shall shine."""

from __future__ import annotations

import pytest
from decoders import CARROW, GLIM, TOLLEY, UNGATED, effect, l_star, said_as, said_of

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode_values
from fxstudio.decoder.writing.plan import plan
from fxstudio.errors import InputError

DARK, DIM = {"kind": "dark"}, {"kind": "steady", "level": 0.0}


def with_codes(*patterns: dict, decoder: Leaflet = GLIM, leave: tuple[str, ...] = ("level",)):
    """A decoder whose effect codes 0, 1, ... are these patterns, without some of its fields."""
    data = {name: row for name, row in said_of(decoder).items() if name not in leave}
    rows = [{"code": n, "name": f"n{n}", "pattern": row} for n, row in enumerate(patterns)]
    data["effect"] |= {"codes": rows, "works": 0}
    return said_as(data)


def lamp(pattern: dict, **fields) -> dict:
    return {"output": 3, "key": "F1", "pattern": pattern, **fields}


@pytest.mark.parametrize("dark", [DARK, DIM], ids=["dark", "steady of level 0"])
@pytest.mark.parametrize("level", [0.001, 0.05, 0.3, 0.45])
def test_a_lamp_that_shall_shine_never_gets_a_dark_code(dark, level):
    decoder = with_codes(dark, {"kind": "steady"}, {"kind": "flicker", "lowest": 0.5})
    compiled = compile_effect(effect(x=lamp({"kind": "steady", "level": level})), decoder)
    assert not compiled.seen.lamps["x"].pattern.is_dark
    assert compiled.by_cv[CvAddress(143)] & 7 != 0
    assert not any(row.grave for row in compiled.compromises)


@pytest.mark.parametrize("dark", [DARK, DIM], ids=["dark", "steady of level 0"])
def test_a_dark_code_is_dark_and_reads_back(dark):
    decoder = with_codes({"kind": "steady"}, dark)
    asked = effect(x=lamp(DIM))
    compiled = compile_effect(asked, decoder)
    assert compiled.by_cv[CvAddress(143)] & 7 == 1
    assert compiled.compromises == ()
    assert decode_values(compiled.by_cv, decoder, asked).lamps["x"].pattern.is_dark


@pytest.mark.parametrize("decoder", [GLIM, UNGATED, CARROW, TOLLEY], ids=lambda d: d.title)
@pytest.mark.parametrize(
    "pattern", [DIM, {"kind": "flicker", "lowest": 0.0, "highest": 0.0}], ids=["steady", "flicker"]
)
def test_a_lamp_that_shall_be_dark_is_kept_dark_somehow(decoder, pattern):
    """By its level, its travel, or by taking its keys away."""
    compiled = compile_effect(effect(x=lamp(pattern)), decoder)
    assert compiled.seen.lamps["x"].pattern.is_dark
    assert compiled.compromises == ()


@pytest.mark.parametrize("decoder", [GLIM, CARROW, TOLLEY], ids=lambda d: d.title)
@pytest.mark.parametrize("level", [1e-6, 0.0045, 0.011, 0.019])
def test_a_faint_lamp_is_not_dark_and_a_visible_difference_is_told(decoder, level):
    compiled = compile_effect(effect(x=lamp({"kind": "steady", "level": level})), decoder)
    seen = compiled.seen.lamps["x"].pattern
    assert not seen.is_dark
    if abs(l_star(seen.brightest) - l_star(level)) > 1:
        assert compiled.compromises[0].lamp == "x"


FIXED = with_codes({"kind": "steady"}, decoder=CARROW, leave=("level", "forward", "reverse"))
OUT = said_as(
    said_of(GLIM)
    | {
        "pwm": {"levels": 2, "refresh_ms": 8.0},
        "level": said_of(GLIM)["level"] | {"shares": [0.1] * 8},
    },
)
BEAT = with_codes({"kind": "beat", "lowest": 0.0}, {"kind": "steady", "level": 0.0})


@pytest.mark.parametrize(
    ("decoder", "asked", "words"),
    [
        (FIXED, lamp(DIM), "x: light: no light asked, steady at 100 % will be seen"),
        (
            OUT,
            lamp({"kind": "steady", "level": 0.4}),
            "x: light: steady at 40 % asked, no light will be seen",
        ),
        (CARROW, {"output": 1}, "x: travel: both directions asked, forward only will be seen"),
        (
            BEAT,
            lamp({"kind": "steady"}),
            "x: pattern: steady at 100 % asked, exhaust beat, 0 % to 100 % will be seen",
        ),
    ],
    ids=["cannot be dark", "cannot shine", "dark in reverse", "dark standing"],
)
def test_what_cannot_be_lit_or_dark_as_asked_comes_first_and_must_be_accepted(
    decoder, asked, words
):
    others = {"a": {"output": 4, "key": "F5", "pattern": {"kind": "flash", "period_s": 3.3}}}
    compiled = compile_effect(effect(**others, x=asked), decoder)
    grave = [row for row in compiled.compromises if row.grave]
    assert words in [str(row).partition(";")[0] for row in grave]
    assert list(compiled.compromises[: len(grave)]) == grave
    with pytest.raises(InputError) as caught:
        plan(compiled, None, decoder)
    told = [str(each) for each in caught.value.each()]
    assert any(words.partition(": ")[2].partition(": ")[2] in text for text in told)
    assert all("--accept-dark" in text for text in told)
    plan(compiled, None, decoder, accept_dark=True)


def test_a_direction_in_which_a_lamp_shall_shine_is_given_up_last():
    data = said_of(GLIM)
    data["travel"] |= {
        "codes": [
            {"code": 0, "travel": "none"},
            {"code": 1, "travel": "both"},
            {"code": 2, "travel": "reverse"},
        ],
        "works": 0,
    }
    compiled = compile_effect(effect(x=lamp({"kind": "steady"}, travel="forward")), said_as(data))
    assert compiled.seen.lamps["x"].travel == "both"
    assert [row.grave for row in compiled.compromises] == [False]
