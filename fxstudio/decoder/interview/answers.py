"""From what a person types to the value of a field."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, create_model

from fxstudio.documents.models import FileModel, field_facts
from fxstudio.documents.reading import parse
from fxstudio.effect.keys import ALWAYS, KEYS
from fxstudio.errors import InputError, near


@dataclass(frozen=True)
class Reader:
    """How an answer is typed.

    read : text to value; raises ValueError if it is not typed like that
    hint : how to type it, or "" to name the field's range
    """

    read: Callable[[str], Any]
    hint: str = ""


def _whole(text: str) -> int:
    if not re.fullmatch(r"-?\d+", text, re.ASCII):
        raise ValueError("a whole number, in digits only")
    return int(text)


def _number(text: str, unit: str = "") -> float:
    found = re.fullmatch(rf"(-?\d+(?:\.\d+)?)(?:\s*{unit})?", text, re.ASCII | re.IGNORECASE)
    if not found:
        in_unit = f" in {unit}" if unit else ""
        raise ValueError(f"a number{in_unit}, with a point and no comma")
    return float(found[1])


def _parts(text: str) -> list[str]:
    return [part for part in re.split(r"[,;\s]+", text) if part]


def _several(text: str) -> int | list[int]:
    found = [_whole(part) for part in _parts(text)]
    return found[0] if len(found) == 1 else found


def _numbers(text: str) -> list[float | int]:
    return [_whole(part) if part.isdigit() else _number(part) for part in _parts(text)]


def _pair(text: str) -> list[int]:
    found = [_whole(part) for part in _parts(text)]
    if len(found) != 2:
        raise ValueError(PAIR)
    return found


PAIR = "two whole numbers with a comma between them: what CV31 and CV32 must hold"

whole = Reader(_whole)
number = Reader(_number)


def number_in(unit: str) -> Reader:
    """A number that may have its unit behind it, and no other."""
    return Reader(lambda text: _number(text, unit))


as_typed = Reader(str)
several = Reader(_several, "a whole number, or one for each output with commas between them")
key = Reader(str, f"{KEYS[0]} to {KEYS[-1]}, or {ALWAYS}")
pair = Reader(_pair, PAIR)
numbers = Reader(_numbers, "numbers with commas between them")


def is_yes(text: str) -> bool:
    """Whether a yes-or-no question was answered with yes; raises InputError for neither."""
    answer = text.strip().lower()
    if answer not in ("y", "yes", "n", "no"):
        raise InputError("is neither yes nor no", given=text, allowed="yes, no")
    return answer.startswith("y")


def yes_or(yes: str, no: str) -> Reader:
    """A yes-or-no question that stands for one of two values."""

    def read(text: str) -> str:
        try:
            return yes if is_yes(text) else no
        except InputError as error:
            raise ValueError(error.allowed) from error

    return Reader(read, "yes or no")


def _unquoted(text: str) -> str:
    """What a file wants in quotes is typed without them."""
    return text.replace('text in "quotes"', "text").replace('"', "")


def allowed(model: type[BaseModel], field: str, reader: Reader) -> str:
    """What may be answered, in words."""
    return reader.hint or _unquoted(field_facts(model)[field].allowed)


def value_of(text: str, model: type[BaseModel], field: str, reader: Reader) -> Any:
    """The value of an answer; raises InputError if the field does not allow it."""
    try:
        value = reader.read(text)
    except ValueError as error:
        raise InputError(
            "cannot be understood", given=text, allowed=str(error), remedy="type it again"
        ) from None
    info = model.model_fields[field]
    fields: dict[str, Any] = {field: (info.annotation, info)}
    alone = create_model("Answer", __base__=FileModel, **fields)
    try:
        parse(alone, {field: value})
    except InputError as error:
        for each in (error, *error.more):
            each.field = None
            if near(each.given, each.choices) is None:
                each.remedy = "type it again"
            each.allowed = _unquoted(each.allowed or "")
        raise
    return value
