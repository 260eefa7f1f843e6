"""The rows of a description as a text that people read, each with the comments above it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import tomlkit
from tomlkit.items import SingleKey

from fxstudio.decoder.renewal.comments import Place

WIDEST: Final = 100
"""A line with more letters is broken, if it is a list of parts."""

LISTS: Final = ("outputs", "effects")
"""Tables of which each entry stands on a line of its own."""

Notes = Mapping[Place, Sequence[str]]
"""Lines of comments by what they are said of: a row, or a part of a row of cells."""


def text_of(rows: Mapping[str, Any], notes: Notes) -> str:
    """The TOML text of the rows; the notes of `()` come last."""
    lines: list[str] = []
    for name, value in rows.items():
        if name not in (*LISTS, "cells"):
            lines += [*notes.get((name,), ()), f"{_key(name)} = {_written(value)}"]
    for name in LISTS:
        if rows.get(name):
            lines += ["", *notes.get((name,), ()), f"[{name}]"]
            for key, value in rows[name].items():
                lines += [*notes.get((name, key), ()), f"{_key(key)} = {_written(value)}"]
    for at, row in enumerate(rows.get("cells", ())):
        lines += ["", *notes.get(("cells", at), ()), "[[cells]]"]
        for name, value in row.items():
            if name == "parts":
                lines += _parts(value, at, notes)
            else:
                lines.append(f"{name} = {_written(value)}")
    if () in notes:
        lines += ["", *notes[()]]
    return "\n".join(lines).strip("\n") + "\n"


def _parts(parts: Sequence[Any], at: int, notes: Notes) -> Iterator[str]:
    line = f"parts = {_written(parts)}"
    told = [notes.get(("cells", at, "parts", place), ()) for place in range(len(parts))]
    if len(parts) == 1 and not told[0]:
        yield line
        return
    yield "parts = ["
    for part, lines in zip(parts, told, strict=True):
        yield from (f"    {each}".rstrip() for each in lines)
        yield f"    {_written(part)},"
    yield "]"


def _written(value: Any) -> str:
    """A value on one line: `{ says = "level", even = { to = 63 } }`."""
    if isinstance(value, Mapping):
        told = ", ".join(f"{_key(name)} = {_written(each)}" for name, each in value.items())
        return f"{{ {told} }}" if told else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_written, value))}]"
    return str(tomlkit.item(value).as_string())


def _key(name: object) -> str:
    return SingleKey(str(name)).as_string()
