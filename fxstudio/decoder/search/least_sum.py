"""The codes whose costs have the least sum, without a trial of all their combinations.

A cost is two whole numbers, and the second counts only where the first is equal. Each table
holds the costs of all combinations of a few variables. Variables are eliminated one after the
other: the tables that hold one are added and its best code is kept for each combination of the
others (bucket elimination, Dechter 1999; from memory). Where a sum of tables would be too large,
its variables are cut down to their most hopeful codes, and the result is improved by one and two
codes at a time from several starts.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import prod
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Counts = NDArray[np.int64]
Choice = dict[Hashable, int]
"""The place of the code chosen for each variable."""

MOST_TRIED: Final = 100_000
"""Combinations of one sum of tables that are all compared."""

MOST_ROUNDS: Final = 50
NONE: Final = np.iinfo(np.int64).max


@dataclass(frozen=True, eq=False)
class CostTable:
    """Costs of some variables together.

    axes : the variables, one an axis
    first, then : the two numbers of each combination, both of one shape
    """

    axes: tuple[Hashable, ...]
    first: Counts
    then: Counts

    def over(self, axes: Sequence[Hashable]) -> tuple[Counts, Counts]:
        """Both numbers with these axes; one that it does not have is of length 1."""
        order = [self.axes.index(axis) for axis in axes if axis in self.axes]
        sizes = iter([self.first.shape[at] for at in order])
        shape = [next(sizes) if axis in self.axes else 1 for axis in axes]
        first, then = self.first.transpose(order), self.then.transpose(order)
        return first.reshape(shape), then.reshape(shape)

    def only(self, variable: Hashable, places: Counts) -> CostTable:
        """It with some codes of a variable left."""
        if variable not in self.axes:
            return self
        at = self.axes.index(variable)
        return CostTable(self.axes, self.first.take(places, at), self.then.take(places, at))

    def given(self, choice: Mapping[Hashable, int], free: Sequence[Hashable]) -> CostTable:
        """It with all variables but `free` as chosen."""
        at = tuple(slice(None) if axis in free else choice[axis] for axis in self.axes)
        axes = tuple(axis for axis in self.axes if axis in free)
        return CostTable(axes, np.asarray(self.first[at]), np.asarray(self.then[at]))


def least_sum(
    tables: Iterable[CostTable], starts: Sequence[Mapping[Any, int]] = ()
) -> tuple[Choice, bool]:
    """The choice with the least sum, and whether it is proved to be the least.

    Parameters
    ----------
    tables : costs; variables of one name have one length
    starts : choices from which improvements are tried where there is no proof
    """
    tables = list(tables)
    choice, proved = _eliminated(tables)
    if not proved:
        tried = [_improved(tables, start) for start in (choice, *starts)]
        choice = min(tried, key=lambda each: _cost(tables, each))
    return choice, proved


def _eliminated(tables: Sequence[CostTable]) -> tuple[Choice, bool]:
    left = {axis: np.arange(size) for table in tables for axis, size in _sizes(table).items()}
    rest, steps, proved = list(tables), list[tuple[Hashable, tuple[Hashable, ...], Counts]](), True
    while left.keys() - {step[0] for step in steps}:
        variable, axes = _cheapest(rest, {step[0] for step in steps})
        sizes = {axis: size for table in rest for axis, size in _sizes(table).items()}
        while prod(sizes[axis] for axis in axes) > MOST_TRIED:
            proved = False
            widest = max(axes, key=sizes.__getitem__)
            places = _hopeful(rest, widest, (sizes[widest] + 1) // 2)
            rest = [table.only(widest, places) for table in rest]
            left[widest] = left[widest][places]
            sizes[widest] = len(places)
        first, then = _added([table for table in rest if variable in table.axes], axes)
        best = _least(first, then)
        steps.append((variable, axes[1:], best))
        rest = [table for table in rest if variable not in table.axes]
        taken = best[None]
        rest.append(
            CostTable(
                axes[1:],
                np.take_along_axis(first, taken, 0)[0],
                np.take_along_axis(then, taken, 0)[0],
            )
        )
    found: Choice = {}
    for variable, axes, best in reversed(steps):
        found[variable] = int(best[tuple(found[axis] for axis in axes)])
    return {variable: int(left[variable][at]) for variable, at in found.items()}, proved


def _sizes(table: CostTable) -> dict[Hashable, int]:
    return dict(zip(table.axes, table.first.shape, strict=True))


def _cheapest(
    tables: Sequence[CostTable], done: set[Hashable]
) -> tuple[Hashable, tuple[Hashable, ...]]:
    """The variable whose sum of tables is the smallest, and the axes of the sum, its own first."""
    sums: dict[Hashable, dict[Hashable, int]] = {}
    for table in tables:
        sizes = _sizes(table)
        for axis in table.axes:
            sums.setdefault(axis, {axis: sizes[axis]}).update(sizes)
    variable = min(sums, key=lambda axis: prod(sums[axis].values()))
    return variable, tuple(sums[variable])


def _added(tables: Sequence[CostTable], axes: Sequence[Hashable]) -> tuple[Counts, Counts]:
    parts = [table.over(axes) for table in tables]
    first = np.asarray(sum(part[0] for part in parts))
    then = np.asarray(sum(part[1] for part in parts))
    return first, then


def _least(first: Counts, then: Counts) -> Counts:
    """The place along the first axis of the least cost."""
    least = first == first.min(axis=0)
    found: Counts = np.where(least, then, NONE).argmin(axis=0)
    return found


def _hopeful(tables: Sequence[CostTable], variable: Hashable, count: int) -> Counts:
    """The codes of a variable with the least costs, if all others were chosen for it alone."""
    first: Counts = np.zeros(1, np.int64)
    then: Counts = np.zeros(1, np.int64)
    for table in tables:
        if variable in table.axes:
            axes = (variable, *(axis for axis in table.axes if axis != variable))
            one, other = (part.reshape(part.shape[0], -1) for part in table.over(axes))
            best = _least(one.T, other.T)[:, None]
            first = first + np.take_along_axis(one, best, 1)[:, 0]
            then = then + np.take_along_axis(other, best, 1)[:, 0]
    return np.sort(np.lexsort((then, first))[:count])


def _improved(tables: Sequence[CostTable], start: Mapping[Hashable, int]) -> Choice:
    """`start`, changed by one and two codes at a time as long as that costs less."""
    choice = dict(start)
    together = {pair for table in tables for pair in combinations(table.axes, 2)}
    tries: list[tuple[Hashable, ...]] = [(axis,) for axis in choice]
    tries += sorted(together, key=str)
    for _ in range(MOST_ROUNDS):
        before = dict(choice)
        for free in tries:
            choice |= _best_of(tables, choice, free)
        if choice == before:
            break
    return choice


def _best_of(
    tables: Sequence[CostTable], choice: Mapping[Hashable, int], free: tuple[Hashable, ...]
) -> Iterator[tuple[Hashable, int]]:
    concerned = [table.given(choice, free) for table in tables if set(free) & set(table.axes)]
    first, then = _added(concerned, free)
    best = int(_least(first.reshape(-1), then.reshape(-1)))
    return zip(free, (int(at) for at in np.unravel_index(best, first.shape)), strict=True)


def _cost(tables: Sequence[CostTable], choice: Mapping[Hashable, int]) -> tuple[int, int]:
    rows = [table.given(choice, ()) for table in tables]
    return sum(int(row.first) for row in rows), sum(int(row.then) for row in rows)
