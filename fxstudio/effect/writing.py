"""An effect as the text of its file, with what the person wrote there kept.

tomlkit keeps comments, order and layout of a TOML document while values in it change.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import MutableMapping, MutableSequence
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Table

from fxstudio.documents.reading import parse
from fxstudio.effect.model import Colour, Effect
from fxstudio.errors import FxError
from fxstudio.scenes.catalogue import SCENES

INLINE = ("colour", "pattern")
"""Small tables that stand on one line in a new file."""


def to_text(effect: Effect, text: str = "") -> str:
    """`effect` as TOML; if `text` is the file as it stands, only what changed in it changes.

    Fields with their default value are left out unless the file has them already. A layout that
    cannot hold the change is given up: what is written always reads back as `effect`.
    """
    anew = _laid_out(effect, "")
    if not text:
        return anew
    try:
        kept = _laid_out(effect, text)
        again = parse(Effect, tomllib.loads(kept), source=effect.source)
    except (TOMLKitError, ValueError, TypeError, KeyError, FxError):
        return anew
    same = tomllib.loads(_laid_out(again, "")) == tomllib.loads(anew)
    return kept if same else anew


def moved_to(effect: Effect, file: Path) -> Effect:
    """`effect` as `file` has to say it: the path of a photographed scene leads from there.

    Raises InputError if it does not lead there, as between two disks.
    """
    if effect.scene in SCENES or effect.source == file:
        return effect
    folder = (effect.source.parent if effect.source else Path()) / effect.scene
    try:
        path = Path(os.path.relpath(folder.resolve(), file.parent.resolve())).as_posix()
    except ValueError:  # another disk
        path = folder.resolve().as_posix()
    held = {name: getattr(effect, name) for name in effect.model_fields_set}
    scene = f"./{path}" if path in SCENES else path
    return parse(Effect, held | {"scene": scene}, source=file)


def _laid_out(effect: Effect, text: str) -> str:
    document = tomlkit.parse(text)
    _update(document, effect)
    return tomlkit.dumps(document)


def _update(table: MutableMapping[str, Any], model: BaseModel) -> None:
    """Make `table` say what `model` holds."""
    fields = type(model).model_fields
    for name in [name for name in table if name not in fields or getattr(model, name) is None]:
        del table[name]
    for name in sorted(fields, key=lambda name: name != "kind"):  # the kind first
        value = getattr(model, name)
        told = name in table or name == "kind" or value != fields[name].default
        if value is not None and told:
            _put(table, name, value)


def _put(table: MutableMapping[str, Any], name: str, value: Any) -> None:
    """Set one entry of `table`, keeping its own layout if it has one."""
    held = table.get(name)
    if isinstance(value, Colour) and value.hex and not isinstance(held, MutableMapping):
        value = value.hex  # a screen colour is written as plain text
    if isinstance(value, BaseModel):
        _put_model(table, name, value)
    elif isinstance(value, dict):
        of_models = any(isinstance(each, BaseModel) for each in value.values())
        if not isinstance(held, MutableMapping):
            new = tomlkit.table(is_super_table=True) if of_models else tomlkit.inline_table()
            table[name] = new
            held = table[name]
        if of_models:
            _rename(held, value)
        for key in [key for key in held if key not in value]:
            del held[key]
        for key, inner in value.items():
            _put(held, key, inner)
    elif isinstance(value, tuple) and isinstance(held, MutableSequence):
        _put_entries(held, value)
    elif held is None or value != held:
        table[name] = _new(value)


def _rename(held: MutableMapping[str, Any], lamps: dict[str, Any]) -> None:
    """Give lamps their new names where they stand: a lamp with a new name has its old output."""
    new = {lamp.output: name for name, lamp in lamps.items() if name not in held}
    names = {old: new.get(held[old].get("output"), old) for old in held if old not in lamps}
    renamed = any(old != name for old, name in names.items())
    if not renamed or not all(isinstance(table, Table) for table in held.values()):
        return
    for old in list(held):  # all are taken out and put back, for order's sake
        table, name = held.pop(old), names.get(old, old)
        indent = table.trivia.indent
        held[name] = table
        held[name].trivia.indent = indent  # else a blank line parts it from the comment above it


def _put_model(table: MutableMapping[str, Any], name: str, value: BaseModel) -> None:
    """Set a table inside `table`; one of another kind is written anew."""
    held = table.get(name)
    new = not isinstance(held, MutableMapping) or held.get("kind") != getattr(value, "kind", None)
    inline = name in INLINE or isinstance(table, InlineTable)
    if new:
        table[name] = tomlkit.inline_table() if inline else tomlkit.table()
    _update(table[name], value)
    if new and not inline:
        table[name].add(tomlkit.nl())  # a blank line before the next table


def _put_entries(held: MutableSequence[Any], values: tuple[Any, ...]) -> None:
    """Make a list say `values`, entry by entry, so that what is said beside each stays."""
    for at, value in enumerate(values):
        if at == len(held):
            held.append(_table(value) if isinstance(held, AoT) else _new(value))
        elif isinstance(value, BaseModel):
            _update(held[at], value)
        elif held[at] != value:
            held[at] = _new(value)
    del held[len(values) :]


def _table(value: BaseModel) -> Table:
    """A model as one more table in a list of tables."""
    table = tomlkit.table()
    _update(table, value)
    table.add(tomlkit.nl())
    return table


def _new(value: Any) -> Any:
    """A value as it is first written; numbers without the noise of binary fractions."""
    if isinstance(value, BaseModel):
        table = tomlkit.inline_table()
        _update(table, value)
        return table
    if isinstance(value, tuple):
        array = tomlkit.array()
        array.multiline(any(isinstance(entry, BaseModel) for entry in value))
        array.extend(map(_new, value))
        return array
    return float(f"{value:.6g}") if isinstance(value, float) else value
