"""Errors a person can act on.

Every error that can reach a user is a `FxError`. It knows the file, the field, what was
given, what is allowed and what to do, and says so in one message; only `cli/` and
`window/` show it.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, Self


class InWords(NamedTuple):
    """What an error says in the words of people, not by the names of fields.

    place : what the field is part of, from the outside in: `lamps`, `bed`
    field : what people call the field; empty if the error is about all that stands there
    is_known : whether there is such a field
    given, allowed : as in the error, but for a person who sees no file: in units to read
    """

    place: tuple[str, ...]
    field: str = ""
    is_known: bool = True
    given: object = None
    allowed: str | None = None


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
    choices : the names of which `given` had to be one; a near one is what to do, and without
        `allowed` they are what is allowed
    words : the same in the words of people, where these differ
    """

    problem: str
    file: Path | str | None = None
    field: str | None = None
    given: object = None
    allowed: str | None = None
    remedy: str | None = None
    more: tuple[FxError, ...] = ()
    choices: Iterable[str] = ()
    words: InWords | None = None

    def __post_init__(self) -> None:
        self.choices = tuple(self.choices)
        self.allowed = self.allowed or ", ".join(self.choices) or None
        if guess := near(self.given, self.choices):
            self.remedy = f"did you mean '{guess}'?"

    def allowing(self, allowed: str | None, remedy: str | None) -> Self:
        """The error, with what would be accepted and what to do about it."""
        self.allowed = allowed
        return self.advising(remedy)

    def advising(self, remedy: str | None) -> Self:
        """The error, with what to do about it; a near choice comes before that."""
        self.remedy = self.remedy or remedy
        return self

    def __str__(self) -> str:
        return "\n".join(self.each())

    def each(self) -> list[str]:
        """The text of this error, and of every other found in the same file."""
        return [self._own_text(), *(text for other in self.more for text in other.each())]

    def in_words(self) -> str:
        """The text with what people call the fields, not their names."""
        return "\n".join((self._own_words(), *(other.in_words() for other in self.more)))

    def _own_words(self) -> str:
        if self.words is None:
            return self._own_text()
        place, field, is_known, given, allowed = self.words
        subject = ""
        if field and self.problem.startswith(("is ", "has ", "does ", "must ")):
            subject = f"the {field} "
            if not is_known:
                subject = f"'{field}' "
            elif self.problem.startswith("is not "):  # "the colour is not a colour"
                subject, place = "this ", (*place, *({field} - {*place[-1:]}))
        problem = subject + self.problem
        if self.file is None:
            return self._text((), problem, given, allowed)
        return self._text((str(self.file), *place), problem, self.given, self.allowed)

    def _own_text(self) -> str:
        place = [str(self.file)] if self.file is not None else []
        if self.field:
            place.append(f"field '{counted(self.field)}'")
        return self._text(place, self.problem, self.given, self.allowed)

    def _text(self, place: Sequence[str], problem: str, given: object, allowed: str | None) -> str:
        lines = [f"{', '.join(place)}: {problem}" if place else problem]
        if given is not None:
            lines.append(f"  given:   {shorten(given)}")
        if allowed:
            lines.append(f"  allowed: {allowed}")
        if self.remedy:
            lines.append("  do:      " + self.remedy.replace("\n", "\n" + 11 * " "))
        return "\n".join(lines)


class InputError(FxError):
    """A file or an option holds something that cannot be used."""


class ReadError(FxError):
    """A file cannot be opened or is not text of the expected kind."""


@dataclass(eq=False)
class WrongFileError(ReadError):
    """A file, or a name, is not the kind of thing that is expected where it was given.

    wanted, found : kinds of files as in `documents.KINDS`; found is None if that is not known
    """

    wanted: str = ""
    found: str | None = None

    @classmethod
    def of(cls, file: Path | str, wanted: str, found: str) -> WrongFileError:
        """The error for a file of which it is known what it is."""
        return cls(
            f"is {article(found)}, where {article(wanted)} is expected", file,
            remedy=f"give {article(wanted)} here", wanted=wanted, found=found,
        )  # fmt: skip


class WriteError(FxError):
    """A result cannot be written where it was asked for; nothing was changed there."""


NEAR_ENOUGH = 0.66
"""Likeness from which on a name is taken for a slip of another: one letter in three may differ."""
SHORTEST_BEGINNING = 3
"""Letters from which on the beginning of a name stands for it."""


def near(given: object, choices: Iterable[str]) -> str | None:
    """The choice that `given` is a slip of, or the beginning of; None if it is near to none.

    Capitals, spaces and hyphens do not count. Another number is another thing: F30 is no slip
    of F3, but F03 is.
    """
    if not isinstance(given, str):
        return None
    plain = {_plain(choice): choice for choice in choices}
    typed = _plain(given)
    begun = [choice for name, choice in plain.items() if name.startswith(typed)]
    if len(begun) == 1 and len(typed) >= SHORTEST_BEGINNING:
        return begun[0]
    alike = [name for name in plain if _digits(name) == _digits(typed)]
    close = difflib.get_close_matches(typed, alike, n=1, cutoff=NEAR_ENOUGH)
    return plain[close[0]] if close else None


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "_", name.strip().casefold())


def _digits(name: str) -> list[int]:
    return [int(number) for number in re.findall(r"\d+", name)]


def several(errors: Iterable[FxError]) -> FxError:
    """The first of `errors`, carrying the rest."""
    first, *rest = errors
    first.more = tuple(rest)
    return first


def article(what: str) -> str:
    """`what` with its article."""
    return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"


def counted(field: str) -> str:
    """A dotted name, entries counted from 1: `outputs, entry 3, key` for `outputs.2.key`."""
    # A lamp may have a number for its name.
    index = r"(?<!lamps)\.(\d+)(?=\.|$)"
    words = re.sub(index, lambda found: f", entry {int(found[1]) + 1},", field)
    return words.replace(",.", ", ").replace(",,", ",").rstrip(",")


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
