"""How bright keys make a lamp: the smallest factor of the keys that are on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.keys import KEYS, key_order


@dataclass(frozen=True)
class Dims:
    """Factors by which a lamp is brighter or darker while a key is on.

    times : the factor by key; of several keys that are on the smallest counts
    """

    times: Mapping[str, float]

    def at(self, trace: DriveTrace) -> Floats:
        """The factor at the times of a drive, [n]; 1 while none of the keys is on."""
        least = np.full(len(trace.forward), np.inf)
        for key, times in self.times.items():
            least = np.where(trace.keys[:, KEYS.index(key)], np.minimum(least, times), least)
        return np.where(np.isinf(least), 1.0, least)

    def at_moment(self, moment: Moment) -> float:
        """The factor at one moment."""
        return min((t for key, t in self.times.items() if key in moment.keys), default=1.0)

    def words(self) -> Iterator[str]:
        """Each: `0.3 times as bright on F6`."""
        for key in sorted(self.times, key=key_order):
            yield f"{self.times[key]:g} times as bright on {key}"
