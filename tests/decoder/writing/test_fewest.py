"""Nothing is written that is not needed: proved by trying all smaller sets of the writes."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
from decoders import CARROW, DECODERS, GLIM, TOLLEY, effect, said_as, said_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from own_decoder import shown
from strategies import any_values, decoders, effects, legal_values

from fxstudio.dcc.cv import PAGE_CVS, CvAddress
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.plan import plan
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.export.table import value_table


def values_of(steps):
    return {step.cv: step.value for step in steps if step.cv.number not in PAGE_CVS}


@st.composite
def sittings(draw):
    """A decoder, what it holds, an effect; often it holds an effect of the same look in part."""
    decoder = draw(decoders)
    held = draw(st.one_of(legal_values(decoder), any_values(decoder)))
    asked = draw(effects)
    assume(any(lamp.output in decoder.output for lamp in asked.lamps.values()))
    if draw(st.booleans()):
        ready = compile_effect(asked, decoder).by_cv
        held |= {cv: ready[cv] for cv in ready if draw(st.booleans())}
    return decoder, held, asked


@settings(max_examples=60, deadline=None)
@given(sittings())
def test_no_smaller_set_of_the_writes_gives_what_is_asked(sitting):
    decoder, held, asked = sitting
    # A lamp that shall be dark may be given a write more than it needs.
    assume(not any(lamp.pattern.is_dark for lamp in asked.lamps.values()))
    compiled = compile_effect(asked, decoder)
    lamps = [lamp.output for lamp in asked.lamps.values() if lamp.output in decoder.output]
    goal = shown(decoder, lamps, {**held, **compile_effect(asked, decoder, held).target})
    writes = values_of(plan(compiled, held, decoder, accept_dark=True).steps)
    assert shown(decoder, lamps, {**held, **writes}) == goal
    smaller = (some for n in range(len(writes)) for some in combinations(writes, n))
    if len(writes) > 8:  # too many to try all: those with one or two less, and some others
        rest = random.Random(1)
        one_less = list(combinations(writes, len(writes) - 1))
        others = (rest.sample(list(writes), rest.randrange(len(writes))) for _ in range(200))
        smaller = (*one_less, *combinations(writes, len(writes) - 2), *others)
    for some in smaller:
        assert shown(decoder, lamps, {**held, **{cv: writes[cv] for cv in some}}) != goal


HALF = {"kind": "steady", "level": 0.5}


def with_half_code():
    """A decoder whose effect table has a steady light of half brightness beside its levels."""
    data = said_of(CARROW)
    data["effect"]["codes"] = [
        *data["effect"]["codes"],
        {"code": 40, "name": "half", "pattern": HALF},
    ]
    return said_as(data)


def test_a_light_that_other_codes_bring_about_is_left_alone():
    decoder = with_half_code()
    bed = compile_effect(effect(bed={"output": 3, "key": "F1", "pattern": HALF}), decoder)
    for codes in ({133: 40, 123: 100}, {133: 0, 123: 50}):
        held = {CvAddress(number): value for number, value in codes.items()}
        assert plan(bed, held, decoder).steps == ()


def test_a_rate_outside_the_curve_is_left_alone_where_nothing_flickers():
    held = {CvAddress(149): 240}
    bed = effect(bed={"output": 3, "key": "F1", "pattern": HALF})
    made = plan(compile_effect(bed, GLIM), held, GLIM)
    assert [step.cv.number for step in made.steps] == [143]
    assert not any("foretold" in step.seen for step in (*made.steps, *made.restore))
    flames = effect(x={"output": 4, "key": "F2", "pattern": {"kind": "flicker"}})
    assert 149 in [step.cv.number for step in plan(compile_effect(flames, GLIM), held, GLIM).steps]


@pytest.mark.parametrize("held", [{(264, (40, 2)): 0}, {(35, None): 0}], ids=["level 0", "no key"])
def test_a_lamp_that_shall_be_dark_and_is_dark_is_left_alone(held):
    dark = effect(bed={"output": 3, "key": "F5", "pattern": {"kind": "steady", "level": 0.0}})
    present = {CvAddress(*cv): value for cv, value in held.items()}
    assert plan(compile_effect(dark, TOLLEY), present, TOLLEY).steps == ()


def test_a_flicker_without_a_range_needs_no_rate():
    flat = {"kind": "flicker", "style": "smooth", "lowest": 1.0, "highest": 1.0}
    look = compile_effect(effect(9.0, x={"output": 4, "key": "F2", "pattern": flat}), TOLLEY)
    assert plan(look, None, TOLLEY).steps == ()


def test_what_another_output_holds_is_told_where_it_has_no_meaning():
    """`read` refuses such a list, so the plan must not say that all is well."""
    bed = compile_effect(effect(bed={"output": 3, "key": "F1"}), GLIM)
    made = plan(bed, {**GLIM.delivered, CvAddress(144): 252}, GLIM)
    assert made.steps == ()
    assert any("CV144: 252 is no value of Withybank Glim 4" in note for note in made.notes)


@settings(max_examples=60, deadline=None)
@given(sittings())
def test_a_list_that_cannot_be_read_back_is_never_passed_without_a_word(sitting):
    from fxstudio.errors import InputError
    from fxstudio.export.plan_table import NOTHING_TO_WRITE, nothing_words

    decoder, held, asked = sitting
    # Beside a lamp that shall be dark a second plan may still find a write.
    assume(not any(lamp.pattern.is_dark for lamp in asked.lamps.values()))
    compiled = compile_effect(asked, decoder)
    after = {**held, **values_of(plan(compiled, held, decoder, accept_dark=True).steps)}
    made = plan(compiled, after, decoder, accept_dark=True)
    assert made.steps == ()
    try:
        decode(after, decoder)
    except InputError as error:
        assert any(str(error.field) in note for note in made.notes)
        assert nothing_words(made) != NOTHING_TO_WRITE
    else:  # what makes no difference to any lamp may still be told
        assert made.unexplained or nothing_words(made) == NOTHING_TO_WRITE


@pytest.mark.parametrize("decoder", DECODERS)
@pytest.mark.parametrize("name", shipped_effects())
def test_the_table_of_values_and_the_plan_name_the_same_writes(name, decoder):
    described = DECODERS[decoder]
    asked = read_effect(shipped_effects()[name])
    compiled = compile_effect(asked, described)
    headings, rows, written = value_table(compiled)
    titles = [title for title, _ in headings]
    said = [dict(zip(titles, row, strict=True)) for row in rows]
    steps = values_of(plan(compiled, None, described, accept_dark=True).steps)
    in_table = {
        (row["CV"], row.get("CV31", ""), row.get("CV32", "")): int(row["decimal"])
        for row in said
        if row["write?"] == "yes"
    }
    assert in_table == {
        (str(cv.number), *(map(str, cv.page) if cv.page else ("", ""))): value
        for cv, value in steps.items()
    }
    assert written == [row["write?"] == "yes" for row in said]
