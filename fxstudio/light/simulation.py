"""An effect under way: brightness of every lamp over time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from zlib import crc32

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bools, Floats
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted, Timeline

GRID_HZ = 600
"""Grid on which a loop is simulated: a common multiple of 24, 25, 30, 50, 60 and 100 Hz,
so that the frames of any of these rates fall on grid points."""


@dataclass(frozen=True)
class Brightness:
    """Simulated light.

    times_s : [n] in s
    light : float32 [n, lamps], linear, 0 dark to 1 full
    lit : bool [n, lamps], whether key and travel let the lamp shine
    lamps : names of the lamps, in the order of the effect
    fitted : what was rounded so that the loop is seamless, with the lamp it belongs to
    """

    times_s: Floats
    light: NDArray[np.float32]
    lit: Bools
    lamps: tuple[str, ...]
    fitted: tuple[tuple[str, Fitted], ...] = ()


@dataclass(frozen=True)
class Simulation:
    """One loop of an effect; ask it for the brightness at any times.

    The loop is as long as the drive. The same effect, drive and seed give the same bytes.
    Each lamp has a random generator of its own, so editing one leaves the others as they are.
    """

    effect: Effect
    drive: Drive
    seed: int = 1

    @cached_property
    def loop(self) -> Brightness:
        """The whole loop on the grid of 600 points a second."""
        count = max(2, round(self.drive.length_s * GRID_HZ))
        times = np.arange(count) * (self.drive.length_s / count)
        trace = self.drive.at(times)
        light, lit, fitted = [], [], []
        for name, lamp in self.effect.lamps.items():
            timeline = Timeline(
                loop_s=self.drive.length_s,
                rate_hz=self.effect.rate_of(name),
                lit=lamp.gate.lit(trace),
                speed_kmh=trace.speed_kmh,
                rng=np.random.default_rng([self.seed, crc32(name.encode())]),
            )
            wave = lamp.pattern.light(timeline)
            light.append(wave.brightness * lamp.dims.at(trace))
            lit.append(timeline.lit)
            fitted += [(name, entry) for entry in wave.fitted]
        return Brightness(
            times_s=times,
            light=np.stack(light, axis=1).astype(np.float32),
            lit=np.stack(lit, axis=1),
            lamps=tuple(self.effect.lamps),
            fitted=tuple(fitted),
        )

    def at(self, times_s: ArrayLike) -> Brightness:
        """Brightness at `times_s` [n] in s, linear between grid points, wrapped to the loop."""
        loop = self.loop
        times = np.asarray(times_s, dtype=float)
        count = len(loop.times_s)
        position = (times % self.drive.length_s) * (count / self.drive.length_s)
        # Times such as 0.04 s are not exact in binary; a grid point is meant where one is near.
        nearest = np.rint(position)
        position = np.where(np.abs(position - nearest) < 1e-6, nearest, position)
        before = position.astype(int)
        share = (position - before).astype(np.float32)[:, None]
        before %= count
        after = (before + 1) % count
        light = loop.light[before] * (1 - share) + loop.light[after] * share
        return Brightness(times, light, loop.lit[before], loop.lamps, loop.fitted)


def simulate(
    effect: Effect,
    drive: Drive | None = None,
    times_s: ArrayLike | None = None,
    seed: int = 1,
) -> Brightness:
    """How bright every lamp of an effect is over time.

    Parameters
    ----------
    effect : what the lamps do
    drive : travel, speed and keys over time, played round and round; None: the effect's own
    times_s : [n] in s, wrapped to the loop; None: one loop, 600 points a second
    seed : another number gives another flicker; the same one gives the same bytes
    """
    simulation = Simulation(effect, drive or effect.shown_by, seed)
    return simulation.loop if times_s is None else simulation.at(times_s)
