"""A file of the earlier form as one in a leaflet's words, with its comments, proved the same."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterator
from typing import Any, NamedTuple

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.earlier import effect_names, own_cvs, parts_of, renewed, tables
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.renewal.alike import difference, tried
from fxstudio.decoder.renewal.comments import Place, comments_in
from fxstudio.decoder.renewal.folding import CellRows, folded, origins_of
from fxstudio.decoder.renewal.written import text_of
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError


class Renewal(NamedTuple):
    """A description written anew.

    text : the new file
    rows : how many rows of cells it has
    cvs : how many CVs these say
    comments : how many comments of the old file stand in it
    names : effects that had one name in the old file, each with its names in the new one
    """

    text: str
    rows: int
    cvs: int
    comments: int
    names: dict[str, tuple[str, ...]]


def renewal_of(text: str, earlier: Description) -> Renewal:
    """The text of a file and what it describes, in a leaflet's words; `proved` compares them."""
    rows = _tidy(tables(earlier))
    cells = folded(
        [
            CellRows(row, tuple(frozenset([place]) for place, _ in parts_of(earlier, cv)))
            for row, cv in zip(rows["cells"], own_cvs(earlier), strict=True)
        ],
        list(rows["outputs"]),
    )
    rows["cells"] = [cell.row for cell in cells]
    where = dict(_places(earlier, rows, cells))
    notes: defaultdict[Place, list[str]] = defaultdict(list)
    comments = list(comments_in(text))
    for comment in comments:
        lines = notes[() if comment.of is None else _nearest(comment.of, where)]
        lines += comment.lines
    names = dict(_new_names(earlier))
    return Renewal(text_of(rows, notes), len(cells), len(own_cvs(earlier)), len(comments), names)


def proved(earlier: Description, text: str) -> int:
    """For how many sets of values the text of a new file says the same as the old one.

    Raises InputError if it does not.
    """
    old = renewed(earlier)
    if differs := difference(old, parse(Leaflet, tomllib.loads(text))):
        raise InputError(
            f"cannot be written anew: {differs} would be another", remedy="use the file as it is"
        )
    return sum(1 for _ in tried(old))


def _tidy(rows: dict[str, Any]) -> dict[str, Any]:
    """The rows without what is so anyway; single fields first."""
    outputs = {
        name: {
            field: int(value) if field == "limit_ma" and value == int(value) else value
            for field, value in row.items()
            if (field, value) not in (("wire", ""), ("travel", "both"), ("number", at))
        }
        for at, (name, row) in enumerate(rows["outputs"].items(), start=1)
    }
    effects = {
        name: {"kind": row["kind"]}
        | {
            field: value
            for field, value in row.items()
            if (field, value) not in (("highest", 1.0), ("level", 1.0), ("kind", row["kind"]))
        }
        for name, row in rows["effects"].items()
    }
    if effects.get("steady") == {"kind": "steady"}:
        del effects["steady"]
    if effects.get("dark") == {"kind": "dark"}:
        del effects["dark"]
    found = {name: value for name, value in rows.items() if name != "note" or value}
    return found | {"outputs": outputs, "effects": effects}


def _places(
    earlier: Description, rows: dict[str, Any], cells: list[CellRows]
) -> Iterator[tuple[Place, Place]]:
    """Places in the earlier form with those in the new one where the same is said."""
    for name in ("title", "note", "limit_ma", "pwm"):
        yield (name,), (name,) if name in rows else ("title",)
    yield ("function_map",), ("keys",) if "keys" in rows else ("outputs",)
    yield ("outputs",), ("outputs",)
    for at, output in enumerate(earlier.outputs):
        yield ("outputs", at), ("outputs", str(output.number))
    for place, (row, part) in origins_of(cells):
        alone = len(cells[row].origins) == 1
        yield place, ("cells", row) if alone else ("cells", row, "parts", part)
    names = effect_names(earlier.effect)
    for at, code in enumerate(earlier.effect.codes):
        if names[code.code] in rows["effects"]:
            yield ("effect", "codes", at), ("effects", names[code.code])
    if earlier.rate.bits is None:
        yield ("rate",), ("effects",)


def _nearest(place: Place, where: dict[Place, Place]) -> Place:
    """Where a place, or the nearest around it, is now."""
    for count in range(len(place), 0, -1):
        if place[:count] in where:
            return where[place[:count]]
    return ()


def _new_names(earlier: Description) -> Iterator[tuple[str, tuple[str, ...]]]:
    names = effect_names(earlier.effect)
    for old in dict.fromkeys(row.name for row in earlier.effect.codes):
        now = tuple(names[row.code] for row in earlier.effect.codes if row.name == old)
        if now != (old,):
            yield old, now
