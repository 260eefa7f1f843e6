"""Rows of cells as a leaflet has them: alike ones as one row, a mask as a sum of outputs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from fxstudio.dcc.cv import LARGEST_VALUE
from fxstudio.decoder.renewal.comments import Place

Row = Mapping[str, Any]

IN_SUM: Final[Mapping[tuple[str, str], str]] = {
    ("dark forward", "yes"): "dark forward",
    ("dark forward", "no"): "lit forward",
    ("dark reverse", "yes"): "dark reverse",
    ("dark reverse", "no"): "lit reverse",
}
"""What a bit says with what it means if it is set, and of which outputs a mask is the sum."""


@dataclass(frozen=True)
class CellRows:
    """One row of cells.

    row : as a file has it
    origins : of each of its parts the places that it comes from
    """

    row: Row
    origins: tuple[frozenset[Place], ...]


def folded(cells: Sequence[CellRows], outputs: Sequence[str]) -> list[CellRows]:
    """The same cells in as few rows as say them, each in the place of its first."""
    summed = [_summed(cell) for cell in cells]
    families: dict[object, list[CellRows]] = {}
    for at, cell in enumerate(summed):
        families.setdefault(_shape(cell.row) or at, []).append(cell)
    return [row for family in families.values() for row in _family(family, outputs) or family]


def _summed(cell: CellRows) -> CellRows:
    """A cell with masks of its outputs as sums."""
    parts: list[dict[str, Any]] = []
    origins: list[frozenset[Place]] = []
    sums: dict[str, int] = {}
    for part, origin in zip(cell.row["parts"], cell.origins, strict=True):
        codes = part.get("codes", {})
        says = IN_SUM.get((part["says"], codes.get(1, ""))) if len(codes) == 2 else None
        if says is None or sum(part["says"] == other["says"] for other in cell.row["parts"]) == 1:
            parts.append(dict(part))
            origins.append(origin)
            continue
        if says not in sums:
            sums[says] = len(parts)
            parts.append({"says": says, "sum": {}})
            origins.append(frozenset())
        at = sums[says]
        parts[at]["sum"][part["of"]] = part.get("times", 1)
        origins[at] |= origin
    return CellRows({**cell.row, "parts": parts}, tuple(origins))


def _shape(row: Row) -> object:
    """What a cell of one output says, without of which; None for a cell of several."""
    of = {part.get("of") for part in row["parts"]}
    if len(of) != 1 or None in of:
        return None
    parts = [{name: each for name, each in part.items() if name != "of"} for part in row["parts"]]
    return repr((row.get("offset"), "page" in row, parts))


def _family(family: list[CellRows], outputs: Sequence[str]) -> list[CellRows] | None:
    """Alike cells of several outputs as one row; None if their CVs cannot be said in one."""
    if _shape(family[0].row) is None:
        return None
    family = sorted(family, key=lambda cell: outputs.index(cell.row["parts"][0]["of"]))
    rows = [cell.row for cell in family]
    of = [row["parts"][0]["of"] for row in rows]
    places = _places(rows, of)
    if places is None:
        return None
    row: dict[str, Any] = dict(places)
    if of != list(outputs):
        row["of"] = of[0] if len(of) == 1 else of
    if "offset" in rows[0]:
        row["offset"] = rows[0]["offset"]
    row["parts"] = [
        {name: each for name, each in part.items() if name != "of"} for part in rows[0]["parts"]
    ]
    delivered = [each["delivered"] for each in rows]
    row["delivered"] = delivered[0] if len(set(delivered)) == 1 else delivered
    origins = (
        frozenset[Place]().union(*each) for each in zip(*(c.origins for c in family), strict=True)
    )
    return [CellRows(row, tuple(origins))]


def _places(rows: Sequence[Row], of: Sequence[str]) -> Row | None:
    """The fields that say the CVs of alike cells; None if there are none that do."""
    numbers = [row["cv"] for row in rows]
    pages = [row.get("page") for row in rows]
    steps = {after - before for before, after in pairwise(numbers)} or {0}
    found: dict[str, Any] = {"cv": numbers[0]}
    if pages[0] is not None:
        found["page"] = pages[0]
    page_steps = {_page_step(before, after) for before, after in pairwise(pages)} or {0}
    if len(page_steps) == 1 and len(steps) == 1:
        (step,), (page_step,) = steps, page_steps
        fits = all(each is not None and 0 <= each <= LARGEST_VALUE for each in (step, page_step))
        if fits and (step or page_step or len(rows) == 1):
            return {
                "cv": numbers[0],
                **({"each": step} if step else {}),
                **found,
                **({"page_each": page_step} if page_step else {}),
            }
    if page_steps == {0}:
        return found | {"cv": dict(zip(of, numbers, strict=True))}
    return None


def _page_step(before: Mapping[str, int] | None, after: Mapping[str, int] | None) -> int | None:
    """How much higher CV32 is; None if CV31 is another."""
    if before is None or after is None:
        return 0 if before is after else None
    return after["32"] - before["32"] if before["31"] == after["31"] else None


def origins_of(cells: Sequence[CellRows]) -> Iterator[tuple[Place, tuple[int, int]]]:
    """Each place that the cells come from, with the row and the part in which it is now first."""
    told = set[Place]()
    for at, cell in enumerate(cells):
        for part, origins in enumerate(cell.origins):
            for origin in origins - told:
                yield origin, (at, part)
            told |= origins
