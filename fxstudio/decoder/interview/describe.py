"""Describe a decoder by answering questions: the interview, and the file it writes."""

from __future__ import annotations

import copy
import textwrap
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import tomlkit

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.interview.answers import allowed, is_yes, value_of
from fxstudio.decoder.interview.notebook import BACK
from fxstudio.decoder.interview.question import Question, Section, TomlTable
from fxstudio.decoder.interview.questions import SECTIONS
from fxstudio.decoder.interview.stand_ins import misfit
from fxstudio.documents.reading import parse
from fxstudio.errors import FxError, InputError

DONE: Final = "done"
"""What Enter says where row after row is asked for."""

NO_MORE: Final = "; Enter when there are no more"

TYPE_IT: Final = f"type it, or {BACK} to be asked the question before once more"


@dataclass(frozen=True)
class Interview:
    """Asks all questions of `SECTIONS`. How a person is asked is up to the caller.

    ask : (question, what is allowed, what Enter gives) -> what was typed
    tell : called with the title and the help of each section
    complain : called with what is wrong, before it is asked for again
    """

    ask: Callable[[str, str, str], str]
    tell: Callable[[str, str], None]
    complain: Callable[[FxError], None]

    def run(self) -> TomlTable:
        """The tables of a description file that passes every check.

        An answer that cannot be used is asked for again at once. So is a section whose answers
        do not fit those before, with its answers as defaults but for what is wrong, and a row.
        Whatever only shows in the end is asked again from its section on: nobody gets stuck.
        """
        ahead: list[TomlTable] = [{}]  # the tables as they were ahead of each section
        while True:
            for section in SECTIONS[len(ahead) - 1 :]:
                ahead.append(self._section(section, ahead[-1]))
            try:
                parse(Description, ahead[-1])
            except FxError as error:
                self.complain(error)
                del ahead[_section_of(error.field or "") + 1 :]
            else:
                return ahead[-1]

    def _section(self, section: Section, data: TomlTable) -> TomlTable:
        if not section.when(data) or (section.offer and not self._wanted(section.offer)):
            return data
        self.tell(section.title, section.help)
        return (self._table if section.rows is None else self._rows)(section, data)

    def _wanted(self, offer: str) -> bool:
        while True:
            try:
                return is_yes(self.ask(offer, "yes or no", "no") or "no")
            except InputError as error:
                self.complain(error)

    def _table(self, section: Section, data: TomlTable) -> TomlTable:
        before: dict[str, str] = {}
        while True:
            found = copy.deepcopy(data)
            table = _at(found, section.where)
            for question in section.questions:
                if question.when(table, found):
                    default = before.get(question.field, _default(question, table, found))
                    before[question.field] = self._answer(question, section, table, found, default)
            problem = misfit(found)
            if problem is None:
                return found
            self.complain(problem)
            before.pop((problem.field or "").rpartition(".")[2], None)

    def _rows(self, section: Section, data: TomlTable) -> TomlTable:
        found = copy.deepcopy(data)
        where, _, name = section.where.rpartition(".")
        rows = _at(found, where).setdefault(name, [])
        while True:
            row = self._row(section, found, max((section.rows or 0) - len(rows), 0))
            if row is not None:
                rows.append(row)
            problem = misfit(found, finished=row is None)
            if problem is not None:
                self.complain(problem)
                if row is not None:
                    rows.pop()
            elif row is None:
                return found

    def _row(self, section: Section, data: TomlTable, lacking: int) -> TomlTable | None:
        """One row, or None if there are no more, which is no answer while some are lacking."""
        row: TomlTable = {}
        first, *others = section.questions
        enter, hint = ("", f"; {lacking} more needed") if lacking else (DONE, NO_MORE)
        if self._answer(first, section, row, data, enter, hint) == DONE:
            return None
        for question in others:
            if question.when(row, data):
                self._answer(question, section, row, data, _default(question, row, data))
        return row

    def _answer(
        self,
        question: Question,
        section: Section,
        table: TomlTable,
        data: TomlTable,
        default: str,
        more: str = "",
    ) -> str:
        """Ask until the answer can be used, and put it into `table`; what was typed."""
        *way, field = question.field.split(".")
        model = question.model or section.model
        limit = question.limit
        hint = limit.hint(table, data) if limit.hint else allowed(model, field, question.read)
        more = ", or Enter to leave it out" if question.may_be_left else more
        if question.if_not_given:
            more += f"\n   If the manual does not say: {question.if_not_given}"
        while True:
            typed = self.ask(question.words, hint + more, default).strip() or default
            if typed == DONE == default or (not typed and question.may_be_left):
                return typed
            try:
                if not typed:
                    raise InputError("needs an answer", allowed=hint, remedy=TYPE_IT)
                value = value_of(typed, model, field, question.read)
                if refused := limit.refused(value, table, data):
                    raise InputError(refused, given=typed, allowed=hint, remedy="type it again")
                _at(table, ".".join(way))[field] = value
            except InputError as error:
                self.complain(error)
            else:
                return typed


def _section_of(field: str) -> int:
    """Index of the section that asks for a field or, if none does, of the first of its table."""
    where, _, name = field.rpartition(".")
    asking, of_table = [], []
    for index, section in enumerate(SECTIONS):
        if section.where == where and name in [question.field for question in section.questions]:
            asking.append(index)
        if section.where.partition(".")[0] == field.partition(".")[0]:
            of_table.append(index)
    return (asking or of_table or [0])[0]


def _default(question: Question, table: TomlTable, data: TomlTable) -> str:
    default = question.default
    return default(table, data) if callable(default) else default


def _at(data: TomlTable, where: str) -> TomlTable:
    """The table with a dotted name, made if it is not there."""
    for part in where.split(".") if where else ():
        data = data.setdefault(part, {})
    return data


WIDTH: Final = 88

HEADER: Final = """\
{title}: described with `fxstudio describe new` from its manual. Change what is wrong, then let \
`fxstudio check` look at it. If the manual and this file differ, the manual is right."""

MODELS: Final = {section.where: section.model for section in SECTIONS}
"""Dotted name of a table to the model that says what its fields mean."""

LISTS: Final = {
    section.where for section in SECTIONS if section.rows is not None and "." not in section.where
}
"""Names of the tables of which a file has several."""


def to_text(data: TomlTable) -> str:
    """A description file, with a comment above each field that says what it means."""
    document = tomlkit.document()
    _comment(document, HEADER.format(title=data["title"]))
    for name, info in Description.model_fields.items():
        if name not in data:
            continue
        value = data[name]
        document.add(tomlkit.nl())
        _comment(document, info.description)
        if isinstance(value, list):
            rows = tomlkit.aot()
            for row in value:
                rows.append(_as_table(row, name, commented=row is value[0]))
            document.add(name, rows)
        else:
            document.add(name, _as_table(value, name) if isinstance(value, dict) else value)
    return tomlkit.dumps(document)


def _as_table(data: TomlTable, where: str, commented: bool = True) -> Any:
    table = tomlkit.table()
    for name, info in MODELS[where].model_fields.items():
        if name in data:
            if commented:
                _comment(table, info.description)
            table.add(name, _array(data[name]) if isinstance(data[name], list) else data[name])
    if where in LISTS:
        table.add(tomlkit.nl())
    return table


def _array(entries: list[Any]) -> Any:
    """A list; one entry a line where the entries are tables."""
    array = tomlkit.array()
    array.multiline(isinstance(entries[0], dict))
    for entry in entries:
        array.append(_inline(entry) if isinstance(entry, dict) else entry)
    return array


def _inline(data: TomlTable) -> Any:
    table = tomlkit.inline_table()
    for name, value in data.items():
        table[name] = _inline(value) if isinstance(value, dict) else value
    return table


def _comment(table: Any, text: str | None) -> None:
    for line in textwrap.wrap(text or "", WIDTH):
        table.add(tomlkit.comment(line))
