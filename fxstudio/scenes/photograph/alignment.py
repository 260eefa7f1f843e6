"""Hands that moved: one photograph laid on another.

OpenCV's enhanced correlation coefficient finds shift and turn to a fraction of a pixel, does not
mind how bright either picture is, and leaves out what a lamp lights; scikit-image has nothing for
a turn that can leave parts out.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, ceil, degrees
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools, Floats
from fxstudio.errors import InputError

from .reading import Photograph
from .smoothing import library

MOST_SHIFT, MOST_TURN_DEG = 0.03, 2.0
"""How far a camera may have moved between two pictures: share of the width, degrees."""

WIDTHS = (100, 200, 400, 800)
"""Widths of the pictures on which the move is found, each better than the one before."""

LEAST_LIKENESS = 0.35
"""Correlation of two pictures below which they show two things; a choice by trial."""

TOO_DARK = 0.002
"""Linear light that so few parts exceed in a picture in which nothing can be seen."""

LIT_TIMES = 1.2
"""Parts so many times as bright as the rest are lit by the lamp, and are left out."""


@dataclass(frozen=True, eq=False)
class Move:
    """How one picture lies on another.

    matrix : [2, 3] from a pixel (x, y, 1) of the still picture to that of the moved one
    likeness : correlation of what both show, or None if it was too dark to look
    """

    matrix: NDArray[np.float64]
    likeness: float | None

    def at_middle(self, width: int, height: int) -> tuple[float, float]:
        """Shift in pixels right and down at the middle of the picture."""
        middle = np.array([(width - 1) / 2, (height - 1) / 2, 1])
        shift = self.matrix @ middle - middle[:2]
        return float(shift[0]), float(shift[1])

    @property
    def turn_deg(self) -> float:
        """Turn in degrees."""
        return degrees(atan2(self.matrix[1, 0], self.matrix[0, 0]))

    def margins(self, width: int, height: int) -> tuple[int, int, int, int]:
        """Pixels at left, top, right and bottom that the moved picture does not show."""
        right, low = width - 1, height - 1
        corners = np.array([[0, 0, 1], [right, 0, 1], [0, low, 1], [right, low, 1]]).T
        x, y = self.matrix @ corners
        beyond = (-x.min(), -y.min(), x.max() - right, y.max() - low)
        left, top, far, below = (ceil(side - 0.01) if side > 0.01 else 0 for side in beyond)
        return left, top, far, below


STILL = Move(np.eye(2, 3), None)


def find_move(still: Photograph, moved: Photograph) -> Move:
    """How `moved` lies on `still`, a picture of the same thing under other light.

    Raises InputError naming both if they cannot be laid on each other.
    """
    cv2 = library()
    width = still.light.shape[2]
    grey = [_grey(picture) for picture in (still, moved)]
    if min(np.quantile(plane, 0.9) for plane in grey) < TOO_DARK:
        return STILL
    matrix, likeness, size = np.eye(2, 3, dtype=np.float32), 0.0, 0
    for wanted in WIDTHS:
        if size and wanted > width:
            break
        small = [_resized(plane, wanted / width) for plane in grey]
        matrix = _rescaled(matrix, small[0].shape[1] / size) if size else matrix
        size = small[0].shape[1]
        mask = _unlit(small[0], small[1], matrix) if wanted > WIDTHS[0] else None
        steps = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 80, 1e-6)
        features = [_features(plane) for plane in small]
        try:
            likeness, matrix = cv2.findTransformECC(
                *features, matrix, cv2.MOTION_EUCLIDEAN, steps, mask, 5
            )
        except cv2.error as error:
            raise _unlike(still, moved, "nothing in them lies alike") from error
    found = Move(_rescaled(matrix, width / size).astype(np.float64), float(likeness))
    shift = np.hypot(*found.at_middle(width, still.light.shape[1])) / width
    if likeness < LEAST_LIKENESS:
        raise _unlike(still, moved, f"they are alike by {likeness:.0%} only")
    if shift > MOST_SHIFT or abs(found.turn_deg) > MOST_TURN_DEG:
        how = f"moved by {shift:.1%} of the width and {abs(found.turn_deg):.1f} degrees"
        raise _unlike(still, moved, how)
    return found


def laid(planes: Floats, move: Move) -> Floats:
    """Planes [..., h, w] of the moved picture where the still one has them."""
    if move is STILL:
        return planes
    cv2 = library()
    rows, columns = planes.shape[-2:]
    flat = planes.reshape(-1, rows, columns).astype(np.float32)
    how = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    size, edge = (columns, rows), cv2.BORDER_REPLICATE
    found = [cv2.warpAffine(p, move.matrix, size, flags=how, borderMode=edge) for p in flat]
    return np.stack(found).reshape(planes.shape)


def _unlike(still: Photograph, moved: Photograph, how: str) -> InputError:
    return InputError(f"cannot be laid on {still.file}: {how}", moved.file).allowing(
        f"the same view, moved by at most {MOST_SHIFT:.0%} of the width and "
        f"{MOST_TURN_DEG:g} degrees",
        remedy="take it again with the camera on a tripod or on books",
    )


def _grey(picture: Photograph) -> Floats:
    mean: Floats = np.maximum(picture.light, 0).mean(axis=0, dtype=np.float32)
    return mean


def _resized(plane: Floats, by: float) -> Floats:
    cv2 = library()
    if by >= 1:
        return plane
    rows, columns = plane.shape
    small: Floats = cv2.resize(
        plane, (round(columns * by), round(rows * by)), interpolation=cv2.INTER_AREA
    )
    return small


def _features(grey: Floats) -> Floats:
    """What is seen whatever the light: how much darker or brighter than around it."""
    cv2 = library()
    light = np.log(grey + TOO_DARK)
    detail: Floats = light - cv2.GaussianBlur(light, (0, 0), grey.shape[1] * 0.04)
    return np.clip(detail, -1.5, 1.5)


def _rescaled(matrix: NDArray[Any], by: float) -> NDArray[np.float32]:
    """The same move in a picture `by` times as large; whole numbers are middles of pixels."""
    larger = matrix.copy()
    half = (by - 1) / 2
    larger[:, 2] = by * matrix[:, 2] + half - matrix[:, :2] @ [half, half]
    return larger.astype(np.float32)


def _unlit(still: Floats, moved: Floats, matrix: NDArray[np.float32]) -> NDArray[np.uint8] | None:
    """Where the moved picture is not lit by a lamp, by what is known of the move; None for all."""
    cv2 = library()
    size = still.shape[::-1]
    how, edge = cv2.INTER_LINEAR, cv2.BORDER_REPLICATE
    there = cv2.warpAffine(still, matrix, size, flags=how, borderMode=edge)
    ratio = cv2.blur(moved, (5, 5)) / (cv2.blur(there, (5, 5)) + TOO_DARK)
    lit: Bools = ratio > LIT_TIMES * np.quantile(ratio, 0.25)
    mask = cv2.erode((~lit).astype(np.uint8), np.ones((5, 5), np.uint8))
    return mask if mask.mean() > 0.1 else None
