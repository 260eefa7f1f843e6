"""Locomotive motion: speed to wheel turns and exhaust beats."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Floats
from fxstudio.units import KMH_PER_MPS


def beats_per_second(speed_kmh: ArrayLike, wheel_m: float, beats_per_turn: int) -> Floats:
    """Exhaust beats per second, same shape as `speed_kmh`.

    Parameters
    ----------
    speed_kmh : speed of the full-size locomotive in km/h
    wheel_m : driving-wheel diameter in m, full size
    beats_per_turn : 4 for two double-acting cylinders, 6 for three

    The rate does not depend on the scale: speed and wheel shrink alike.
    Source: geometry; four exhausts a turn from Sinclair, "Locomotive Engine Running and
    Management", "Locating the four exhaust sounds".
    """
    turns = np.asarray(speed_kmh, dtype=float) / KMH_PER_MPS / (np.pi * wheel_m)
    return turns * beats_per_turn
