"""The write plan: nothing but what is wanted, in the right order, and all the way back."""

from __future__ import annotations

import re
import sys
from itertools import pairwise, permutations

import pytest
from decoders import CARROW, FLICKER, GLIM, TOLLEY, effect, rate_cv
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from own_decoder import shown
from sources import truth
from strategies import any_values, decoders, effects, legal_values, pages, two_blocks

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.decode import decode
from fxstudio.decoder.writing.extras import Extra
from fxstudio.decoder.writing.plan import plan
from fxstudio.decoder.writing.steps import Plan
from fxstudio.errors import InputError
from fxstudio.export.plan_table import (
    NOTHING_IF_AS_DELIVERED,
    NOTHING_TO_WRITE,
    nothing_words,
    plan_text,
    restore_text,
)

CV31, CV32 = CvAddress(31), CvAddress(32)


class Decoder:
    """What a decoder does when a CV is written.

    CVs 257 to 512 are those of the page in CV31 and CV32 (NMRA S-9.2.2, 2012). CV17 waits for
    CV18 (NMRA S-9.2.1, 2012). On the programming track a write of CV1 clears bit 5 of CV29, and
    CV19 (NMRA S-9.2.3, 2012). All as in a public retyped copy.
    """

    def __init__(self, held: dict[CvAddress, int], programming_track: bool = True) -> None:
        self.held = dict(held)
        self.waiting: int | None = None
        self.programming_track = programming_track

    def write(self, number: int, value: int) -> None:
        if 257 <= number <= 512:
            address = CvAddress(number, (self.held[CV31], self.held[CV32]))
        else:
            address = CvAddress(number)
        assert address in self.held, f"the decoder has no {address}"
        if number == 17:
            self.waiting = value
            return
        if number == 18 and self.waiting is not None:
            self.held[CvAddress(17)], self.waiting = self.waiting, None
        self.held[address] = value
        if number == 1 and self.programming_track:
            self.held[CvAddress(19)] = 0
            self.held[CvAddress(29)] &= 0b11011111

    def follow(self, steps) -> dict[CvAddress, int]:
        first = dict(self.held)
        for step in steps:
            before = first if step.cv.number in (19, 29) else self.held
            assert step.before in (None, before[step.cv])
            self.write(step.cv.number, step.value)
        return dict(self.held)


def without_page(held: dict[CvAddress, int]) -> dict[CvAddress, int]:
    return {cv: value for cv, value in held.items() if cv not in (CV31, CV32)}


def page_of(held: dict[CvAddress, int]) -> dict[CvAddress, int]:
    return {cv: held[cv] for cv in (CV31, CV32)}


@st.composite
def sittings(draw, some=decoders):
    """A decoder, what it holds, and what it shall hold in some of its CVs."""
    decoder = draw(some)
    cvs = list(decoder.delivered)
    held = draw(any_values(decoder))
    chosen = draw(st.lists(st.sampled_from(cvs), unique=True, max_size=6))
    wanted = {cv: draw(st.integers(0, 255)) for cv in chosen}
    page = draw(st.one_of(pages, st.sampled_from([cv.page for cv in cvs if cv.page] or [(0, 0)])))
    return decoder, {**held, CV31: page[0], CV32: page[1]}, wanted


@settings(max_examples=100, deadline=None)
@given(sittings())
def test_the_steps_lead_to_the_wanted_values_and_the_restore_list_back(sitting):
    decoder, held, wanted = sitting
    made = plan(wanted, held, decoder)
    real = Decoder(held)
    assert real.follow(made.steps) == {**held, **wanted}
    assert real.follow(made.restore) == held


@settings(max_examples=50, deadline=None)
@given(sittings(decoders.filter(lambda decoder: any(cv.page for cv in decoder.delivered))), pages)
def test_the_restore_list_serves_whatever_page_was_selected_since(sitting, page):
    decoder, held, wanted = sitting
    made = plan(wanted, held, decoder)
    real = Decoder(held)
    real.follow(made.steps)
    assume(made.restore and any(step.cv.page for step in made.restore))
    real.held |= {CV31: page[0], CV32: page[1]}
    assert real.follow(made.restore) == held


ADDRESS = [CvAddress(number) for number in (1, 17, 18, 19, 29)]


@st.composite
def addressed(draw):
    """What a decoder holds in the CVs of its address, and what it shall hold in some of them.

    Ranges of CV1 and CV17: NMRA S-9.2.2 (2012).
    """
    ranges = {1: st.integers(1, 127), 17: st.integers(192, 231)}
    value = {cv: ranges.get(cv.number, st.sampled_from([0, 5, 32, 38, 255])) for cv in ADDRESS}
    held = {cv: draw(value[cv]) for cv in ADDRESS}
    chosen = draw(st.lists(st.sampled_from(ADDRESS), unique=True, min_size=1))
    return held, {cv: draw(value[cv]) for cv in chosen}


@settings(max_examples=100, deadline=None)
@given(addressed(), st.booleans())
def test_a_new_address_is_whole_on_either_track_and_so_is_the_way_back(addresses, on_a_page):
    held, wanted = addresses
    held = {**TOLLEY.delivered, **held, CV31: 7, CV32: 7}
    if on_a_page:
        wanted = {**wanted, rate_cv(TOLLEY): 77}
    made = plan(wanted, held, TOLLEY)
    for track in (True, False):
        real = Decoder(held, track)
        assert without_page(real.follow(made.steps)) == without_page({**held, **wanted})
        assert real.follow(made.restore) == held
    for steps in (made.steps, made.restore):
        told = [step.cv for step in steps if step.cv in ADDRESS]
        assert [step.cv for step in steps][len(steps) - len(told) :] == told
    for cv in {CvAddress(19), CvAddress(29)} - wanted.keys():  # without it something is missing
        if cv in [step.cv for step in made.steps]:
            real = Decoder(held)
            real.follow(step for step in made.steps if step.cv != cv)
            assert real.held[cv] != held[cv]


def test_a_new_short_address_leaves_the_long_one_in_use():
    """CV29 = 38 has bit 5 set (NMRA S-9.2.2, 2012), which a write of CV1 clears."""
    held = {CvAddress(n): value for n, value in ((1, 3), (19, 0), (29, 38), (17, 196), (18, 210))}
    made = plan({}, held, GLIM, [Extra(CvAddress(1), 55, "number")])
    assert [(s.cv.number, s.value) for s in made.steps] == [(1, 55), (29, 38)]
    assert [(s.cv.number, s.value) for s in made.restore] == [(1, 3), (29, 38)]
    assert made.steps[1].why == "as it was: writing CV1 on the programming track clears bit 5 of it"
    assert made.restore[1].why == f"back: {made.steps[1].why}"
    assert "on the main nothing after this is heard at the old address" in made.steps[0].seen
    in_consist = plan({}, {**held, CvAddress(19): 12}, GLIM, [Extra(CvAddress(1), 55, "number")])
    assert [(s.cv.number, s.value) for s in in_consist.steps] == [(1, 55), (19, 12), (29, 38)]
    alone = plan({}, {**held, CvAddress(29): 6}, GLIM, [Extra(CvAddress(1), 55, "number")])
    assert [(s.cv.number, s.value) for s in alone.steps] == [(1, 55)]
    assert "nothing after this" not in alone.steps[0].seen


@pytest.mark.parametrize("missing", [19, 29])
def test_a_new_short_address_needs_to_know_what_it_clears(missing):
    held = {CvAddress(n): 3 for n in (1, 19, 29) if n != missing}
    with pytest.raises(InputError, match=f"CV{missing}': what it holds now is not known") as caught:
        plan({}, held, GLIM, [Extra(CvAddress(1), 55, "number")])
    assert "writing CV1 on the programming track clears bits of it" in caught.value.problem
    assert "add it to the list of present values" in caught.value.remedy


def test_the_page_is_set_back_ahead_of_the_address():
    """On the main nothing would hear it afterwards (common practice)."""
    held = {**TOLLEY.delivered, CV31: 7, CV32: 7, **{CvAddress(n): 3 for n in (1, 19, 29)}}
    rate = {rate_cv(TOLLEY): 77}
    made = plan(rate, held, TOLLEY, [Extra(CvAddress(1), 55, "number")])
    assert [s.cv.number for s in made.restore][-4:] == [31, 32, 1, 19]


def fewest_page_writes(route: list[tuple], here: tuple, last: tuple | None) -> int:
    """By trying every order of the pages, with what is known of `here` set back."""
    orders = [order for order in permutations(route) if last is None or order[-1] == last]
    return min(
        sum((a[0] != b[0]) + (a[1] != b[1]) for a, b in pairwise((here, *order)))
        + sum(was not in (None, now) for was, now in zip(here, (here, *order)[-1], strict=True))
        for order in orders
    )


@settings(max_examples=100, deadline=None)
@given(sittings(), st.booleans())
def test_no_write_is_too_many(sitting, page_is_known):
    decoder, held, wanted = sitting
    if not page_is_known:
        held = without_page(held)
    made = plan(wanted, held, decoder)
    changed = {cv for cv, value in wanted.items() if held[cv] != value}
    written = [step.cv for step in made.steps if step.cv not in (CV31, CV32)]
    assert sorted(written, key=lambda cv: cv.order) == sorted(changed, key=lambda cv: cv.order)
    rate = rate_cv(decoder)
    needed = list(dict.fromkeys(cv.page for cv in changed if cv.page))
    here = (held.get(CV31), held.get(CV32))
    fewest = fewest_page_writes(needed, here, rate.page if rate in changed else None)
    assert len(made.steps) == len(changed) + (fewest if needed else 0)


@settings(max_examples=100, deadline=None)
@given(sittings())
def test_the_shared_rate_comes_last_and_no_page_is_selected_for_nothing(sitting):
    decoder, held, wanted = sitting
    steps = plan(wanted, held, decoder).steps
    writes = [step for step in steps if step.cv not in (CV31, CV32)]
    assert rate_cv(decoder) not in [step.cv for step in writes[:-1]]
    body = steps[: steps.index(writes[-1]) + 1] if writes else steps
    for before, after in pairwise(body):
        if before.cv in (CV31, CV32):
            assert after.cv.page or after.cv == CV32
    assert bool(writes) == bool(steps)


@st.composite
def looks(draw):
    """A decoder that holds legal values, and an effect for it."""
    decoder = draw(decoders)
    return decoder, draw(legal_values(decoder)), draw(effects)


@settings(max_examples=40, deadline=None)
@given(looks())
def test_whatever_it_holds_the_effect_is_seen_and_other_outputs_keep_their_bits(look):
    decoder, held, asked = look
    assume(any(lamp.output in decoder.output for lamp in asked.lamps.values()))
    compiled = compile_effect(asked, decoder)
    page = {CV31: 0, CV32: 0}
    made = plan(compiled, {**held, **page}, decoder, accept_dark=True)
    real = Decoder({**held, **page})
    after = without_page(real.follow(made.steps))
    mine = {lamp.output for lamp in asked.lamps.values()}
    fitting = mine & decoder.output.keys()
    assert shown(decoder, fitting, after) == shown(
        decoder, fitting, {**held, **compile_effect(asked, decoder, held).target}
    )
    for cell in decoder.cells.values():
        codes = zip(cell.parts, cell.codes(after[cell.cv]), cell.codes(held[cell.cv]), strict=True)
        for part, now, before in codes:
            lit = {each.value for said in part.codes.values() for each in said}
            about = lit if part.names == {"lights"} else part.who
            assert now == before or about & mine, (cell.cv, part.title)
    assert real.follow(made.restore) == {**held, **page}


def test_a_plan_says_each_write_in_all_ways_and_what_is_seen():
    fire = effect(
        4.0,
        bed={"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.35}},
        flames={
            "output": 4,
            "key": "F2",
            "pattern": {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0},
        },
    )
    made = plan(compile_effect(fire, GLIM), GLIM.delivered, GLIM)
    # Worked out by hand: effect + 8 x travel + 32 x level, 4 x 32 + 3 x 8 + 0 and so on.
    assert [(s.cv.number, s.before, s.value, s.binary, s.hexadecimal) for s in made.steps] == [
        (143, 248, 152, "10011000", "0x98"),
        (144, 248, 250, "11111010", "0xFA"),
        (149, 40, 78, "01001110", "0x4E"),
    ]
    assert [s.why for s in made.steps] == [
        "bed (output 3): steady, both directions, level 35 %",
        "flames (output 4): flame, both directions, level 100 %",
        "shared rate 4.01 Hz",
    ]
    assert [s.seen for s in made.steps] == [
        "bed: brightness 34.9 % instead of 100 %",
        "flames: hold flicker, 20.6 % to 100 % instead of steady at 100 %; "
        "shared rate of flames: 2.3 Hz",
        "shared rate of flames: 4.01 Hz instead of 2.3 Hz",
    ]
    assert [(s.cv.number, s.value) for s in made.restore] == [(143, 248), (144, 248), (149, 40)]
    assert made.restore[0].why == "back: bed (output 3): steady, both directions, level 100 %"
    assert made.notes == ()


def test_pages_are_selected_once_and_only_what_differs_in_them():
    fire = effect(
        9.0,
        bed={"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.5}},
        flames={"output": 4, "key": "F2", "pattern": {"kind": "flicker", "lowest": 0.5}},
    )
    held = {**TOLLEY.delivered, CV31: 40, CV32: 7}
    made = plan(compile_effect(fire, TOLLEY), held, TOLLEY)
    assert [(s.cv.number, s.value) for s in made.steps if s.cv in (CV31, CV32)] == [
        (32, 2),
        (32, 3),
        (32, 100),
        (32, 7),
    ]
    assert made.steps[0].why == "the page of bed (output 3)"
    assert made.steps[0].seen == "no light changes: it only selects a page"
    assert [s.why for s in made.steps if s.cv == CV32][-2:] == [
        "the page of the shared rate",
        "back: the page selected before",
    ]
    assert [(s.cv.number, s.value) for s in made.restore[-1:]] == [(32, 7)]
    assert made.restore[-1].why == "back: the page selected before"


def test_an_output_starts_its_effect_only_when_all_else_of_it_is_right():
    blink = effect(
        x={
            "output": 5,
            "key": "F3",
            "travel": "reverse",
            "pattern": {"kind": "flash", "period_s": 2.0, "on_share": 0.1, "highest": 0.5},
        }
    )
    cvs = [step.cv.number for step in plan(compile_effect(blink, CARROW), None, CARROW).steps]
    assert cvs == [137, 125, 135]


def test_a_key_given_by_hand_is_taken_away():
    bed = effect(bed={"output": 3, "key": "F1"})
    made = plan(compile_effect(bed, GLIM), {CvAddress(37): 16 + 4}, GLIM)
    assert [(s.cv.number, s.value, s.why) for s in made.steps] == [(37, 16, "F3 switches nothing")]
    assert made.steps[0].seen == (
        "bed: on F1, both directions instead of on F1, both directions, or on F3, both directions"
    )


def test_values_without_a_meaning_do_not_stop_a_plan():
    bed = effect(bed={"output": 3, "key": "F1"})
    made = plan(compile_effect(bed, GLIM), {CvAddress(143): 252}, GLIM)
    assert made.steps[0].seen == "bed: steady at 100 %, on F1, both directions"
    assert made.restore[0].why == (
        "back: a value that the leaflet does not allow; write 248 instead to have it as delivered"
    )
    assert "cannot be foretold: CV143 = 252 is no value of" in made.restore[0].seen


MOTOR = CvAddress(3)


def test_extra_cvs_come_first_with_their_note_and_are_restored():
    bed = effect(bed={"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.5}})
    extra = [Extra(MOTOR, 20, "starts more gently")]
    made = plan(compile_effect(bed, GLIM), {MOTOR: 5}, GLIM, extra)
    assert (made.steps[0].cv, made.steps[0].before, made.steps[0].value) == (MOTOR, 5, 20)
    assert (made.steps[0].why, made.steps[0].seen) == ("starts more gently", "no light changes")
    assert (made.restore[0].cv, made.restore[0].value) == (MOTOR, 5)
    assert made.restore[0].why == "undo: starts more gently"
    held = {**GLIM.delivered, MOTOR: 5}
    real = Decoder(held)
    real.follow(made.steps)
    assert real.held[MOTOR] == 20
    assert real.follow(made.restore) == held


def test_an_extra_cv_on_a_page_takes_its_page_with_it():
    extra = [Extra(CvAddress(300, (50, 1)), 9, "sound")]
    made = plan({}, {CvAddress(300, (50, 1)): 8}, CARROW, extra)
    assert [(s.cv.number, s.value) for s in made.steps] == [(31, 50), (32, 1), (300, 9)]


@pytest.mark.parametrize("other", [0, 1])
@pytest.mark.parametrize("row", truth("long_addresses.csv"), ids=lambda row: row["address"])
def test_both_halves_of_a_long_address_are_written_in_order_after_all_else(row, other):
    """CV17 before CV18: NMRA S-9.2.1 (2012), read in a public retyped copy."""
    address, high, low = (int(row[name]) for name in ("address", "cv17", "cv18"))
    held = {CvAddress(17): (192, high)[other], CvAddress(18): (low, 3)[other], MOTOR: 5}
    extra = [Extra(CvAddress(18), low, "number"), Extra(CvAddress(17), high, "number")]
    rate = {rate_cv(CARROW): 100}
    made = plan(rate, held, CARROW, [*extra, Extra(MOTOR, 6, "motor")])
    same = (held[CvAddress(17)], held[CvAddress(18)]) == (high, low)
    pair = [] if same else [(17, high), (18, low)]
    assert [(s.cv.number, s.value) for s in made.steps] == [(3, 6), (139, 100), *pair]
    real = Decoder({**CARROW.delivered, **held})
    after = real.follow(made.steps)
    assert 256 * (after[CvAddress(17)] - 192) + after[CvAddress(18)] == address
    assert real.follow(made.restore) == {**CARROW.delivered, **held}


def test_half_a_long_address_brings_the_other_half():
    held = {CvAddress(17): 195, CvAddress(18): 232}
    steps = plan({}, held, GLIM, [Extra(CvAddress(17), 196, "number 1256")]).steps
    assert [(s.cv.number, s.value, s.why) for s in steps] == [
        (17, 196, "number 1256"),
        (18, 232, "the other half of the long address"),
    ]
    assert steps[0].seen == "nothing yet: CV17 counts once CV18 is written"


WRONG_EXTRAS = [
    (CvAddress(7), 1, "maker's version"),
    (CvAddress(8), 8, "maker's number"),
    (CV31, 40, "only selects a page"),
    (CV32, 0, "only selects a page"),
    (CvAddress(0), 1, "there is no such CV"),
    (CvAddress(1025), 1, "there is no such CV"),
    (CvAddress(3), 256, "is not what a CV can hold"),
    (CvAddress(3), -1, "is not what a CV can hold"),
    (CvAddress(1), 0, "CV1"),
    (CvAddress(1), 128, "CV1"),
    (CvAddress(17), 191, "CV17"),
    (CvAddress(17), 232, "CV17"),
    (CvAddress(300), 1, "needs a page"),
    (CvAddress(3, (40, 1)), 1, "has no pages"),
    (CvAddress(300, (40, 256)), 1, "has no such page"),
    (CvAddress(143), 1, "is set by the effect already"),
    (CvAddress(4), 1, "what it holds now is not known"),
]


@pytest.mark.parametrize(("cv", "value", "problem"), WRONG_EXTRAS, ids=str)
def test_extras_that_must_not_be_written(cv, value, problem):
    bed = compile_effect(effect(bed={"output": 3, "key": "F1"}), GLIM)
    held = {CvAddress(n): 3 for n in (1, 3, 7, 8, 17, 18, 31, 32)}
    with pytest.raises(InputError) as caught:
        plan(bed, held, GLIM, [Extra(cv, value, "x")])
    assert problem in str(caught.value)
    assert caught.value.remedy


def test_an_extra_given_twice_is_refused():
    twice = [Extra(MOTOR, 1, "a"), Extra(MOTOR, 2, "b")]
    with pytest.raises(InputError, match="is given twice"):
        plan({}, {MOTOR: 0}, GLIM, twice)


@pytest.mark.parametrize("cv", [7, 8, 31])
def test_wanted_values_obey_the_same_rules(cv):
    with pytest.raises(InputError):
        plan({CvAddress(cv): 1}, {CvAddress(cv): 0}, GLIM)


def test_present_values_that_cannot_be_are_refused():
    with pytest.raises(InputError, match="is not what a CV can hold"):
        plan({}, {CvAddress(143): 256}, GLIM)


def test_it_says_what_it_takes_for_granted():
    flames = effect(x={"output": 4, "key": "F2", "pattern": {"kind": "flicker", "lowest": 0.5}})
    compiled = compile_effect(flames, TOLLEY)
    assert plan(compiled, None, TOLLEY).notes[0].startswith("No present values were given")
    known = plan(compiled, {**TOLLEY.delivered, CV31: 16, CV32: 0}, TOLLEY)
    assert known.notes == ()
    one = plan(compiled, {**TOLLEY.delivered, CV31: 40}, TOLLEY)
    assert "Not known: what CV32 holds now, so it is left at the last page" in one.notes[0]
    assert one.page_lost
    assert not known.page_lost
    assert "what they hold" not in one.notes[0]
    neither = plan(compiled, TOLLEY.delivered, TOLLEY)
    assert "Not known: what CV31 and CV32 hold now" in neither.notes[0]
    assert (one.steps[0].cv, one.steps[0].value) == (CV32, 3)
    for made in (one, neither):  # 0 is in the range that S-9.2.2 (2012) reserves for CV31
        assert made.restore[-1].cv not in (CV31, CV32)
        assert "write what they held last of all" in " ".join(restore_text("X", "Y", made).split())
    reserved = plan(compiled, {**TOLLEY.delivered, CV31: 0, CV32: 0}, TOLLEY)
    assert [(s.cv, s.value) for s in reserved.restore[-2:]] == [(CV31, 0), (CV32, 0)]
    some = plan(compiled, {CvAddress(260, (40, 3)): 1, CV31: 40, CV32: 3}, TOLLEY)
    assert some.notes[0].startswith("Not among the present values, so taken as delivered: CV265")


def test_writing_the_short_address_comes_with_a_warning():
    held = {CvAddress(1): 3, CvAddress(19): 0, CvAddress(29): 6}
    made = plan({}, held, GLIM, [Extra(CvAddress(1), 55, "number")])
    assert any("CV29" in note for note in made.notes)


def test_nothing_to_write():
    made = plan({}, None, GLIM)
    assert made == Plan((), ())
    assert NOTHING_TO_WRITE in plan_text("Bed", GLIM.title, made)


def test_what_needs_no_write_is_told_apart_by_whether_it_was_read():
    bed = compile_effect(effect(bed={"output": 3, "key": "F1"}), GLIM)
    made = plan(bed, {CvAddress(35): 4}, GLIM)
    assert made.steps == ()
    assert made.kept == ((CvAddress(35), 4),)
    assert (CvAddress(143), 248) in made.unread
    assert nothing_words(made) == NOTHING_IF_AS_DELIVERED
    text = plan_text("Bed", GLIM.title, made)
    assert "Already as needed\n  - CV35 = 4\n" in text
    assert "[ ] CV143 = 248" in text
    assert "no other key lights these lamps, by CV33, CV34, CV36, CV37" in " ".join(text.split())
    sure = plan(bed, GLIM.delivered, GLIM)
    assert (sure.unread, sure.notes) == ((), ())
    assert nothing_words(sure) == NOTHING_TO_WRITE


def test_the_restore_list_alone():
    made = plan({CvAddress(143): 152}, None, GLIM)
    text = restore_text("Bed", GLIM.title, made)
    assert text.startswith("Restore list")
    assert f"Bed, on {GLIM.title}" in text
    assert "[ ]  1.  CV143 = 248" in text
    assert "Only this locomotive may have this address" in text
    assert "nothing to restore" in restore_text("Bed", GLIM.title, plan({}, None, GLIM))


def test_a_restore_list_of_values_that_nobody_read_says_so_and_has_blanks():
    fire = {"output": 4, "key": "F2", "pattern": {"kind": "flicker", "lowest": 0.5}}
    compiled = compile_effect(effect(x=fire), TOLLEY)
    first, *others = [cv for cv in compiled.by_cv if cv.page]
    page = {CV31: 40, CV32: 7}
    given = {
        "none": None,
        "one": {first: (TOLLEY.delivered[first] + 1) % 2, **page},
        "all": {**TOLLEY.delivered, **page},
    }
    for name, present in given.items():
        made = plan(compiled, present, TOLLEY)
        assumed = {step.cv for step in made.restore if step.assumed}
        unread = {s.cv for s in made.steps if s.cv.page} - (present or {}).keys()
        assert assumed == unread
        assert not any(step.assumed for step in made.steps)
        for text in (plan_text("X", "Y", made), restore_text("X", "Y", made)):
            assert text.count("you read: ____") == sum(step.assumed for step in made.restore)
            told = " ".join(text.split())
            assert ("this is the value as delivered: read yours before" in told) == bool(assumed)
            assert ("back to what it held before, or as delivered" in told) == (name != "all")
    assert others


def test_no_line_of_the_text_ends_between_a_number_and_its_unit():
    look = effect(
        **{
            n: {"output": o, "key": "F1", "pattern": FLICKER}
            for o, n in enumerate(("bed", "flames of the fire", "door", "gauge"), start=1)
        }
    )
    text = plan_text("All", GLIM.title, plan(compile_effect(look, GLIM), None, GLIM))
    assert " %" in text
    assert "\N{NO-BREAK SPACE}" not in text
    assert not any(re.match(r" +(%|Hz|=)", line) for line in text.splitlines())


def test_the_text_has_a_box_for_each_write_and_cautions_in_their_places():
    bed = effect(bed={"output": 3, "key": "F1", "pattern": {"kind": "steady", "level": 0.5}})
    made = plan(compile_effect(bed, TOLLEY), None, TOLLEY, ())
    text = plan_text("Bed", TOLLEY.title, made)
    pages = {cv.page for cv, _ in made.unread}
    assert text.count("[ ]") == len(made.steps) + len(made.restore) + len(pages)
    order = [
        "write them down",
        "Only this locomotive may have this address",
        "lurch",
        "Write, in this order",
        "restore list.",
        "Restore list:",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert max(map(len, text.splitlines())) <= 78


def test_two_blocks_of_pages_are_walked_side_by_side():
    decoder = two_blocks()
    wanted = {cv: (value + 1) % 256 for cv, value in decoder.delivered.items() if cv.page}
    steps = plan(wanted, {CV31: 40, CV32: 0}, decoder).steps
    # Six pages and that of the rate; from one to the next either CV31 or CV32 changes.
    assert sum(step.cv in (CV31, CV32) for step in steps) <= 7


@pytest.mark.parametrize("here", [(None, None), (40, 1), (41, 2), (7, 7)])
def test_pages_under_two_blocks_are_taken_in_the_cheapest_order(here):
    """Orders in which always taking the nearest page would cost a write too many."""
    decoder = two_blocks()
    pages = [(40, 0), (40, 2), (41, 1), (41, 2)]
    cvs = [next(cv for cv in decoder.delivered if cv.page == page) for page in pages]
    made = plan(
        {cv: decoder.delivered[cv] ^ 1 for cv in cvs},
        {n: held for n, held in zip((CV31, CV32), here, strict=True) if held is not None},
        decoder,
    )
    cheapest = fewest_page_writes(pages, here, None)
    assert len(made.steps) == len(cvs) + cheapest


@pytest.mark.parametrize("decoder", [CARROW, GLIM, TOLLEY], ids=lambda decoder: decoder.title)
def test_an_effect_is_decoded_once_on_its_way_to_a_restore_list(decoder):
    fire = effect(bed={"output": 3, "key": "F1"}, flames={"output": 4, "pattern": FLICKER})
    calls = []

    def count(frame, event, _argument):
        if event == "call" and frame.f_code is decode.__code__:
            calls.append(frame)

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        plan(compile_effect(fire, decoder), None, decoder)
    finally:
        sys.setprofile(before)
    assert len(calls) == 1
