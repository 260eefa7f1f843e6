"""The comments of a TOML text, and what each is said of.

A comment on a line of its own belongs to what follows it, one at the end of a line to what stands
on that line.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from typing import Final, NamedTuple

Place = tuple[str | int, ...]
"""Names of tables and fields, and numbers of entries: `("outputs", 0, "wire")`."""

_TOKEN: Final = re.compile(
    r'"""(?:\\.|[^\\])*?"""+'
    r"|'''.*?'''+"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[][{}=,\n]"
    r"|[^\s\"'#\[\]{}=,]+",
    re.DOTALL,
)
"""Texts of all four kinds, comments, signs, and words: bare names, numbers and dots."""


class Comment(NamedTuple):
    """Lines of one comment, with # and without the spaces before it; "" for a blank line.

    of : what it is said of; None for what stands after everything
    """

    of: Place | None
    lines: tuple[str, ...]


def comments_in(text: str) -> Iterator[Comment]:
    """Every comment of a text that is valid TOML, in order."""
    reader = _Reader()
    waiting: list[str] = []  # a comment that belongs to what comes next
    blank = begun = False  # whether there is nothing, or something, on the line
    beside: Place | None = None  # what stands on it
    for token in _TOKEN.findall(text.replace("\r\n", "\n")):
        if token.startswith("#"):
            if begun:
                yield Comment(beside, (token.rstrip(),))
            else:
                waiting.append(token.rstrip())
            blank = False
        elif token == "\n":
            reader.read(token)
            if blank and waiting and waiting[-1]:
                waiting.append("")
            blank, begun = True, False
        else:
            opens = not begun
            reader.read(token)
            if opens:
                begun, blank = True, False
                beside = None
            if reader.place is not None and (beside is None or waiting):
                beside = reader.place if beside is None else beside
                if waiting:
                    yield Comment(beside, tuple(waiting))
                    waiting = []
    if waiting:
        yield Comment(None, tuple(waiting))


class _Reader:
    """Where in a TOML text one is, token by token."""

    def __init__(self) -> None:
        self.place: Place | None = None  # None while a name is not read to its end
        self._table: Place = ()
        self._field: Place = ()
        self._name: list[str] = []
        self._value = self._header = False
        self._depth = self._entry = 0
        self._tables: defaultdict[Place, int] = defaultdict(int)

    def read(self, token: str) -> None:
        """Take one token that is no comment."""
        if self._value:
            self._read_value(token)
        elif token == "\n":
            if self._header:
                self._open_table()
            self._name, self._header, self._depth = [], False, 0
            self.place = None
        elif token == "=":
            self._field = (*self._table, *_names(self._name))
            self._value, self._entry, self._depth = True, 0, 0
            self.place = self._field
        elif token in ("[", "]"):
            self._depth += token == "["
            self._header = True
            if token == "]" and self.place is None:
                self.place = self._header_place()
        else:
            self._name.append(token)

    def _read_value(self, token: str) -> None:
        if token == "\n" and not self._depth:
            self._value, self._name, self.place = False, [], None
            return
        if self._depth and token != "\n":
            self.place = (*self._field, self._entry)
        if token in ("[", "{"):
            self._depth += 1
        elif token in ("]", "}"):
            self._depth -= 1
        elif token == "," and self._depth == 1:
            self._entry += 1

    def _header_place(self) -> Place:
        names = self._inside(_names(self._name))
        return (*names, self._tables[names]) if self._depth > 1 else names

    def _open_table(self) -> None:
        self._table = self._header_place()
        if self._depth > 1:
            self._tables[self._table[:-1]] += 1

    def _inside(self, names: Place) -> Place:
        """A name of a table with the entry of each list of tables on the way to it."""
        found: Place = ()
        for at, name in enumerate(names):
            found = (*found, name)
            if at < len(names) - 1 and self._tables[found]:
                found = (*found, self._tables[found] - 1)
        return found


def _names(tokens: list[str]) -> Place:
    """`a.b` and `"a" . b` as ("a", "b")."""
    found: list[str] = []
    for token in tokens:
        if token[0] in "\"'":
            found.append(token[1:-1])
        else:
            found += [name for name in token.split(".") if name]
    return tuple(found)
