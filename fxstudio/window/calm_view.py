"""The calm view: flicker shown so softly that it cannot flash more than three times a second.

The light shown moves in straight lines between points a quarter of a second apart, the same
points for all lamps. In any one second it can turn up or down five times at most, which makes
two and a half flashes, each a pair of opposing changes. Each point is the mean of the true
light over the half second before, so that fast flicker becomes its average.
Source of the limit: WCAG 2.2, success criterion 2.3.1.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

STEP_S = 0.25
"""Time between turning points; a sixth of a second is the shortest within the limit."""

MEAN_S = 0.5
"""Time over which the true light is averaged."""

SAMPLES = 48
"""Samples of the true light in that time: 96 a second, enough for 25 changes a second."""


class CalmLight:
    """The soft light of some lamps; ask it once a frame.

    It goes by the time that passes for the viewer, not by the time in the film, so that
    seeking and stepping cannot flash either.
    """

    def __init__(self) -> None:
        self._from = self._to = np.empty(0)
        self._since_s = 0.0

    @property
    def lamps(self) -> int:
        """Number of lamps it holds."""
        return len(self._to)

    @property
    def settled(self) -> bool:
        """Whether the light shown would stay as it is."""
        return np.array_equal(self._from, self._to)

    def times_s(self, film_s: float) -> NDArray[np.floating]:
        """The times [n] in the film whose light it wants to know for `film_s`."""
        return film_s - np.arange(SAMPLES) * (MEAN_S / SAMPLES)

    def at(self, now_s: float, light: ArrayLike) -> NDArray[np.floating]:
        """The light [lamps] to show at the viewer's time `now_s`.

        `light` [n, lamps] is the true light at `times_s`.
        """
        start, end, share = self.line(now_s, light)
        return start + (end - start) * share

    def line(
        self, now_s: float, light: ArrayLike
    ) -> tuple[NDArray[np.floating], NDArray[np.floating], float]:
        """The light [lamps] at both ends of the present line, and how far along it `now_s` is."""
        mean = np.asarray(light, dtype=float).mean(axis=0)
        if len(mean) != self.lamps:
            self._from = self._to = mean
            self._since_s = now_s
        elapsed = now_s - self._since_s
        if elapsed >= STEP_S:
            # After a pause of many steps the next line still begins where the last one ended.
            self._from, self._to = self._to, mean
            self._since_s = now_s if elapsed >= 2 * STEP_S else self._since_s + STEP_S
            elapsed = now_s - self._since_s
        return self._from, self._to, min(1.0, elapsed / STEP_S)
