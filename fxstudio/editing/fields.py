"""What the models say of their fields, as controls and refusals need it. Knows no pygame."""

from __future__ import annotations

from pydantic import BaseModel

from fxstudio.documents.models import Facts, field_facts

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
