"""The interview itself: going back, changing answers, what cannot be used, and any text at all."""

from __future__ import annotations

import tomllib

import pytest
from decoder.interview.answering import FOLDER, answered, answers_in
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fxstudio.decoder.interview.interview import Interview, way_back
from fxstudio.decoder.interview.questions import WORDING
from fxstudio.decoder.interview.typed.terms import SAID_IN_GROUPS
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import SAYS, SPECIAL_SAYS
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError

ROOK, MARSH = answers_in("rook_lane"), answers_in("marsh_hollow")
ALL = sorted(path.stem for path in FOLDER.glob("*.txt"))


def refused(interview: Interview, text: str) -> InputError:
    """The complaint about an answer, which leaves the question as it is."""
    question = interview.question
    with pytest.raises(InputError) as caught:
        interview.answer(text)
    assert interview.question is question
    return caught.value


@pytest.mark.parametrize("at", range(1, len(ROOK) + 1))
def test_back_to_any_answer_and_the_same_again_is_as_if_nothing_had_been(at):
    interview = answered(ROOK)
    text = interview.text()
    interview.back(at)
    assert interview.so_far() == answered(ROOK[: at - 1]).so_far()
    interview.answer(ROOK[at - 1])
    assert interview.question is None
    assert interview.text() == text


def test_back_again_and_again_comes_to_the_first_question_and_no_further():
    interview = answered(ROOK[:4])
    for left in (3, 2, 1, 0):
        interview.back()
        assert len(interview.so_far()) == left
    with pytest.raises(InputError, match="this is the first question"):
        interview.back()
    with pytest.raises(InputError, match="this is the first question"):
        interview.back(1)


def test_the_answer_before_is_what_enter_gives():
    interview = answered(ROOK)
    interview.back(5)
    assert interview.default == "50 mA each"
    interview.answer("")
    assert interview.question is None


def test_a_changed_answer_leaves_those_it_does_not_touch():
    interview = answered(ROOK)
    interview.back(5)
    interview.answer("70 mA each, 100 together")
    assert interview.question is None
    made = tomllib.loads(interview.text())
    assert made["limit_ma"] == 100
    assert made["cells"] == tomllib.loads(answered(ROOK).text())["cells"]


def test_what_a_changed_answer_touches_is_asked_again():
    interview = answered(ROOK)
    number = next(at for at, row in enumerate(interview.so_far(), 1) if row.at == "line 1: codes")
    interview.back(number)
    interview.answer("0 steady; 1 ember; 2 green steady and violet ember")
    assert interview.question.words.startswith("How does ember light")
    interview.answer("")
    assert interview.question.at == "line 1: right"  # other examples: asked again
    interview.answer("yes")
    assert interview.question is None  # all after it was kept


@pytest.mark.parametrize("number", [0, -1, 18, 10**9])
def test_back_to_a_number_that_is_not_there_is_told(number):
    interview = answered(ROOK)
    with pytest.raises(InputError) as caught:
        interview.back(number)
    assert caught.value.allowed == "1 to 17"


@pytest.mark.parametrize(
    ("text", "way"),
    [("back", None), (" BACK ", None), ("back 12", 12), ("back to 3", 3), ("go back", False)],
)
def test_the_words_for_going_back(text, way):
    assert way_back(text) is way or way_back(text) == way


def test_a_sentence_may_be_left_out():
    interview = answered([*ROOK[:5], "skip", *ROOK[5:]])
    assert interview.text() == answered(ROOK).text()


@pytest.mark.parametrize("cut", range(0, len(MARSH), 9))
def test_another_sitting_goes_on_from_the_answers(cut):
    first = answered(MARSH[:cut])
    second = Interview(first.kept())
    assert second.so_far() == first.so_far()
    for text in MARSH[cut:]:
        second.answer(text)
    assert second.text() == answered(MARSH).text()


def test_a_sitting_that_ended_while_an_answer_was_changed_keeps_the_others():
    first = answered(ROOK)
    first.back(1)
    second = Interview(first.kept())
    assert second.question.at == "title"
    second.answer("Rook Lane 3")
    assert second.question is None


TO_CVS = [*ROOK[:5], "CV 120 and more"]
TO_CODES = ROOK[:10]


@pytest.mark.parametrize(
    ("before", "text", "told"),
    [
        ([], "", "needs an answer"),
        (["Glim"], "red, red", "has a name twice"),
        (["Glim"], "40", "is out of range"),
        (["Glim", "2"], "red", "are 1 for 2 outputs"),
        (["Glim", "2", ""], "F29", "is no key"),
        (["Glim", "2", ""], "F1, F2, F3", "are 3 keys for 2 outputs"),
        (["Glim", "2", "", "F1"], "100 W", "is none of the outputs"),
        (TO_CVS, "7", "CV7 holds the maker's version number"),
        (TO_CVS, "17", "CV17 is not in a range left to makers"),
        (TO_CVS, "300", "needs a page"),
        (TO_CVS, "300; CV 31 = 16 first", "needs both CV 31 and CV 32"),
        (TO_CVS, "120, 120", "names a CV twice"),
        (TO_CVS, "one hundred", "cannot be understood"),
        ([*TO_CVS, "120, 121, 122"], "each", "are 2 for 3 CVs"),
        ([*TO_CVS, "120"], "blue", "is none of the outputs"),
        ([*TO_CVS, "120, 121"], "F0, F0", "names one twice"),
        ([*TO_CVS, "120", "all"], "magic", "is not one of the choices"),
        ([*TO_CVS, "120", "all", "one"], "colour", "is nothing that a number can say"),
        (TO_CODES, "steady", "cannot be understood"),
        (TO_CODES, "0 steady, 300 flicker", "is out of range"),
        (TO_CODES, "0 steady, 0 flicker", "stands there already"),
        ([*TO_CODES[:-1], "level"], "0 dark to 1,5 full", "cannot be understood"),
        ([*TO_CODES[:-1], "rate"], "0 to 255", "says not how much"),
        ([*ROOK[:11]], "disco", "is no kind of light"),
        ([*ROOK[:11]], "flicker, down to 200 %", "is out of range"),
        ([*ROOK[:12]], "9", "9 is no value of it as described"),
        ([*ROOK[:12]], "2 for both strobe", "and not strobe"),
        ([*ROOK[:12]], "no", "then an answer to this sentence is another one"),
        ([*ROOK[:13], "CV 120 once more"], "120", "was described before"),
    ],
)
def test_answers_that_cannot_be_used(before, text, told):
    error = refused(answered(before), text)
    assert told in error.problem
    assert error.remedy


# In tens, 12 would be both effect 2 with direction 1 and effect 12: no sum tells them apart.
def test_a_sum_that_cannot_be_told_apart_is_told_at_its_part():
    interview = answered([*TO_CVS, "120", "all", "sum", "effect + 2 x directions"])
    interview.answer("0 none, 1 steady, 2 fire")
    interview.answer("")
    assert "and code" in refused(interview, "0 both, 1 forward").problem


def test_a_value_as_delivered_that_is_none_is_told_with_those_that_are():
    interview = answered([*TO_CVS, "120", "all", "one", "level", "0 dark to 63 full"])
    error = refused(interview, "64")
    assert (error.given, error.allowed) == ("64", "0 to 63")


def test_a_printed_total_is_shown_in_its_parts():
    at = MARSH.index("12 for random flicker in reverse")
    interview = answered(MARSH[: at + 1])
    assert interview.question.examples[-1] == (
        "So 12 = 2 + 5 x 2 on CV 114 means: random flicker, reverse only."
    )


def test_three_worked_examples_after_each_part():
    at = MARSH.index("effect + 5 x direction")
    interview = answered(MARSH[: at + 2])
    assert len(interview.examples()) == 3
    told = answered(MARSH[: at + 6]).examples()
    assert "So 6 = 1 + 5 on CV 114, white, means: steady, forward only." in told
    assert told[-1] == "As delivered: 6, 11, 1, 1, 1."


@pytest.mark.parametrize("name", ALL)
def test_what_is_not_known_is_the_second_way_wherever_it_may_be(name):
    interview = Interview()
    for text in answers_in(name):
        ways = interview.question.told_ways
        assert ways
        assert ("not known" in ways) == (ways[1:2] == ("not known",))
        interview.answer(text)


def test_all_that_a_number_can_say_is_explained():
    told = " ".join(SAID_IN_GROUPS)
    assert [says for says in (*SAYS, *SPECIAL_SAYS) if says not in told] == []


def test_an_effect_that_is_not_known_has_a_name_and_no_kind():
    interview = answered([*TO_CODES, "0 steady, 1 not known", "not known"])
    interview.answer("0")
    for text in ("yes", "done", "", "no", "nothing"):
        interview.answer(text)
    read = parse(Leaflet, tomllib.loads(interview.text()))
    assert read.looks["effect 1"].kind == "unknown"


def test_every_question_is_asked_of_some_leaflet():
    asked = {
        row.at.rpartition(": ")[2] for name in ALL for row in answered(answers_in(name)).so_far()
    }
    names = {name.rpartition(" ")[0] if name.startswith("line ") else name for name in asked}
    assert names == set(WORDING) - {"own_key"}


def test_an_output_that_no_sentence_lights_is_asked_for_at_the_end():
    lone = ["Glim", "2", "", "by CVs", "", "CV 120 brightness of 1", "120", "1", "one", "level"]
    interview = answered([*lone, "0 dark to 9 full", "9", "yes", "done", ""])
    assert interview.question.words.startswith("No sentence says which key lights 1.")
    for text in ("F0 reverse", "F4", "no", "nothing"):
        interview.answer(text)
    read = parse(Leaflet, tomllib.loads(interview.text()))
    assert [(row.key, row.travel) for row in read.outputs] == [("F0", "reverse"), ("F4", "both")]


POOL = sorted({text for name in ALL for text in answers_in(name)})
WORDS = sorted({word for text in POOL for word in text.split()})
ANYTHING = st.one_of(
    st.text(max_size=30),
    st.sampled_from(POOL),
    st.lists(st.sampled_from(WORDS), max_size=8).map(" ".join),
)


@settings(deadline=None, suppress_health_check=list(HealthCheck))
@given(st.sampled_from(ALL), st.integers(0, 40), st.lists(ANYTHING, max_size=12))
def test_any_text_is_an_answer_or_is_complained_about(name, cut, texts):
    interview = answered(answers_in(name)[:cut])
    for text in texts:
        if interview.question is None:
            break
        try:
            interview.answer(text)
        except InputError as error:
            assert str(error)
    if interview.question is None:
        assert parse(Leaflet, tomllib.loads(interview.text()))
