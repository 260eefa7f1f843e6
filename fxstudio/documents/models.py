"""The base of every model of a file, and what a model says of its fields.

Range, unit, words, help and default of a field stand in the model and nowhere else. Messages, the
window's controls, the interview and the tables ask `field_facts`.
"""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Union, get_args, get_origin

import annotated_types
from pydantic import BaseModel, ConfigDict, PrivateAttr
from pydantic.fields import FieldInfo

from fxstudio.units import percent


class FileModel(BaseModel):
    """Base of all models of files: nothing unknown, converted in silence, or changed later.

    `reading.changed` makes a copy with other fields, as well checked.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    _source: Path | None = PrivateAttr(None)

    @property
    def source(self) -> Path | None:
        """The file it was read from, also once it is edited; None if a model does not keep it."""
        return self._source


@dataclass(frozen=True)
class Asked:
    """How the interview asks for a field; it stands in the field's annotation.

    words : the question
    if_not_given : what to do if the manual does not say
    usual : what Enter gives, where that is not the field's default
    choices : each choice of the field and what it means
    """

    words: str
    if_not_given: str = "press Enter for the usual one."
    usual: str = ""
    choices: tuple[tuple[str, str], ...] = ()


SHARES = ("light", "share")
"""Units of what is a share of one: of full brightness, and of anything else."""

TYPE_WORDS: Mapping[object, str] = {
    float: "a number",
    int: "a whole number",
    str: 'text in "quotes"',
    bool: "true or false",
    dict: "a table",
    tuple: "a list",
}


UNIONS = (Union, types.UnionType)
"""What an annotation is that allows one of several types."""


@dataclass(frozen=True)
class Facts:
    """What a model says of one field.

    name : as a file has it
    words : as people call it
    unit : of a number: "Hz", "s", "m"; "light" and "share" for shares of one; "" for none
    type : float, int, str, bool, dict, tuple, a model, or what else the annotation says
    lowest, highest : limits of a number, None for none
    above, below : whether the lowest and the highest are themselves not allowed
    choices : the words of which it must hold one; empty if it may hold others
    longest : most letters of a text, or of each name in a table; None for no limit
    default : its value in a file that has none
    help : what it means, in a sentence
    asked : how the interview asks for it, or None
    """

    name: str
    words: str
    unit: str = ""
    type: object = None
    lowest: float | None = None
    highest: float | None = None
    above: bool = False
    below: bool = False
    choices: tuple[str, ...] = ()
    longest: int | None = None
    default: Any = None
    help: str = ""
    asked: Asked | None = None

    @property
    def allowed(self) -> str:
        """What a file may hold, in words: `a number from 0.2 to 25`."""
        if self.choices:
            return ", ".join(f'"{choice}"' for choice in self.choices)
        if isinstance(self.type, type) and issubclass(self.type, BaseModel):
            return "a table with " + ", ".join(file_fields(self.type))
        if get_origin(self.type) in UNIONS:
            return ", or ".join(facts_of_type(kind).allowed for kind in get_args(self.type))
        words = TYPE_WORDS.get(self.type, "")
        if self.lowest is not None:
            words += f" {'above' if self.above else 'from'} {self.lowest:g}"
        if self.highest is not None:
            words += f" {'below' if self.below else 'to'} {self.highest:g}"
        if self.type is str and self.longest is not None:
            words += f", at most {self.longest} letters"
        return words or "one of its kinds"

    @property
    def allowed_here(self) -> str | None:
        """What a person may give who sees no file: `380 nm to 780 nm`; None if anything."""
        if self.type is str and self.longest is not None:
            return f"at most {self.longest} letters"
        if self.lowest is None or self.highest is None:
            return None
        return f"{self.text(self.lowest)} to {self.text(self.highest)}"

    @property
    def whole_numbers(self) -> range:
        """All values of a field of whole numbers that has two limits."""
        if self.lowest is None or self.highest is None:
            raise ValueError(f"{self.name} has no end")
        return range(int(self.lowest), int(self.highest) + 1)

    def text(self, value: Any) -> str:
        """A value as people read it: `35 %`, `0.5 s`, `smooth`."""
        if isinstance(value, str):
            return value
        if self.unit in SHARES:
            return percent(value)
        return f"{float(f'{value:.3g}'):g} {self.unit}".strip()  # no 1.9e+03


def file_fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of `model` by the names that a file has for them."""
    return {info.alias or name: info for name, info in model.model_fields.items()}


@cache
def field_facts(model: type[BaseModel]) -> Mapping[str, Facts]:
    """What `model` says of its fields, by name."""
    return {name: facts_of(name, info) for name, info in model.model_fields.items()}


def facts_of(name: str, info: FieldInfo) -> Facts:
    """What a field says of itself."""
    extra = info.json_schema_extra
    return facts_of_type(
        info.annotation,
        info.metadata,
        name=name,
        words=info.title or name,
        unit=extra.get("unit", "") if isinstance(extra, dict) else "",
        default=info.default,
        help=info.description or "",
    )


def facts_of_type(annotation: Any, metadata: Iterable[Any] = (), **said: Any) -> Facts:
    """What an annotation and pydantic's metadata say, with what else is `said` of the field."""
    said = {"name": "", "words": ""} | said
    annotation, metadata = _peeled(annotation, metadata)
    origin = get_origin(annotation)
    letters = metadata if annotation is str else []
    if origin is dict:  # what is said of the names in a table
        letters = _peeled(get_args(annotation)[0])[1]
    for item in letters:
        if isinstance(item, annotated_types.MaxLen):
            said["longest"] = item.max_length
    for item in metadata:
        match item:
            case annotated_types.Ge(limit) | annotated_types.Gt(limit):
                said |= {"lowest": limit, "above": isinstance(item, annotated_types.Gt)}
            case annotated_types.Le(limit) | annotated_types.Lt(limit):
                said |= {"highest": limit, "below": isinstance(item, annotated_types.Lt)}
            case Asked():
                said["asked"] = item
    choices = get_args(annotation)
    if choices and all(isinstance(choice, str) for choice in choices):
        said["choices"] = choices
    return Facts(type=origin if origin in (dict, tuple) else annotation, **said)


def bare(annotation: Any) -> Any:
    """An annotation without Annotated and without `| None`."""
    return _peeled(annotation)[0]


def _peeled(annotation: Any, metadata: Iterable[Any] = ()) -> tuple[Any, list[Any]]:
    """A bare annotation, and the metadata that lay around it."""
    found = list(metadata)
    while True:
        rest = [choice for choice in get_args(annotation) if choice is not types.NoneType]
        if get_origin(annotation) is Annotated:
            annotation, *more = rest
            for item in more:
                found += item.metadata if isinstance(item, FieldInfo) else [item]
        elif get_origin(annotation) in UNIONS and len(rest) == 1:
            annotation = rest[0]
        elif get_origin(annotation) in UNIONS and len(rest) < len(get_args(annotation)):
            annotation = Union[tuple(rest)]  # noqa: UP007
        else:
            return annotation, found
