"""Counting: how many flashes fall in one second, over enough of a field of view."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes

from .fields import Fields, Members, Spot, Viewing
from .steps import Steps

MOST_FLASHES = 3
"""Flashes allowed in any one second. Source: WCAG 2.x SC 2.3.1."""

SECOND_CS = 100
"""One second in the 1/100 s in which a GIF counts."""

ASSUMED_TOGETHER_CS = 17
"""Changes within a sixth of a second are one change: half a period at three flashes a second."""


@dataclass(frozen=True)
class Most:
    """The most flashes that were counted.

    each : uint8 [m], most flashes within one second of each course
    flashes, end_cs, spot : most over enough of a field, the end of that second, and where
    quick : where more than three flashes in a second take most of a field
    """

    each: Bytes
    flashes: int
    end_cs: int
    spot: Spot
    quick: Spot


class Count:
    """Counts the flashes of one rule in every second."""

    def __init__(
        self,
        steps: Steps,
        times_cs: NDArray[np.integer],
        shape_px: tuple[int, int],
        viewing: Viewing,
    ) -> None:
        self.steps, self.times_cs = steps, times_cs
        self.limit = viewing.limit_px
        self.fields = Fields(steps, shape_px, viewing)

    def too_many(self) -> bool:
        """Whether there are more flashes than allowed in some second."""
        return any(
            self.fields.hold_more(flashes > MOST_FLASHES, self.limit)
            for _, flashes in self._in_place()
        ) or any(number > MOST_FLASHES for _, number, _ in self._wide())

    def most(self) -> Most:
        """The most flashes in any second."""
        each = np.zeros(len(self.steps.pixels), np.uint8)
        most, end_cs, spot, quick = 0, 0, Spot(), Spot()
        for now_cs, flashes in self._in_place():
            np.maximum(each, flashes, out=each, casting="unsafe")
            often = flashes > MOST_FLASHES
            if self.fields.hold_more(often, quick.pixels):
                quick = self.fields.fullest(often)
            for number in range(int(flashes.max()), most, -1):
                if self.fields.hold_more(flashes >= number, self.limit):
                    most, end_cs, spot = number, now_cs, self.fields.fullest(flashes >= number)
                    break
        for now_cs, number, changed in self._wide():
            if number > most:
                most, end_cs, spot = number, now_cs, self.fields.fullest(changed)
        return Most(each, most, end_cs, spot, quick)

    def _in_place(self) -> Iterator[tuple[int, NDArray[np.integer]]]:
        """Pixels that flash often, in step or not: the ends of seconds, flashes of each course."""
        times, way = self.times_cs, self.steps.way
        oldest = np.searchsorted(times, times - SECOND_CS)
        changes = np.zeros(len(self.steps.pixels), np.int16)
        left = 0
        for k in self.steps.busy:
            changes += way[k] != 0
            for gone in range(left, oldest[k]):
                changes -= way[gone] != 0
            left = oldest[k]
            yield int(times[k]), changes >> 1

    def _wide(self) -> Iterator[tuple[int, int, Members]]:
        """Changes of many pixels at about the same time, in one place or another.

        Gives the ends of seconds, the flashes in each, and what changed last in it.
        """
        times, which_way = self.times_cs, self.steps.way
        changed_cs = np.full(len(self.steps.pixels), -(10**9), np.int64)
        way = np.zeros(len(self.steps.pixels), np.int8)
        last, used_cs, found = 0, {1: -1, -1: -1}, []
        for k in self.steps.busy:
            now = which_way[k]
            moved = now != 0
            changed_cs[moved] = times[k]
            way[moved] = now[moved]
            recent = changed_cs >= times[k] - ASSUMED_TOGETHER_CS
            for direction in (-last or 1, last or -1):
                fresh = recent & (way == direction) & (changed_cs > used_cs[direction])
                if not self.fields.hold_more(fresh, self.limit):
                    continue
                used_cs[direction] = times[k]
                if direction == last:
                    continue  # the change before goes on
                last = direction
                found.append(times[k])
                within = len(found) - int(np.searchsorted(found, times[k] - SECOND_CS))
                yield int(times[k]), within // 2, fresh
