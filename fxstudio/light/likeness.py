"""How different two effects look, by the light that their patterns give.

Of every lamp: how bright it is while lit, how far it swings, which course its light takes and how
often it changes; how it follows its key; and when it is lit. What differs is summed into one
number, from 0, alike, to 1, nothing left of it. Nothing in it is left to chance: rates and courses
are those of the patterns, and the lightness of a random light is that of its whole distribution,
so that neither the name of a lamp nor the length of a film moves a verdict.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import ceil
from typing import Final

import numpy as np

from fxstudio.arrays import Bools, Floats
from fxstudio.colour import lightness
from fxstudio.effect.gate import Gate, every_state
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import Pattern, Timeline
from fxstudio.units import hz

ASSUMED_SPEED_KMH = 20.0
"""Speed at which exhaust beats are compared; its pace differs, and its depth, at others."""

POINTS = 2400
"""Points of light that are looked at for one pattern: shares of a period are then right to
1/2400, which is 0.05 L* of a full flash."""

SHORTEST_S = 0.1
"""A loop of whole cycles is no shorter, for a beat rises in part of this."""

KEY_S: Final = 4.0
"""Seconds for which a key is on, and then off, to see how the light follows it."""

ASSUMED_STEADY = 0.5
"""Modulation in L* below which nobody sees a rate."""
ASSUMED_WEIGHTS: Final = {"level": 0.01, "modulation": 0.01, "switching": 0.0025, "gating": 1.0}
"""What one L*, or one share of all states, takes from a lamp. Switching is short, so it
weighs a quarter. Levels over all L* and a lamp that is never lit cost all of it."""
ASSUMED_OCTAVE, ASSUMED_COURSE = 0.25, 0.25
"""What one octave of rate, and another course, take from a lamp that swings over all L*; less in
proportion."""
ASSUMED_NOTICED, ASSUMED_NOTICED_OCTAVES = 2.0, 0.2
"""L* and octaves from which on a person notices a difference and it is told."""


@dataclass(frozen=True)
class Appearance:
    """How one lamp looks.

    level : mean lightness L* while lit, 0..100
    modulation : twice the standard deviation of L* while lit: the whole swing of an even flash
    course : the way its light goes, in words
    rate_hz : repeats a second of a light that repeats, changes a second of one that flickers;
        None for a lamp that looks steady
    switching : L* by which it lags behind its key, mean of the second after it goes on and the
        second after it goes off
    """

    level: float
    modulation: float
    course: str
    rate_hz: float | None
    switching: float


ALWAYS_AS_BRIGHT: Final = "as bright with any key"
"""What is said of a lamp that no key dims."""

DARK: Final = Appearance(0.0, 0.0, "darkness", None, 0.0)


@dataclass(frozen=True)
class LampDifference:
    """One lamp as it is asked and as it is seen.

    gating : share of all states of key and travel in which only one of the two is lit
    lit_by : key and travel in words, of the one that is asked and the one that is seen
    dimming : how much more is lost of it, or less, for keys that make it brighter or darker: mean
        of the states in which both are lit
    dimmed_by : keys and factors in words, of the one that is asked and the one that is seen
    """

    name: str
    asked: Appearance
    seen: Appearance
    gating: float = 0.0
    lit_by: tuple[str, str] = ("", "")
    dimming: float = 0.0
    dimmed_by: tuple[str, str] = ("", "")

    @property
    def level(self) -> float:
        """How much brighter it is seen than asked, in L*; negative if darker."""
        return self.seen.level - self.asked.level

    @property
    def modulation(self) -> float:
        """How much more it varies than asked, in L*; negative if less."""
        return self.seen.modulation - self.asked.modulation

    @property
    def switching(self) -> float:
        """How much more it lags behind its key than asked, in L*; negative if less."""
        return self.seen.switching - self.asked.switching

    @property
    def octaves(self) -> float:
        """How much faster it changes than asked, in octaves; 0 if one of the two is steady."""
        if self.asked.rate_hz is None or self.seen.rate_hz is None:
            return 0.0
        return float(np.log2(self.seen.rate_hz / self.asked.rate_hz))

    @property
    def lost(self) -> float:
        """What is lost of the lamp, 0..1; all of it if only one of the two is dark."""
        if (self.asked.level == 0) != (self.seen.level == 0):
            return 1.0
        parts: float = sum(
            abs(getattr(self, name)) * each for name, each in ASSUMED_WEIGHTS.items()
        )
        swing = min(self.asked.modulation, self.seen.modulation) / 100
        course = ASSUMED_COURSE * (self.asked.course != self.seen.course)
        look = min(1.0, ASSUMED_OCTAVE * abs(self.octaves) + course) * swing
        return min(1.0, max(0.0, parts + look + self.dimming))

    def words(self) -> tuple[str, ...]:
        """What a person would notice, each in a few words; empty if nothing."""
        if self.seen.level == 0 < self.asked.level:
            return ("stays dark",)
        return tuple(self._words())

    def _words(self) -> Iterator[str]:
        for name, more, less in (
            ("level", "brighter", "darker"),
            ("modulation", "varies more", "varies less"),
            ("switching", "slower after its key", "quicker after its key"),
        ):
            difference = getattr(self, name)
            if abs(difference) >= ASSUMED_NOTICED:
                yield f"{more if difference > 0 else less} by {abs(difference):.0f} L*"
        if self.asked.course != self.seen.course:
            yield f"{self.seen.course} instead of {self.asked.course}"
        was, now = self.asked.rate_hz, self.seen.rate_hz
        if was and now and abs(self.octaves) >= ASSUMED_NOTICED_OCTAVES:
            yield f"changes at {hz(now)} instead of {hz(was)}"
        if self.gating:
            asked, seen = self.lit_by
            yield f"{seen}, instead of {asked}"
        if self.dimmed_by[0] != self.dimmed_by[1]:
            asked, seen = (words or ALWAYS_AS_BRIGHT for words in self.dimmed_by)
            yield f"{seen}, instead of {asked}"


@dataclass(frozen=True)
class Likeness:
    """Two effects compared lamp by lamp."""

    lamps: tuple[LampDifference, ...]

    @property
    def lost(self) -> float:
        """Mean of what is lost of each lamp, 0..1."""
        return sum(lamp.lost for lamp in self.lamps) / len(self.lamps)


def compare(asked: Effect, seen: Effect) -> Likeness:
    """How different `seen` looks from `asked`; lamps go by their names.

    A lamp that only one of the two has is dark in the other.
    """
    names = dict.fromkeys([*asked.lamps, *seen.lamps])
    return Likeness(tuple(_difference(name, asked, seen) for name in names))


def _difference(name: str, asked: Effect, seen: Effect) -> LampDifference:
    wish, sight = asked.lamps.get(name), seen.lamps.get(name)
    gates = [lamp.shining if lamp else Gate() for lamp in (wish, sight)]
    return LampDifference(
        name,
        appearance(wish.pattern, asked.rate_of(name)) if wish else DARK,
        appearance(sight.pattern, seen.rate_of(name)) if sight else DARK,
        gates[0].unlike(gates[1]),
        (gates[0].words(), gates[1].words()),
        _dimming(wish, sight, asked.rate_of(name), seen.rate_of(name)) if wish and sight else 0.0,
        (_dimmed_by(wish), _dimmed_by(sight)),
    )


def _dimming(asked: Lamp, seen: Lamp, asked_hz: float, seen_hz: float) -> float:
    """How much more is lost, -1..1, than of the patterns as they are: mean of all states in which
    both are lit, each as bright as its keys make it.
    """
    if not (asked.dims.times or seen.dims.times):
        return 0.0
    states = every_state([*asked.keys, *seen.keys])
    both = asked.shining.lit(states) & seen.shining.lit(states)
    if not both.any():
        return 0.0
    times = np.stack([lamp.dims.at(states)[both] for lamp in (asked, seen)], axis=1)
    pairs, counts = np.unique(times, axis=0, return_counts=True)
    lost = [
        pattern_lost(asked.pattern.dimmed(one), seen.pattern.dimmed(other), asked_hz, seen_hz)
        for one, other in pairs.tolist()
    ]
    plain = pattern_lost(asked.pattern, seen.pattern, asked_hz, seen_hz)
    return float(np.average(lost, weights=counts)) - plain


def _dimmed_by(lamp: Lamp | None) -> str:
    return ", ".join(lamp.dims.words()) if lamp and not lamp.pattern.is_dark else ""


def pattern_lost(asked: Pattern, seen: Pattern, asked_hz: float, seen_hz: float) -> float:
    """What is lost, 0..1, of a lamp with one pattern that shows another, its gating left aside.

    Parameters
    ----------
    asked, seen : the two patterns
    asked_hz, seen_hz : the shared rate each of them has

    The measure that `move` and `suit` print for each lamp: mean lightness, swing, course, rate
    and how quickly it follows its key. The same for the same arguments, and quick: each pattern
    is looked at once. 1 if one of the two is dark and the other is not.
    """
    return LampDifference("", appearance(asked, asked_hz), appearance(seen, seen_hz)).lost


def appearance(pattern: Pattern, rate_hz: float) -> Appearance:
    """How a lamp with this pattern looks at a shared rate."""
    if pattern.is_dark:
        return DARK
    level, swing, lag = _light(pattern)
    varies = swing > ASSUMED_STEADY
    return Appearance(
        level=level,
        modulation=swing,
        course=pattern.course if varies else "steady light",
        rate_hz=pattern.changes_hz(rate_hz, ASSUMED_SPEED_KMH) if varies else None,
        switching=lag,
    )


@lru_cache(maxsize=4096)
def _light(pattern: Pattern) -> tuple[float, float, float]:
    """Mean L* of a pattern, twice its standard deviation, and the L* it lags behind its key."""
    shown = lightness(spread_of(pattern))
    switched, ideal = (lightness(light) for light in switched_light(pattern))
    return float(shown.mean()), 2 * float(shown.std()), float(np.abs(switched - ideal).mean())


def spread_of(pattern: Pattern) -> Floats:
    """Brightness [n] 0..1 that a pattern has in even shares of the time it is lit."""
    pace_hz = pattern.changes_hz(1.0, ASSUMED_SPEED_KMH) or 1.0
    whole_cycles_s = ceil(pace_hz * SHORTEST_S) / pace_hz
    return pattern.spread(_timeline(whole_cycles_s, np.ones(POINTS, bool)))


def switched_light(pattern: Pattern) -> tuple[Floats, Floats]:
    """Brightness [n] in the second after its key goes on and off, and without any lag."""
    seconds = np.arange(POINTS) * (2 * KEY_S / POINTS)
    on = seconds < KEY_S
    switched, throughout = (
        pattern.light(_timeline(2 * KEY_S, lit)).brightness for lit in (on, np.ones_like(on))
    )
    after = seconds % KEY_S < 1.0
    return switched[after], np.where(on, throughout, 0.0)[after]


def _timeline(loop_s: float, lit: Bools) -> Timeline:
    """A loop at `ASSUMED_SPEED_KMH` with the same random numbers every time."""
    speed = np.full(len(lit), ASSUMED_SPEED_KMH)
    return Timeline(loop_s, 1.0, lit, speed, np.random.default_rng(0))
