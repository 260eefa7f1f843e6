"""Files given in each other's places: the command that was meant."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Final, NamedTuple

from fxstudio.cli.given.endings import WRITTEN
from fxstudio.decoder.leaflet.files import shipped as decoders
from fxstudio.documents.reading import DESCRIPTION, DRIVE, EARLIER, EFFECT, VALUES, file_kind
from fxstudio.effect.files import shipped_effects as effects
from fxstudio.errors import FxError, WrongFileError

TAKES: Final = {
    "-d": DESCRIPTION,
    "--decoder": DESCRIPTION,
    "--from": DESCRIPTION,
    "--to": DESCRIPTION,
    "--present": VALUES,
    "--drive": DRIVE,
    "--like": EFFECT,
}
"""Option to the kind of file that it takes; what stands without one depends on the command."""
FIRST: Final = {
    "read": VALUES,
    "camera": DESCRIPTION,
    "explain": DESCRIPTION,
    "describe": DESCRIPTION,
}
"""What a command takes first, without an option; an effect where it is not in this table."""
OTHERS: Final = {"suit": DESCRIPTION}
"""What it takes after that, where that is another kind."""


class Word(NamedTuple):
    """One word of a command that names something.

    place : which of the words it is
    kind, wanted : what it names, and what is wanted there, as in `documents.KINDS`
    """

    place: int
    name: str
    kind: str
    wanted: str


def say_what_was_meant(error: WrongFileError, arguments: Sequence[str]) -> None:
    """Say in `error` what the file is and, if files look exchanged, what was meant."""
    file = error.file or ""
    found = error.found or kind_named(str(file))
    if found is None or found == error.wanted:
        return
    plain = WrongFileError.of(file, error.wanted, found)
    error.problem, error.allowed, error.remedy = plain.problem, None, plain.remedy
    if meant := put_right(arguments):
        error.remedy = meant


def put_right(arguments: Sequence[str]) -> str | None:
    """The command with the misplaced files where they belong; None if they fit nowhere."""
    stray = [word for word in _words(arguments) if word.kind != word.wanted]
    by_kind = {word.kind: word for word in stray}
    if not stray or len(by_kind) < len(stray) or set(by_kind) != {word.wanted for word in stray}:
        return None
    meant = list(arguments)
    for word in stray:
        text = arguments[word.place]
        meant[word.place] = text.removesuffix(word.name) + by_kind[word.wanted].name
    names = [f"'{word.name}'" for word in stray]
    return (
        f"{', '.join(names[:-1])} and {names[-1]} look exchanged; you probably meant:\n"
        f"fxstudio {shlex.join(meant)}"
    )


def kind_named(name: str) -> str | None:
    """What a name stands for: something shipped, or a file; None if it is neither."""
    if name in effects():
        return EFFECT
    if name in decoders():
        return DESCRIPTION
    with suppress(FxError, OSError, ValueError):  # a word need not be a name for a file
        kind = file_kind(Path(name)) if Path(name).is_file() else None
        return DESCRIPTION if kind == EARLIER else kind
    return None


def _words(arguments: Sequence[str]) -> Iterator[Word]:
    command, before = arguments[0], ""
    wanted_first = FIRST.get(command, EFFECT)
    for place, text in enumerate(arguments[1:], start=1):
        is_option = text.startswith("-")
        option, _, name = text.partition("=") if is_option else (before, "", text)
        before = text if is_option else ""
        kind = None if option in WRITTEN else kind_named(name)
        if kind is None:
            continue
        yield Word(place, name, kind, TAKES.get(option, wanted_first))
        if option not in TAKES:
            wanted_first = OTHERS.get(command, wanted_first)
