"""What the models say of their fields, as controls and refusals need it. Knows no pygame."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from pydantic import BaseModel

from fxstudio.documents.models import Facts, field_facts
from fxstudio.effect.model import Colour, Effect, Lamp
from fxstudio.effect.patterns import KINDS
from fxstudio.errors import FxError, InputError

OPEN_END = 0.01
"""How near a slider comes to a limit that is itself not allowed."""

BRIGHTNESS = ("level", "highest", "lowest")
"""Fields of a pattern that are a brightness; the one that says how bright it is at most first."""


def brightest_field(pattern: type[BaseModel]) -> str:
    """The field that says how bright a kind of pattern is at most."""
    return next(name for name in BRIGHTNESS if name in pattern.model_fields)


def pattern_kind(pattern: BaseModel) -> str:
    """The kind of a pattern, as files name it."""
    return str(field_facts(type(pattern))["kind"].default)


def slider_ends(facts: Facts) -> tuple[float, float]:
    """Where a slider begins and ends: next to a limit that is itself not allowed."""
    low = 0.0 if facts.lowest is None else facts.lowest + facts.above * OPEN_END
    high = 1.0 if facts.highest is None else facts.highest - facts.below * OPEN_END
    return low, high


@contextmanager
def in_plain_words(data: Mapping[str, Any]) -> Iterator[None]:
    """Tell an `InputError` about the effect in `data` without names that only its file has."""
    try:
        yield
    except InputError as error:
        for each in (error, *error.more):
            _tell(each, data)
        raise


def _tell(error: FxError, data: Mapping[str, Any]) -> None:
    facts = _facts_of(error.field or "", data)
    error.field = None
    error.given = None if error.given == "" else error.given
    if facts is None or not re.match("(is|has) ", error.problem):
        return  # a whole sentence
    subject = "this" if error.problem.startswith("is not ") else f"the {facts.words}"
    error.problem = f"{subject} {error.problem}"
    error.allowed = facts.allowed_here or error.allowed
    if facts.unit and isinstance(error.given, float):
        error.given = facts.text(error.given)


def _facts_of(field: str, data: Mapping[str, Any]) -> Facts | None:
    """What the model says of a field by its dotted name; a lamp's name may have dots too."""
    for name, lamp in data["lamps"].items():
        start = f"lamps.{name}."
        if field.startswith(start):
            table, _, last = field.removeprefix(start).rpartition(".")
            model = {"": Lamp, "colour": Colour}.get(table) or KINDS[lamp["pattern"]["kind"]]
            return field_facts(model).get(last)
    return field_facts(Effect).get(field)
