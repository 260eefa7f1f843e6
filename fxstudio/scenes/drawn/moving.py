"""What moves in a scene while the engine runs: light on its pixels in each phase of its way.

Only what lies in one window is painted anew for each phase, and lit as the whole scene is; what
that changes is added to the light of the scene. Phase 0 is the scene itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Floats

from .shapes import shrunk
from .surface import Canvas, Light

PHASES = 36
"""Phases of one turn of the wheels. In each step a wheel of 12 spokes turns a third of the way from
one spoke to the next, so that the eye sees which way it turns."""

SEEN = 2e-4
"""Least change of linear light, of 1, for which a pixel moves: a tenth of a code of sRGB or so."""

Maps = tuple[Floats, dict[str, Floats]]
Window = tuple[slice, slice]


@dataclass(frozen=True, eq=False)
class Moving:
    """The pixels of a scene that change while the engine moves.

    pixels : int [m], their numbers in the picture, row after row
    ambient : linear light [phases, 3, m] with all lamps dark, in half precision
    light : the same for each place
    """

    pixels: NDArray[np.intp]
    ambient: NDArray[np.float16]
    light: Mapping[str, NDArray[np.float16]]


class Cutting(Canvas):
    """What lies in a window of a whole canvas, not painted yet; shadows are those of the whole."""

    def __init__(self, whole: Canvas, window: Window, shadow: Callable[[Light], Floats]) -> None:
        rows, columns = window
        for name, planes in vars(whole).items():
            if isinstance(planes, np.ndarray):
                setattr(self, name, planes[..., rows, columns].copy())
        self.unit, self.eye = whole.unit, whole.eye
        self._window, self._shadow = window, shadow
        self.place = np.stack([self.x, self.y, np.zeros_like(self.x)])
        self.normal[:] = np.reshape([0, 0, 1], (3, 1, 1))
        for planes in (self.albedo, self.gloss, self.metal, self.solid):
            planes[:] = 0

    def shadow(self, light: Light, steps: int = 14) -> Floats:
        """Shade 0..1 [h, w] of the whole as it stands."""
        return self._shadow(light)[self._window]


def moving(
    whole: Canvas,
    box: tuple[float, float, float, float],
    by: int,
    maps: Maps,
    drawn: Callable[[Canvas, float], Maps],
) -> Moving:
    """What moves within a box of a scene.

    Parameters
    ----------
    whole : the canvas of the whole scene, painted
    box : left, top, right and bottom of what moves, in picture heights
    by : how many times larger than the picture the canvas is
    maps : the scene's ambient light and that of each place, as large as the picture
    drawn : paints a canvas, at some part 0..1 of a turn, and gives the same for it
    """
    window = _window(whole, box, by)
    place = tuple(slice(part.start // by, part.stop // by) for part in window)
    shadow = cache(whole.shadow)
    ambient, light = maps
    first = np.stack([ambient[:, *place], *(each[:, *place] for each in light.values())])

    def lit(phase: int) -> Floats:
        at, lights = drawn(Cutting(whole, window, shadow), phase / PHASES)
        return np.stack([shrunk(at, by), *(shrunk(lights[name], by) for name in light)])

    still = lit(0)
    all_phases = np.empty((PHASES, *first.shape), np.float16)
    moves = np.zeros(first.shape[2:], bool)
    for phase in range(PHASES):
        change = lit(phase) - still
        moves |= (np.abs(change) > SEEN).any(axis=(0, 1))
        all_phases[phase] = np.maximum(first + change, 0)
    rows, columns = np.nonzero(moves)
    kept = all_phases[..., rows, columns]
    pixels = (rows + place[0].start) * ambient.shape[2] + columns + place[1].start
    return Moving(pixels, kept[:, 0], dict(zip(light, kept[:, 1:].swapaxes(0, 1), strict=True)))


def _window(whole: Canvas, box: tuple[float, float, float, float], by: int) -> Window:
    """Rows and columns of a box, of whole pixels of the picture."""
    left, top, right, bottom = box

    def part(line: Floats, low: float, high: float) -> slice:
        first, last = np.searchsorted(line, (low, high)) // by
        return slice(int(first) * by, min((int(last) + 1) * by, len(line) // by * by))

    return part(whole.y[:, 0], top, bottom), part(whole.x[0], left, right)
