"""Counting: how many flashes fall in one second, over enough of a field of view."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .fields import Fields, Members, Spot, Viewing
from .steps import Steps

MOST_FLASHES = 3
"""Flashes allowed in any one second. Source: WCAG 2.x SC 2.3.1."""

SECOND_CS = 100
"""One second in the 1/100 s in which a GIF counts."""

ASSUMED_TOGETHER_CS = 17
"""Changes within a sixth of a second are one change: half a period at three flashes a second."""


class Count:
    """Counts the flashes of one rule in every second.

    most : uint8 [m], most flashes within one second of each course
    flashes, end_cs, spot : most flashes over enough of a field, the end of that second, where
    quick : where more than three flashes in a second take most of a field
    """

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
        self.most = np.zeros(len(steps.pixels), np.uint8)
        self.flashes, self.end_cs, self.spot = 0, 0, Spot()
        self.quick = Spot()
        self._in_place()
        self._wide()

    def _in_place(self) -> None:
        """Pixels that flash often, in step or not."""
        times, moved = self.times_cs, self.steps.way != 0
        oldest = np.searchsorted(times, times - SECOND_CS)
        changes = np.zeros(len(self.most), np.int16)
        left = 0
        for k in self.steps.busy:
            changes += moved[k]
            if oldest[k] > left:
                changes -= moved[left : oldest[k]].sum(axis=0, dtype=np.int16)
                left = oldest[k]
            flashes = changes >> 1
            np.maximum(self.most, flashes, out=self.most, casting="unsafe")
            often = flashes > MOST_FLASHES
            if self.fields.hold_more(often, self.quick.pixels):
                self.quick = max(self.quick, self.fields.fullest(often), key=lambda s: s.pixels)
            for number in range(int(flashes.max()), self.flashes, -1):
                if self._note(number, times[k], flashes >= number):
                    break

    def _wide(self) -> None:
        """Changes of many pixels at about the same time, in one place or another."""
        times, which_way = self.times_cs, self.steps.way
        changed_cs = np.full(len(self.most), -(10**9), np.int64)
        way = np.zeros(len(self.most), np.int8)
        last, used_cs, found = 0, {1: -1, -1: -1}, []
        for k in self.steps.busy:
            moved = which_way[k] != 0
            changed_cs[moved] = times[k]
            way[moved] = which_way[k, moved]
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
                self._note(within // 2, times[k], fresh)

    def _note(self, flashes: int, end_cs: int, members: Members) -> bool:
        """Keep so many flashes of these if they are more than before and take enough of a field."""
        if flashes <= self.flashes or not self.fields.hold_more(members, self.limit):
            return False
        self.flashes, self.end_cs = flashes, int(end_cs)
        self.spot = self.fields.fullest(members)
        return True
