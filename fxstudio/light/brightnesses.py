"""The measure of `likeness` for one pattern at many brightnesses at once.

`likeness` looks at a pattern with thousands of points. A decoder offers thousands of
brightnesses, so here each is reckoned from a few points of the pattern's spread, placed where
lightness bends most. A test holds both against each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fxstudio.colour import lightness
from fxstudio.effect.patterns import Pattern, Ranged
from fxstudio.light.likeness import (
    ASSUMED_COURSE,
    ASSUMED_OCTAVE,
    ASSUMED_SPEED_KMH,
    ASSUMED_STEADY,
    ASSUMED_WEIGHTS,
    spread_of,
    switched_light,
)

Floats = NDArray[np.floating]

NODES: Final = 12
"""Points of a light with more levels than these. L* goes with the cube root of light, so they
are those of Gauss and Legendre over the cube root of the share of time."""


@dataclass(frozen=True)
class Brightnesses:
    """One pattern at many brightnesses; all arrays have one shape.

    pattern : any of them
    level : mean lightness L* while lit, 0..100
    modulation : twice the standard deviation of L* while lit
    switching : L* by which it lags behind its key
    dark : whether it never gives any light
    """

    pattern: Pattern
    level: Floats
    modulation: Floats
    switching: Floats
    dark: NDArray[np.bool_]

    @classmethod
    def of(cls, pattern: Pattern, highest: Floats, lowest: Floats | None = None) -> Brightnesses:
        """A pattern between these brightnesses 0..1; `lowest` has the shape of `highest`.

        Of a pattern that has only one brightness `lowest` is not looked at.
        """
        highest = np.asarray(highest, dtype=float)[..., None]
        low: Floats = np.zeros_like(highest)
        lag: Floats = np.zeros(highest.shape[:-1])
        if isinstance(pattern, Ranged):
            low = np.asarray(lowest, dtype=float)[..., None]
        else:
            lag = _lag(pattern, highest)
        shares, weights = _few_points(_full(pattern))
        shown = lightness(low + (highest - low) * shares)
        level = (shown * weights).sum(axis=-1)
        spread = ((shown - level[..., None]) ** 2 * weights).sum(axis=-1)
        dark = highest[..., 0] == 0
        return cls(pattern, level, 2 * np.sqrt(spread), lag, dark)

    def lost(self, asked: Brightnesses, asked_hz: float, seen_hz: float) -> Floats:
        """What is lost, 0..1, of `asked`, one brightness, if each of these is seen.

        `asked_hz` and `seen_hz` are the shared rates. See `likeness.pattern_lost`.
        """
        parts = sum(
            abs(getattr(self, name) - getattr(asked, name)) * ASSUMED_WEIGHTS[name]
            for name in ("level", "modulation", "switching")
        )
        was = asked.pattern.changes_hz(asked_hz, ASSUMED_SPEED_KMH)
        now = self.pattern.changes_hz(seen_hz, ASSUMED_SPEED_KMH)
        octaves = abs(np.log2(now / was)) if was and now else 0.0
        other = ASSUMED_COURSE * (self.pattern.course != asked.pattern.course)
        vary, varied = self.modulation > ASSUMED_STEADY, asked.modulation > ASSUMED_STEADY
        change = np.where(
            vary & varied,
            min(1.0, ASSUMED_OCTAVE * octaves + other),
            ASSUMED_COURSE * (vary ^ varied),
        )
        swing = np.minimum(self.modulation, asked.modulation) / 100
        return np.where(self.dark != asked.dark, 1.0, np.minimum(1.0, parts + change * swing))


def _full(pattern: Pattern) -> Pattern:
    """The pattern from dark to full light, or at full light."""
    whole = {"lowest": 0.0, "highest": 1.0} if isinstance(pattern, Ranged) else {"level": 1.0}
    return pattern.model_copy(update=whole)


@lru_cache(maxsize=512)
def _few_points(full: Pattern) -> tuple[Floats, Floats]:
    """Points of the spread between lowest and highest, 0..1, and the share of time of each."""
    spread = np.sort(spread_of(full))
    levels, counts = np.unique(spread, return_counts=True)
    if len(levels) <= NODES:
        return levels, counts / len(spread)
    root, weights = _nodes()
    return _at(root**3, spread), weights * 3 * root**2


def _lag(pattern: Pattern, level: Floats) -> Floats:
    """L* by which a pattern of one brightness lags behind its key at each level [..., 1]."""
    _, weights = _nodes()
    lags = [
        abs(lightness(level * now) - lightness(level * wish)) @ weights
        for now, wish in _switched(_full(pattern))
    ]
    return np.asarray(np.mean(lags, axis=0))


@lru_cache(maxsize=512)
def _switched(full: Pattern) -> list[tuple[Floats, Floats]]:
    """Light after the key goes on, and off, as it is and without a lag, at a few times."""
    time, _ = _nodes()
    switched, ideal = (np.split(light, 2) for light in switched_light(full))
    return [(_at(time, now), _at(time, wish)) for now, wish in zip(switched, ideal, strict=True)]


@lru_cache(maxsize=1)
def _nodes() -> tuple[Floats, Floats]:
    """Nodes and weights of Gauss and Legendre from 0 to 1."""
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    return (nodes + 1) / 2, weights / 2


def _at(shares: Floats, values: Floats) -> Floats:
    """Values [n] of even shares of a whole, read at other shares of it."""
    return np.interp(shares, (np.arange(len(values)) + 0.5) / len(values), values)
