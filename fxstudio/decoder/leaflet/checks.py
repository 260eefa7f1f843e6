"""What must fit together in the cells of a description.

Each check is one generator in `CHECKS`. They run in order, and the first one that finds
something ends the run, as later ones rely on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from fxstudio.dcc import cv
from fxstudio.dcc.cv import LARGEST_VALUE, CvAddress
from fxstudio.decoder.description.checks import Problem
from fxstudio.decoder.leaflet.cells import Cell

if TYPE_CHECKING:
    from collections.abc import Sequence


def problems_in(cells: Sequence[Cell]) -> list[Problem]:
    """What the first check that finds something finds; empty if all fits together."""
    for check in CHECKS:
        if problems := list(check(cells)):
            return problems
    return []


def addresses(cells: Sequence[Cell]) -> Iterator[Problem]:
    """Every CV is one that a maker may use, and stands once. Each row is told once."""
    owners: dict[CvAddress, Cell] = {}
    told = set()
    for cell in cells:
        problem = _misplaced(cell, owners)
        if problem and cell.row not in told:
            told.add(cell.row)
            yield problem
        owners.setdefault(cell.cv, cell)


def _misplaced(cell: Cell, owners: Mapping[CvAddress, Cell]) -> Problem | None:
    """Why a cell cannot be at its CV."""
    page = cell.cv.page
    if page is not None and (page[0] not in cv.CV31_RANGE or page[1] not in cv.CV32_RANGE):
        words = f"CV31 = {page[0]}, CV32 = {page[1]} is no page for makers"
        allowed = "CV31 from 16 to 255, CV32 from 0 to 255"
        return Problem((*cell.row, "page"), words, list(page), allowed)
    if not cell.standard and not _maps(cell) and (refused := cv.refusal(cell.cv)):
        return Problem((*cell.row, "cv"), refused, cell.cv.number, cv.ALLOWED_TEXT)
    if cell.cv in owners:
        same = owners[cell.cv].row == cell.row
        words = f"{cell.cv} stands {'twice' if same else 'in another row too'}"
        allowed = "one row for each CV, with all its parts"
        return Problem((*cell.row, "cv"), words, cell.cv.number, allowed)
    return None


def _maps(cell: Cell) -> bool:
    """Whether it is a function map of a maker's own in the standard's CVs."""
    return all(part.others or part.names <= {"lights"} for part in cell.parts) and any(
        cell.cv.number in run and "function map" in run.use for run in cv.TAKEN_RANGES
    )


def told_apart(cells: Sequence[Cell]) -> Iterator[Problem]:
    """No two combinations of codes make one value, and none is more than a CV can hold."""
    told = set()
    for cell in cells:
        if cell.row in told:
            continue
        problem = _not_apart(cell)
        if problem:
            told.add(cell.row)
            yield problem


def _not_apart(cell: Cell) -> Problem | None:
    seen: dict[int, tuple[int, ...]] = {}
    for value, codes in cell.sums():
        if value in seen:
            words = f"{value} is {_named(cell, seen[value])}, and {_named(cell, codes)} too"
            allowed = "times so large that all sums differ"
            return Problem((*cell.row, "parts"), words, None, allowed)
        seen[value] = codes
    most = [max(part.codes) for part in cell.parts]
    if cell.highest is None and cell.value(most) > LARGEST_VALUE:
        words = f"{cell.value(most)} is {_named(cell, most)}, and no CV can hold it"
        allowed = f"sums up to {LARGEST_VALUE}; or highest = {LARGEST_VALUE} if the leaflet says so"
        return Problem((*cell.row, "parts"), words, None, allowed)
    if not seen:
        return Problem((*cell.row, "highest"), "allows no value at all", cell.highest)
    return None


def _named(cell: Cell, codes: Sequence[int]) -> str:
    """`code 2 of effect of violet with code 1 of directions of violet`."""
    told = [
        part.title if part.in_sum else f"code {code} of {part.title}"
        for part, code in zip(cell.parts, codes, strict=True)
        if code or not part.in_sum
    ]
    return " with ".join(told) or "no output"


def delivered(cells: Sequence[Cell]) -> Iterator[Problem]:
    """Every value as delivered is allowed."""
    told = set()
    for cell in cells:
        known = cell.delivered is not None
        if known and cell.delivered not in cell.table and cell.row not in told:
            told.add(cell.row)
            yield Problem(
                (*cell.row, "delivered"),
                f"is no sum of what its parts allow in {cell.cv}",
                cell.delivered,
                _some(sorted(cell.table)),
            )


def _some(values: Sequence[int]) -> str:
    if len(values) <= 16:
        return ", ".join(map(str, values))
    runs = f"{values[0]} to {values[-1]}"
    return runs if len(values) == values[-1] - values[0] + 1 else f"{runs}, with gaps"


def locks(cells: Sequence[Cell]) -> Iterator[Problem]:
    """What is written to open a lock is no cell itself, and what is reset is one."""
    found = {(each.field, each.text): each for cell in cells for each in _locks(cell, cells)}
    yield from found.values()


def _locks(cell: Cell, cells: Sequence[Cell]) -> Iterator[Problem]:
    own = {each.cv for each in cells}
    for field, writes in (("before", cell.lock.before), ("after", cell.lock.after)):
        for address, value in writes:
            if address in own:
                words = f"{address} is a cell of the description itself"
                yield Problem((*cell.row, field, str(address.number)), words, value, "another CV")
    for address in cell.resets:
        if address not in own:
            known = ", ".join(str(each.number) for each in sorted(own, key=lambda c: c.order))
            words = f"{address} is no cell of the description"
            yield Problem((*cell.row, "resets"), words, address.number, known)


def resets(cells: Sequence[Cell]) -> Iterator[Problem]:
    """No write undoes, by what it resets, the writes that must come after it."""
    by_cv = {cell.cv: cell for cell in cells}
    told = set()
    for cell in cells:
        reset, left = set[CvAddress](), list(cell.resets)
        while left:
            address = left.pop()
            if address not in reset:
                reset.add(address)
                left += by_cv[address].resets
        if cell.cv in reset and cell.row not in told:
            told.add(cell.row)
            words = f"{cell.cv} would be reset by what has to be written after it"
            allowed = "CVs whose own writes do not reset this one"
            given = [address.number for address in cell.resets]
            yield Problem((*cell.row, "resets"), words, given, allowed)


CHECKS = (addresses, told_apart, delivered, locks, resets)
