"""The questions about what an effect code does, derived from the kinds of patterns."""

from __future__ import annotations

from typing import Any, Final, Literal

from pydantic import create_model

from fxstudio.decoder.description.fields import CODE_KINDS
from fxstudio.decoder.interview.answers import Reader, as_typed, number, number_in, whole
from fxstudio.decoder.interview.question import Limit, Question, Rule
from fxstudio.documents.models import Asked, Facts, field_facts
from fxstudio.effect.patterns import KINDS

_kinds: Any = Literal[tuple(CODE_KINDS)]  # all of them, whichever there are
PatternKind = create_model("PatternKind", kind=(_kinds, ...))
"""Which kind of pattern, or none; the patterns themselves each know only their own."""

NOT_ASKED: Final = ("kind", "level", "highest")
"""Fields without a question: the kind is asked for before, and codes are told at full level."""


def _reader_of(facts: Facts) -> Reader:
    """How a field of a pattern is typed."""
    if facts.type is int:
        return whole
    if facts.type is not float:
        return as_typed
    return number_in(facts.unit) if facts.unit in ("s", "m") else number


def _limit_of(asked: Asked) -> Limit:
    """Choices with what each means; else what the field allows."""
    lines = "\n   ".join(f"{choice} - {meaning}" for choice, meaning in asked.choices)
    return Limit(lambda *_: lines) if lines else Limit()


def _when(kind: str) -> Rule:
    return lambda table, _data: bool(table["pattern"]["kind"] == kind)


def pattern_questions() -> tuple[Question, ...]:
    """For each kind of pattern, its own fields; brightness is that at full level.

    A field that does not say how it is asked for is asked for by its help.
    """
    rows = []
    for kind, pattern in KINDS.items():
        for facts in field_facts(pattern).values():
            if facts.name in NOT_ASKED:
                continue
            asked = facts.asked or Asked(facts.help)
            rows.append(
                Question(
                    f"pattern.{facts.name}",
                    asked.words,
                    _reader_of(facts),
                    asked.usual or str(facts.default),
                    when=_when(kind),
                    model=pattern,
                    limit=_limit_of(asked),
                    if_not_given=asked.if_not_given,
                )
            )
    return tuple(rows)
