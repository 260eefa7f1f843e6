"""How far wheels have turned under a drive: slowly, for the eye to follow, and without a seam."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Floats
from fxstudio.effect.drive import Drive
from fxstudio.scenes.drawn.moving import PHASES

FASTEST_TURNS = 0.3
"""Turns a second that no speed exceeds; a choice of looks. Real wheels turn several times a second:
they would flicker, and in a film of 25 frames a second seem to turn the wrong way."""
HALF_KMH = 8.0
"""Speed at which they turn half as fast as that."""
MOST_TURNS = 0.6
"""... and if a loop is to close on a whole number of turns."""
SAMPLES_PER_S = 100
NEARLY = 1e-6
"""Of a phase; what was rounded away from a whole one."""


@dataclass(frozen=True, eq=False)
class Motion:
    """What moves in a film: the numbers of its pixels [m], and their phase in each frame [n]."""

    pixels: NDArray[np.intp]
    phases: NDArray[np.int64]


class Rolling:
    """The wheels of an engine under a drive.

    At the end of the loop they stand as in its beginning: for this they turn a little faster
    or slower than their speed says. Where a whole turn would be too fast they stand still.
    """

    def __init__(self, drive: Drive) -> None:
        self._length_s = drive.length_s
        count = round(drive.length_s * SAMPLES_PER_S)
        self._ends_s = np.linspace(0, drive.length_s, count + 1)
        trace = drive.at((self._ends_s[1:] + self._ends_s[:-1]) / 2)
        rate = FASTEST_TURNS * trace.speed_kmh / (trace.speed_kmh + HALF_KMH)
        rate = _closing(np.where(trace.forward, rate, -rate), drive.length_s / count)
        turned = np.cumsum(rate) * (drive.length_s / count)
        self._turned = np.concatenate([[0.0], turned])

    def turned(self, times_s: ArrayLike) -> Floats:
        """Turns [n] at `times_s` [n], forward from 0 at the beginning of each loop."""
        times = np.asarray(times_s, float) % self._length_s
        turned: Floats = np.interp(times, self._ends_s, self._turned)
        return turned

    def phases(self, times_s: ArrayLike) -> NDArray[np.int64]:
        """The phase [n] of the scene then, 0 to `PHASES` - 1."""
        return phase_of(self.turned(times_s))


def phase_of(turned: ArrayLike) -> NDArray[np.int64]:
    """The phase of a scene for turns of its wheels, of the same shape."""
    whole = np.floor(np.asarray(turned) * PHASES + NEARLY).astype(np.int64)
    return whole % PHASES


def _closing(rate: Floats, step_s: float) -> Floats:
    """Rates [n] of turning that come near to `rate`, and in sum to whole turns."""
    net, whole = rate.sum() * step_s, np.abs(rate).sum() * step_s
    if whole == 0:
        return rate
    turns = round(net)
    while True:
        closed: Floats = rate + (turns - net) / whole * np.abs(rate)
        if turns == 0 or np.abs(closed).max() <= MOST_TURNS:
            return closed
        turns -= round(np.sign(turns))
