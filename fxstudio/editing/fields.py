"""What the models say of their fields: ranges and lengths. Knows nothing of pygame."""

from __future__ import annotations

from typing import Any, get_args

import annotated_types
from pydantic import BaseModel
from pydantic.fields import FieldInfo

OPEN_END = 0.01
"""How near a slider comes to a limit that is itself not allowed."""


BRIGHTNESS = ("level", "highest", "lowest")
"""Fields of a pattern that are a brightness; the one that says how bright it is at most first."""


def brightest_field(pattern: type[BaseModel]) -> str:
    """The field that says how bright a kind of pattern is at most."""
    return next(name for name in BRIGHTNESS if name in pattern.model_fields)


def kind_of(pattern: BaseModel) -> str:
    """The kind of a pattern, as files name it."""
    return str(type(pattern).model_fields["kind"].default)


def limits(info: FieldInfo) -> tuple[float, float]:
    """Lowest and highest value of a number field."""
    low, high = 0.0, 1.0
    for limit in _limits(info):
        match limit:
            case annotated_types.Ge(int() | float() as ge):
                low = ge
            case annotated_types.Gt(int() | float() as gt):
                low = gt + OPEN_END
            case annotated_types.Le(int() | float() as le):
                high = le
            case annotated_types.Lt(int() | float() as lt):
                high = lt - OPEN_END
    return low, high


def whole_numbers(info: FieldInfo) -> range:
    """All values of a field of whole numbers."""
    low, high = limits(info)
    return range(int(low), int(high) + 1)


def longest(info: FieldInfo) -> int:
    """Most letters of a field of text, or of each name in a table."""
    (most,) = (
        limit.max_length for limit in _limits(info) if isinstance(limit, annotated_types.MaxLen)
    )
    return most


def _limits(info: FieldInfo) -> list[Any]:
    """Its limits, those in parts of `Annotated[...] | None` or `dict[Annotated[...], ...]` too."""
    found: list[Any] = [*info.metadata]
    for part in get_args(info.annotation):
        for item in getattr(part, "__metadata__", ()):
            found += item.metadata if isinstance(item, FieldInfo) else [item]
    return found
