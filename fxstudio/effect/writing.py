"""An effect as the text of its file, with what the person wrote there kept.

tomlkit keeps comments, order and layout of a TOML document while values in it change.
"""

from __future__ import annotations

from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.items import AbstractTable, InlineTable

from fxstudio.effect.model import Effect

INLINE = ("colour", "pattern")
"""Small tables that stand on one line in a new file."""


def to_text(effect: Effect, text: str = "") -> str:
    """`effect` as TOML; if `text` is the file as it stands, only what changed in it changes.

    Fields with their default value are left out unless the file has them already.
    """
    document = tomlkit.parse(text)
    _update(document, effect)
    return tomlkit.dumps(document)


def _update(table: AbstractTable | tomlkit.TOMLDocument, model: BaseModel) -> None:
    """Make `table` say what `model` holds."""
    fields = type(model).model_fields
    for name in [name for name in table if name not in fields or getattr(model, name) is None]:
        del table[name]
    for name in sorted(fields, key=lambda name: name != "kind"):  # the kind first
        value = getattr(model, name)
        told = name in table or name == "kind" or value != fields[name].default
        if value is not None and told:
            _put(table, name, value)


def _put(table: AbstractTable | tomlkit.TOMLDocument, name: str, value: Any) -> None:
    """Set one entry of `table`, keeping its own layout if it has one."""
    if isinstance(value, BaseModel) and getattr(value, "hex", None):
        value = value.hex  # a screen colour is written as plain text
    held = table.get(name)
    if isinstance(value, BaseModel):
        inline = name in INLINE or isinstance(table, InlineTable)
        new = not isinstance(held, AbstractTable) or held.get("kind") != getattr(
            value, "kind", None
        )
        if new:
            table[name] = tomlkit.inline_table() if inline else tomlkit.table()
        _update(table[name], value)
        if new and not inline:
            table[name].add(tomlkit.nl())  # a blank line before the next table
    elif isinstance(value, dict):
        if not isinstance(held, AbstractTable):
            table[name] = tomlkit.table(is_super_table=True)
            held = table[name]
        for key in [key for key in held if key not in value]:
            del held[key]
        for key, inner in value.items():
            _put(held, key, inner)
    elif isinstance(value, tuple):
        plain = [_plain(entry) for entry in value]
        if held is None or held.unwrap() != plain:
            table[name] = _array(value)
    elif held is None or _plain(value) != held:
        table[name] = _plain(value)


def _plain(value: Any) -> Any:
    """A value as TOML holds it; numbers without the noise of binary fractions."""
    if isinstance(value, BaseModel):
        told = [name for name in type(value).model_fields if name in value.model_fields_set]
        return {name: _plain(getattr(value, name)) for name in told}
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
    return float(f"{value:.6g}") if isinstance(value, float) else value


def _array(value: tuple) -> Any:
    """A list; one entry a line where the entries are tables."""
    array = tomlkit.array()
    array.multiline(any(isinstance(entry, BaseModel) for entry in value))
    for entry in map(_plain, value):
        if isinstance(entry, dict):
            table = tomlkit.inline_table()
            table.update(entry)
            entry = table
        array.append(entry)
    return array
