"""Counting: how many flashes fall in one second, over enough of a field of view."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .steps import Steps

Box = tuple[int, int, int, int]
"""x, y, width and height in pixels."""

MOST_FLASHES = 3
"""Flashes allowed in any one second. Source: WCAG 2.x SC 2.3.1."""

SECOND_CS = 100
"""One second in the 1/100 s in which a GIF counts."""

ASSUMED_TOGETHER_CS = 17
"""Changes within a sixth of a second are one change: half a period at three flashes a second."""


FIELD_DEGREES = 10
"""Field of view in which an area is judged. Source: WCAG 2.x SC 2.3.1."""

DISTANCE_CM = 57
"""A distance of the eye from the screen to name the field at: there 10 degrees are 10 cm."""


@dataclass(frozen=True)
class Viewing:
    """How the picture is assumed to be seen.

    Parameters
    ----------
    field_px : width and height in pixels of a 10 degree field. Source: "Understanding SC
        2.3.1": 341 x 256 on a screen of 1024 x 768, the picture at its own size
    every_px : distance of the points that are followed, in pixels
    """

    field_px: tuple[int, int] = (341, 256)
    every_px: int = 3

    @property
    def limit_px(self) -> float:
        """Area in pixels that may flash: a quarter of the field. Source: WCAG 2.x."""
        return self.field_px[0] * self.field_px[1] / 4

    def enlarged(self, factor: float) -> Viewing:
        """The same with the picture shown `factor` times larger: fewer of its pixels fill it."""
        width, height = self.field_px
        return replace(self, field_px=(round(width / factor), round(height / factor)))

    def __str__(self) -> str:
        width, height = self.field_px
        width_cm = 2 * DISTANCE_CM * math.tan(math.radians(FIELD_DEGREES / 2))
        return (
            f"seen at its own size, {width} x {height} of its pixels filling {FIELD_DEGREES} "
            f"degrees of view: {width_cm:.0f} cm wide from {DISTANCE_CM} cm away"
        )


@dataclass(frozen=True)
class Spot:
    """The field with most points of a set: how many, and what part of the picture they take."""

    points: int = 0
    box: Box | None = None


class Count:
    """Counts the flashes of one rule in every second.

    most : uint8 [m], most flashes within one second of each course that changes
    flashes, end_cs, spot : most flashes over enough of a field, the end of that second, where
    quick : where more than three flashes in a second take most of a field
    """

    def __init__(
        self,
        steps: Steps,
        times_cs: NDArray[np.integer],
        grid: tuple[int, int],
        viewing: Viewing,
    ) -> None:
        self.steps, self.times_cs, self.grid, self.viewing = steps, times_cs, grid, viewing
        self.limit = viewing.limit_px / viewing.every_px**2
        self.most = np.zeros(len(steps.points), np.uint8)
        self.flashes, self.end_cs, self.spot = 0, 0, Spot()
        self.quick = Spot()
        self._in_place()
        self._wide()

    def share_of(self, spot: Spot) -> float:
        """What part of a field a spot takes."""
        width, height = self.viewing.field_px
        return min(1.0, spot.points * self.viewing.every_px**2 / (width * height))

    def _in_place(self) -> None:
        """Points that flash often, in step or not."""
        times, moved = self.times_cs, self.steps.moved
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
            at_least = np.bincount(flashes, self.steps.points)[::-1].cumsum()[::-1]
            if at_least[MOST_FLASHES + 1 :][:1].sum() > self.quick.points:
                spot = self._spot(flashes > MOST_FLASHES)
                self.quick = max(self.quick, spot, key=lambda s: s.points)
            for number in range(len(at_least) - 1, self.flashes, -1):
                if at_least[number] > self.limit:
                    self._note(number, times[k], self._spot(flashes >= number))
                if self.flashes == number:
                    break

    def _wide(self) -> None:
        """Changes of many points at about the same time, in one place or another."""
        times, which_way = self.times_cs, self.steps.way
        changed_cs = np.full(len(self.most), -(10**9), np.int64)
        way = np.zeros(len(self.most), np.int8)
        last, used_cs, found = 0, {1: -1, -1: -1}, []
        for k in self.steps.busy:
            moved = self.steps.moved[k]
            changed_cs[moved] = times[k]
            way[moved] = which_way[k, moved]
            recent = changed_cs >= times[k] - ASSUMED_TOGETHER_CS
            for direction in (-last or 1, last or -1):
                fresh = recent & (way == direction) & (changed_cs > used_cs[direction])
                if self.steps.points[fresh].sum() <= self.limit:
                    continue
                spot = self._spot(fresh)
                if spot.points <= self.limit:
                    continue
                used_cs[direction] = times[k]
                if direction == last:
                    continue  # the change before goes on
                last = direction
                found.append(times[k])
                within = len(found) - int(np.searchsorted(found, times[k] - SECOND_CS))
                if within // 2 > self.flashes:
                    self._note(within // 2, times[k], spot)

    def _note(self, flashes: int, end_cs: int, spot: Spot) -> None:
        if spot.points > self.limit and flashes > self.flashes:
            self.flashes, self.end_cs, self.spot = flashes, int(end_cs), spot

    def _spot(self, members: NDArray[np.bool_]) -> Spot:
        """The field, anywhere in the picture, that holds most points of these courses [m]."""
        every = self.viewing.every_px
        picture = self.steps.at_points(members).reshape(self.grid)
        rows, columns = self._field
        total = np.zeros((self.grid[0] + 1, self.grid[1] + 1), np.int32)
        total[1:, 1:] = picture.cumsum(axis=0, dtype=np.int32).cumsum(axis=1)
        held = (
            total[rows:, columns:]
            - total[:-rows, columns:]
            - total[rows:, :-columns]
            + total[:-rows, :-columns]
        )
        top, left = np.unravel_index(held.argmax(), held.shape)
        if held[top, left] == 0:
            return Spot()
        y, x = np.nonzero(picture[top : top + rows, left : left + columns])
        corner = (left + x.min()) * every, (top + y.min()) * every
        size = (np.ptp(x) + 1) * every, (np.ptp(y) + 1) * every
        return Spot(int(held[top, left]), tuple(int(n) for n in (*corner, *size)))

    @cached_property
    def _field(self) -> tuple[int, int]:
        """Rows and columns of points that a field takes, at most the whole picture."""
        width, height = self.viewing.field_px
        every = self.viewing.every_px
        return min(self.grid[0], -(-height // every)), min(self.grid[1], -(-width // every))
