"""On the way from one look to another no lamp is brighter or darker than both, if it can be had."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest
from decoders import TOLLEY, effect, said_as, said_of
from hypothesis import given, settings
from hypothesis import strategies as st
from own_decoder import shown

from fxstudio.dcc.cv import PAGE_CVS, CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.plan import plan

SAYS_SO = "brighter or darker than before and after"


def page_for_each_property(outputs: int = 3) -> Leaflet:
    """Effect codes of all outputs on one page, levels on a second, darkest moments on a third."""
    data = said_of(TOLLEY)
    data["outputs"] = data["outputs"][:outputs]
    for page, name in enumerate(("effect", "travel", "level", "lowest")):
        data[name] |= {"cv": 260, "cv_step": 1, "page": [40, page], "page_step": 0}
    return said_as(data)


PAGED = page_for_each_property()


def glares(decoder, before, writes):
    """How often a lamp passes through a brighter or darker look than at both ends."""
    numbers = [output.number for output in decoder.outputs]
    start, end = (shown(decoder, numbers, held) for held in (before, {**before, **dict(writes)}))
    held, found, was = dict(before), 0, start
    for cv, value in writes:
        held[cv] = value
        now = shown(decoder, numbers, held)
        for n in numbers:
            if now[n] == was[n]:
                continue
            for where in {*now[n], *start[n], *end[n]}:
                low, high = now[n].get(where, (0, 0))[:2]
                ends = [look[n].get(where, (0, 0))[:2] for look in (start, end)]
                if low < min(e[0] for e in ends) or high > max(e[1] for e in ends):
                    found += 1
                    break
        was = now
    return found


def switches(order, page):
    pages = [page, *(cv.page for cv, _ in order if cv.page)]
    return sum((a[0] != b[0]) + (a[1] != b[1]) for a, b in pairwise(pages))


@st.composite
def sittings(draw):
    """A decoder, what it holds and up to five codes to be written; all have a meaning."""
    decoder = draw(st.sampled_from([PAGED, page_for_each_property(2), TOLLEY]))
    before = dict(decoder.delivered)
    codes = {
        cv: st.sampled_from(sorted(cell.table))
        for cv, cell in decoder.cells.items()
        if any(part.who & {1, 2} for part in cell.parts) and not cell.standard
    }
    before |= {cv: draw(code) for cv, code in codes.items()}
    chosen = draw(st.lists(st.sampled_from(list(codes)), unique=True, max_size=5))
    aims = {cv: draw(codes[cv]) for cv in chosen}
    return decoder, before, {cv: value for cv, value in aims.items() if before[cv] != value}


@settings(max_examples=100, deadline=None)
@given(sittings())
def test_no_other_order_with_as_few_writes_is_gentler(sitting):
    decoder, before, writes = sitting
    page = (40, 200)
    held = {**before, **dict(zip(map(CvAddress, PAGE_CVS), page, strict=True))}
    made = plan(writes, held, decoder).steps
    mine = [(step.cv, step.value) for step in made if step.cv.number not in PAGE_CVS]
    orders = [(switches(order, page), order) for order in permutations(writes.items())]
    fewest = min(cost for cost, _ in orders)
    assert switches(mine, page) == fewest
    best = min((glares(decoder, before, order) for cost, order in orders if cost == fewest))
    assert glares(decoder, before, mine) == best
    assert any(SAYS_SO in step.seen for step in made) == (best > 0)


def fires(outputs: int, dim: bool):
    """Steady lamps at 20 % or flickering ones at 100 %."""
    row = {"kind": "steady", "level": 0.2} if dim else {"kind": "flicker", "lowest": 0.1}
    return effect(
        **{
            f"lamp {n}": {"output": n, "key": f"F{n - 2}", "pattern": row}
            for n in range(3, 3 + outputs)
        }
    )


@pytest.mark.parametrize("dim", [True, False])
def test_a_page_for_each_property_and_many_lamps(dim):
    """No lamp shows a share in between that is neither of the old look nor of the new one."""
    decoder = page_for_each_property(10)
    held = {**decoder.delivered, **compile_effect(fires(7, not dim), decoder).by_cv}
    made = plan(compile_effect(fires(7, dim), decoder), held, decoder)
    for steps, start in (
        (made.steps, held),
        (
            made.restore,
            {
                **held,
                **{step.cv: step.value for step in made.steps if step.cv.number not in PAGE_CVS},
            },
        ),
    ):
        writes = [(step.cv, step.value) for step in steps if step.cv.number not in PAGE_CVS]
        assert glares(decoder, start, writes) == 0


def test_where_two_lamps_need_opposite_orders_the_step_says_so():
    """Output 1 needs its darkest moment before its effect, output 2 its effect first."""
    effects = [CvAddress(260 + n, (40, 0)) for n in (0, 1)]
    lowests = [CvAddress(260 + n, (40, 3)) for n in (0, 1)]
    steady, drifting, low, high = 1, 3, 40, 90
    held = {**PAGED.delivered, effects[1]: drifting, lowests[1]: high}
    wanted = {effects[0]: drifting, lowests[0]: high, effects[1]: steady, lowests[1]: low}
    made = plan(wanted, held, PAGED)
    said = [step for step in made.steps if SAYS_SO in step.seen]
    assert len(said) == 1
    alone = {cv: wanted[cv] for cv in (effects[0], lowests[0])}
    steps = plan(alone, held, PAGED).steps
    assert [step.cv for step in steps if step.cv.page] == [lowests[0], effects[0]]
    assert not any(SAYS_SO in step.seen for step in steps)
