"""The file of a description: each row with the sentence of the leaflet that it says."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping
from typing import Any, Final

import tomlkit

from fxstudio.decoder.interview.draft import Draft

WIDTH: Final = 96

HEADER: Final = """\
{title}: described with `fxstudio describe new` from its leaflet. Change what is wrong, then let \
`fxstudio check` look at it. If leaflet and file differ, the leaflet is right."""


def leaflet_text(draft: Draft) -> str:
    """A description that is finished, as TOML."""
    tables = draft.whole()
    blocks = [_comment(HEADER.format(title=tables["title"]))]
    head = ("title", "note", "keys", "rules", "limit_ma", "limits", "pwm", "also")
    blocks.append(_fields({name: tables[name] for name in head if tables.get(name)}))
    blocks.append("[outputs]\n" + _fields(_alike(tables["outputs"])))
    if draft.effects:
        blocks.append("[effects]\n" + _fields(draft.effects))
    rows = iter(tables["cells"])
    for line in draft.sentences:
        for at, _ in enumerate(line.rows):
            sentence = _comment(line.text) if at == 0 else ""
            blocks.append(f"{sentence}[[cells]]\n{_fields(_in_order(next(rows)))}")
    return "\n".join(blocks)


def _alike(outputs: Mapping[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Outputs with what differs from the first, where they have as much as it has."""
    (first, same), *others = outputs.items()
    found = {first: same}
    for name, row in others:
        differs = {key: value for key, value in row.items() if same.get(key) != value}
        shared = len(row) - len(differs)
        found[name] = (
            {"like": first, **differs} if shared > 1 and same.keys() <= row.keys() else row
        )
    return found


def _in_order(row: Mapping[str, Any]) -> dict[str, Any]:
    """Where it is kept, its parts, and what it holds as delivered."""
    last = {name: row[name] for name in ("parts", "delivered", "note") if name in row}
    return {name: value for name, value in row.items() if name not in last} | last


def _fields(rows: Mapping[str, Any]) -> str:
    return "".join(f"{_name(name)} = {_value(value)}\n" for name, value in rows.items())


def _value(value: Any) -> str:
    """A value in one line; a list of several tables has a line for each."""
    if isinstance(value, Mapping):
        inside = ", ".join(f"{_name(name)} = {_value(each)}" for name, each in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        every = [_value(each) for each in value]
        if len(every) > 1 and isinstance(value[0], Mapping):
            return "[\n" + "".join(f"    {each},\n" for each in every) + "]"
        return f"[{', '.join(every)}]"
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(tomlkit.item(value).as_string())


def _name(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else _value(name)


def _comment(text: str) -> str:
    return "".join(f"# {line}\n" for line in textwrap.wrap(text, WIDTH))
