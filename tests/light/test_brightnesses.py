"""The measure at many brightnesses is the measure of likeness, and what is chosen is nearest."""

from __future__ import annotations

import numpy as np
import pytest
from decoders import CARROW, GLIM, TOLLEY, effect
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import patterns

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import does
from fxstudio.decoder.search import costs
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.documents.reading import parse
from fxstudio.effect.model import Lamp
from fxstudio.light.brightnesses import Brightnesses
from fxstudio.light.likeness import ASSUMED_STEADY, pattern_lost

AS_RECKONED = 0.001
"""What both ways of reckoning may differ by: a tenth of the percent that is printed."""


AS_CHOSEN = costs.UNSEEN / costs.LOST + 2 * AS_RECKONED
"""What may be lost more than the least: what nobody sees, for a pattern nearer in kind."""


def pattern_of(row: dict):
    return parse(Lamp, {"output": 3, "colour": "#ff8000", "pattern": row}).pattern


lit = patterns.map(pattern_of).filter(lambda pattern: pattern.brightest > 0.001)
rates = st.floats(0.2, 25)


@settings(max_examples=200, deadline=None)
@given(lit, lit, rates, rates)
def test_it_agrees_with_the_measure_that_suit_prints(asked, seen, asked_hz, seen_hz):
    here, there = (
        Brightnesses.of(pattern, pattern.brightest, getattr(pattern, "lowest", pattern.brightest))
        for pattern in (seen, asked)
    )
    lost = pattern_lost(asked, seen, asked_hz, seen_hz)
    swings = np.array([here.modulation, there.modulation])
    # At the edge of what is called steady, which both may call differently, 0.5 L* swing at most.
    edge = 0.005 * (abs(swings - ASSUMED_STEADY) < 0.05).any()
    assert float(here.lost(there, asked_hz, seen_hz)) == pytest.approx(lost, abs=AS_RECKONED + edge)


def shown_by(decoder, output: int, cv: CvAddress) -> list:
    """The patterns that an output shows with each value of one of its CVs."""
    values = decoder.cells[cv].table
    return [does(decoder, output, {cv: value}).pattern for value in values]


GLIMS = shown_by(GLIM, 3, CvAddress(143))
WISHES = [
    {"kind": "flicker", "style": "hold", "lowest": 0.0, "highest": 0.86},
    {"kind": "flicker", "style": "smooth", "lowest": 0.1, "highest": 1.0},
    {"kind": "flicker", "style": "smooth", "lowest": 0.3, "highest": 0.4},
    {"kind": "flash", "period_s": 3.0, "lowest": 0.4, "highest": 0.6},
    {"kind": "beat", "lowest": 0.2, "highest": 0.7},
    {"kind": "steady", "level": 0.42},
    {"kind": "filament", "level": 0.2, "rise_s": 2.0},
]
"""Two that a trial found to be answered with less than the nearest, and others by hand."""


@settings(max_examples=40, deadline=None)
@given(lit)
def test_nothing_that_the_decoder_can_show_is_nearer(asked):
    nothing_is_nearer(asked)


@pytest.mark.parametrize("row", WISHES, ids=str)
def test_nothing_is_nearer_to_a_wish_of_the_trade(row):
    nothing_is_nearer(pattern_of(row))


def nothing_is_nearer(asked):
    wish = effect(5.0, x={"output": 3, "key": "F1", "pattern": asked.model_dump()})
    seen = compile_effect(wish, GLIM).seen
    chosen = pattern_lost(asked, seen.lamps["x"].pattern, 5.0, seen.rate_of("x"))
    standing = [p for p in GLIMS if asked.is_dark_standing or not p.is_dark_standing]
    assert chosen <= min(pattern_lost(asked, each, 5.0, 5.0) for each in standing) + AS_CHOSEN


@pytest.mark.parametrize("decoder", [CARROW, TOLLEY], ids=lambda d: d.title)
def test_of_many_brightnesses_none_nearby_is_nearer(decoder):
    """All of them are too many to measure one by one: a few at random, by the printed measure."""
    rng = np.random.default_rng(5)
    for row in WISHES:
        asked = pattern_of(row)
        wish = effect(4.0, x={"output": 3, "key": "F1", "pattern": row})
        chosen = compile_effect(wish, decoder).seen.lamps["x"].pattern
        lost = pattern_lost(asked, chosen, 4.0, 4.0)
        cells = [cell for cell in decoder.concerned[3] if not cell.standard]
        for _ in range(25):
            held = {cell.cv: int(rng.choice(list(cell.table))) for cell in cells}
            other = does(decoder, 3, held).pattern
            if other.is_dark_standing and not asked.is_dark_standing:
                continue
            assert lost <= pattern_lost(asked, other, 4.0, 4.0) + AS_CHOSEN
