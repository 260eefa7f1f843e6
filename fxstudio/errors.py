"""Errors a person can act on.

Every error that can reach a user is a `FxError`. It knows the file, the field, what was
given, what is allowed and what to do, and says so in one message; only `cli/` and
`window/` show it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path


@dataclass(eq=False)
class FxError(Exception):
    """Base of all errors shown to a user.

    Parameters
    ----------
    problem : what is wrong, one plain sentence without a full stop
    file : the file it stands in, if known
    field : dotted name of the field, as written in the file
    given : the value that was found
    allowed : what would be accepted
    remedy : what to do about it
    more : other errors found in the same file
    """

    problem: str
    file: Path | str | None = None
    field: str | None = None
    given: object = None
    allowed: str | None = None
    remedy: str | None = None
    more: tuple[FxError, ...] = ()

    def __str__(self) -> str:
        return "\n".join(self.each())

    def each(self) -> list[str]:
        """The text of this error, and of every other found in the same file."""
        return [self._own_text(), *(text for other in self.more for text in other.each())]

    def _own_text(self) -> str:
        place = [str(self.file)] if self.file is not None else []
        if self.field:
            place.append(f"field '{counted(self.field)}'")
        lines = [f"{', '.join(place)}: {self.problem}" if place else self.problem]
        if self.given is not None:
            lines.append(f"  given:   {shorten(self.given)}")
        if self.allowed:
            lines.append(f"  allowed: {self.allowed}")
        if self.remedy:
            lines.append("  do:      " + self.remedy.replace("\n", "\n" + 11 * " "))
        return "\n".join(lines)


class InputError(FxError):
    """A file or an option holds something that cannot be used."""


class ReadError(FxError):
    """A file cannot be opened or is not text of the expected kind."""


class WriteError(FxError):
    """A result cannot be written where it was asked for; nothing was changed there."""


def several(errors: Iterable[FxError]) -> FxError:
    """The first of `errors`, carrying the rest."""
    first, *rest = errors
    first.more = tuple(rest)
    return first


def counted(field: str) -> str:
    """A dotted name, entries counted from 1: `outputs, entry 3, key` for `outputs.2.key`."""
    # A lamp may have a number for its name.
    index = r"(?<!lamps)\.(\d+)(?=\.|$)"
    words = re.sub(index, lambda found: f", entry {int(found[1]) + 1},", field)
    return words.replace(",.", ", ").rstrip(",")


def shorten(value: object, longest: int = 120) -> str:
    """`value` as text on one line, cut to `longest` characters."""
    text = " ".join((value if isinstance(value, str) else repr(value)).split())
    return text if len(text) <= longest else text[: longest - 1] + "…"


@contextmanager
def naming(file: Path | str | None) -> Iterator[None]:
    """Add `file` to any `FxError` raised inside that does not name one yet."""
    try:
        yield
    except FxError as error:
        for each in (error, *error.more):
            if each.file is None:
                each.file = file
        raise
