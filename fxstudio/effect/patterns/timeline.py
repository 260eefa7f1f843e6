"""One loop of time, and light over it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fxstudio.arrays import Bools, Floats


@dataclass(frozen=True)
class Fitted:
    """Something rounded so that it fits the loop a whole number of times."""

    what: str
    asked: float
    used: float
    unit: str

    def __str__(self) -> str:
        return f"{self.what}: {self.asked:.4g} {self.unit} asked, {self.used:.4g} {self.unit} used"


@dataclass(frozen=True, eq=False)
class Wave:
    """Brightness [n] 0..1 over a loop, and what was rounded so that the loop has no seam."""

    brightness: Floats
    fitted: tuple[Fitted, ...] = ()


@dataclass(frozen=True, eq=False)
class Timeline:
    """What a pattern may know: one loop on an even grid.

    Parameters
    ----------
    loop_s : length of the loop in s
    rate_hz : the effect's shared flicker rate in Hz
    lit : bool [n], whether key and travel let the lamp shine
    speed_kmh : [n], speed of the full-size locomotive in km/h
    rng : the lamp's own random generator
    """

    loop_s: float
    rate_hz: float
    lit: Bools
    speed_kmh: Floats
    rng: np.random.Generator

    @property
    def count(self) -> int:
        """Number of grid points n."""
        return len(self.lit)

    @property
    def step_s(self) -> float:
        """Time between grid points in s."""
        return self.loop_s / self.count

    @property
    def times_s(self) -> Floats:
        """Grid times [n] in s, 0 <= t < loop_s."""
        return np.arange(self.count) * self.step_s

    def whole_cycles(self, what: str, rate_hz: float) -> tuple[int, tuple[Fitted, ...]]:
        """The whole number of cycles of `rate_hz` nearest to the loop, at least one; if rounded."""
        cycles = max(1, round(self.loop_s * rate_hz))
        used = cycles / self.loop_s
        rounded = abs(used - rate_hz) > 1e-9 * rate_hz
        return cycles, (Fitted(what, rate_hz, used, "Hz"),) if rounded else ()
