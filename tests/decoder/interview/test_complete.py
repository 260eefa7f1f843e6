"""The interview asks for every field, or a list here says why it does not."""

from __future__ import annotations

import pytest

from fxstudio.decoder.description.fields import EffectCode
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.description.tables import Output
from fxstudio.decoder.interview.pattern_questions import NOT_ASKED
from fxstudio.decoder.interview.questions import SECTIONS
from fxstudio.documents.models import field_facts
from fxstudio.effect.model import Lamp
from fxstudio.effect.patterns import KINDS

WITHOUT_A_QUESTION = {
    "ForwardField": {"bits"},  # a switch has one bit
    "ReverseField": {"bits"},
}
"""Fields that nobody is asked for, by their model."""

NOT_OF_AN_OUTPUT = {
    "colour",
    "place",
    "while_off",
    "motion",
    "together",
    "unless",
    "also",
    "dim",
    "rate_hz",
}
"""Fields of a lamp that no description of a decoder says anything of."""

ASKED_AS = {"output": "number"}
"""Fields of a lamp that an output has under another name."""


def asked_for(where):
    """First names of the fields for which the sections of a table ask."""
    rows = [section for section in SECTIONS if section.where == where]
    return {q.field.partition(".")[0] for section in rows for q in section.questions}


@pytest.mark.parametrize("section", SECTIONS, ids=lambda section: section.title)
def test_every_field_of_a_table_is_asked_for(section):
    tables = {each.where.rpartition(".")[2] for each in SECTIONS}
    fields = set(field_facts(section.model)) - tables
    known_without = WITHOUT_A_QUESTION.get(section.model.__name__, set())
    assert fields - asked_for(section.where) == known_without


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_pattern_has_a_question_that_says_what_to_do_without_an_answer(kind):
    questions = {
        question.field: question
        for section in SECTIONS
        for question in section.questions
        if question.model is KINDS[kind]
    }
    fields = set(field_facts(KINDS[kind])) - set(NOT_ASKED)
    assert {f"pattern.{name}" for name in fields} == set(questions)
    for question in questions.values():
        assert question.words.partition("?")[1] == "?"
        assert question.if_not_given.endswith(".")


def test_every_field_of_a_lamp_is_one_of_an_output_or_in_the_list():
    said = set(field_facts(Output)) | set(field_facts(EffectCode)) | set(field_facts(Description))
    fields = {ASKED_AS.get(name, name) for name in field_facts(Lamp)}
    assert fields - said == NOT_OF_AN_OUTPUT


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_pattern_is_called_something(kind):
    for name, facts in field_facts(KINDS[kind]).items():
        assert facts.help or name == "kind"
        assert facts.words != name or name == "kind", f"{kind}.{name} needs a title"
