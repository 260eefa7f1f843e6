"""What a question and a section of questions are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from fxstudio.decoder.interview.answers import Reader, as_typed

TomlTable = dict[str, Any]

Rule = Callable[[TomlTable, TomlTable], bool]
"""Whether to ask, by the section's table so far and the whole description so far."""


def always(_table: TomlTable, _data: TomlTable) -> bool:
    return True


@dataclass(frozen=True)
class Limit:
    """What an answer may be beside what its field allows.

    hint : what is allowed, in words, by the section's table and the whole description so far;
        None for the range of the field
    refused : why a value cannot be used, or None; called with it and the same two
    """

    hint: Callable[[TomlTable, TomlTable], str] | None = None
    refused: Callable[[Any, TomlTable, TomlTable], str | None] = lambda *_: None


@dataclass(frozen=True)
class Question:
    """One field, asked in plain words.

    field : its name in the section's table; a dot leads into a table of its own
    words : the question
    read : from text to value
    default : what Enter gives, or how to find it from (table, data); "" if it must be answered
    when : whether it is asked at all
    model : where the field stands, if not in the section's own model
    may_be_left : whether Enter leaves the field out
    limit : what else an answer must be
    if_not_given : what to do if the manual does not say; every question for a number has it
    """

    field: str
    words: str
    read: Reader = as_typed
    default: str | Callable[[TomlTable, TomlTable], str] = ""
    when: Rule = always
    model: type[BaseModel] | None = None
    may_be_left: bool = False
    limit: Limit = Limit()
    if_not_given: str = ""


@dataclass(frozen=True)
class Section:
    """A group of questions that fill one table.

    where : dotted name of the table; "" is the whole description
    title, help : said before its questions
    rows : at least so many rows are asked for; None if it is a single table
    offer : a yes-or-no question that decides whether it is asked at all
    when : whether it may be asked, by the description so far
    """

    where: str
    title: str
    model: type[BaseModel]
    questions: tuple[Question, ...]
    help: str = ""
    rows: int | None = None
    offer: str = ""
    when: Callable[[TomlTable], bool] = lambda data: True
