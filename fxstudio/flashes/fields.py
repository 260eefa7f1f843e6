"""Fields of view: how much of a picture an eye takes in at once, and what of it flashes."""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools

from .steps import Steps

Box = tuple[int, int, int, int]
"""x, y, width and height in pixels."""

Members = Bools
"""Which courses [m] belong to a set of pixels."""

FIELD_DEGREES = 10
"""Field of view in which an area is judged. Source: WCAG 2.x SC 2.3.1."""

DISTANCE_CM = 57
"""A distance of the eye from the screen to name the field at: there 10 degrees are 10 cm."""

KNOWN_SETS = 4
"""Of how many sets of pixels the fullest field is remembered, to bound that of others."""


@dataclass(frozen=True)
class Viewing:
    """How the picture is assumed to be seen.

    Parameters
    ----------
    field_px : width and height in pixels of a 10 degree field. Source: "Understanding SC
        2.3.1": 341 x 256 on a screen of 1024 x 768, the picture at its own size
    share : share of the field that may flash. Source: WCAG 2.x
    """

    field_px: tuple[float, float] = (341, 256)
    share: float = 0.25

    @property
    def area_px(self) -> float:
        """Area of the field in pixels."""
        return self.field_px[0] * self.field_px[1]

    @property
    def limit_px(self) -> float:
        """Area in pixels that may flash."""
        return self.area_px * self.share

    def enlarged(self, factor: float) -> Viewing:
        """The same with the picture shown `factor` times larger: fewer of its pixels fill it."""
        width, height = self.field_px
        return replace(self, field_px=(width / factor, height / factor))

    def up_to(self, larger: Viewing) -> Viewing:
        """The fields of this, with the limit of a `larger` view.

        Every view between the two has smaller fields than this and a higher limit than that: an
        area that is too large in one of them is too large here.
        """
        return replace(self, share=larger.limit_px / self.area_px)

    def __str__(self) -> str:
        width, height = self.field_px
        width_cm = 2 * DISTANCE_CM * math.tan(math.radians(FIELD_DEGREES / 2))
        return (
            f"seen at its own size, {width:.0f} x {height:.0f} of its pixels filling "
            f"{FIELD_DEGREES} degrees of view: {width_cm:.0f} cm wide from {DISTANCE_CM} cm away"
        )


@dataclass(frozen=True)
class Spot:
    """The field with most pixels of a set: how many, and what part of the picture they take."""

    pixels: int = 0
    box: Box | None = None


_Known = tuple[Members, int, NDArray[np.integer]]
"""A set, how many of its pixels its fullest field holds, and how many of each course [m]."""


class Fields:
    """All fields of view in a picture, wherever they lie.

    A part of a pixel at the edge of a field counts as the whole pixel.
    """

    def __init__(self, steps: Steps, shape_px: tuple[int, int], viewing: Viewing) -> None:
        self.pixels = steps.pixels
        self._corner, self._course = _lively(steps.course.reshape(shape_px))
        width, height = (math.ceil(length) for length in viewing.field_px)
        rows, columns = self._course.shape
        self._rows, self._columns = min(rows, height), min(columns, width)
        self._known: deque[_Known] = deque(maxlen=KNOWN_SETS)

    def hold_more(self, members: Members, than: float) -> bool:
        """Whether some field holds more than so many pixels of a set."""
        total = self._count(members)
        if total <= than:
            return False
        for known, most, held in self._known:
            if held[members].sum() > than:
                return True
            if most + total - self._count(members & known) <= than:
                return False
        return self.fullest(members).pixels > than

    def fullest(self, members: Members) -> Spot:
        """The field that holds most pixels of a set."""
        picture = np.append(members, False).take(self._course, mode="wrap")
        sums = _sums(_sums(picture, self._rows, 0), self._columns, 1)
        top, left = np.unravel_index(sums.argmax(), sums.shape)
        field = np.s_[top : top + self._rows, left : left + self._columns]
        held = np.bincount(self._course[field].ravel() + 1, minlength=len(members) + 1)[1:]
        most = int(sums[top, left])
        self._known.append((members, most, held))
        if not most:
            return Spot()
        y, x = (np.flatnonzero(picture[field].any(axis=axis)) for axis in (1, 0))
        corner = int(self._corner[1] + left + x[0]), int(self._corner[0] + top + y[0])
        return Spot(most, (*corner, int(x[-1] - x[0] + 1), int(y[-1] - y[0] + 1)))

    def _count(self, members: Members) -> int:
        return int(self.pixels[members].sum())


def _lively(course: NDArray[np.integer]) -> tuple[tuple[int, int], NDArray[np.integer]]:
    """Row and column of the corner of what changes in a picture, and that part of it."""
    y, x = (np.flatnonzero((course >= 0).any(axis=axis)) for axis in (1, 0))
    if not len(y):
        return (0, 0), course[:1, :1]
    return (int(y[0]), int(x[0])), course[y[0] : y[-1] + 1, x[0] : x[-1] + 1]


def _sums(values: NDArray[np.generic], length: int, axis: int) -> NDArray[np.int32]:
    """Sums of so many neighbours along an axis, which becomes shorter by `length` - 1."""
    total = np.moveaxis(np.cumsum(values, axis=axis, dtype=np.int32), axis, 0)
    sums = total[length - 1 :].copy()
    sums[1:] -= total[:-length]
    return np.moveaxis(sums, 0, axis)
