"""How different two effects look, measured on their light and not by comparing fields.

Every lamp of both is lit throughout and its lightness L* over time is measured; then its key
goes on and off; then its truth table is compared. What differs is summed into one number, from
0, alike, to 1, nothing left of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fxstudio.colour import lightness
from fxstudio.effect.drive import Drive, Step
from fxstudio.effect.gate import Gate, every_moment
from fxstudio.effect.model import Effect, Lamp
from fxstudio.light.simulation import Simulation
from fxstudio.units import hz

FORGOTTEN: Final = 0.2
"""Correlation at which the light counts as changed. A level held for a time T has come down
to it after 0.8 T (1 - t/T), a drift with half of T as its time constant after 0.805 T
(exp(-2 t/T)): both styles of flicker then measure the same at one rate."""

REPEATS: Final = 0.9
"""Correlation from which on a light counts as coming back to what it was. No flicker does."""

TICKS: Final = 1000
"""Changes of the slowest lamp that are measured; chance is then about 1 L* and 5 % of a rate."""
SHORTEST_S, LONGEST_S = 10.0, 600.0

SWITCHED: Final = Drive(
    length_s=8.0,
    steps=(
        Step(at_s=0.0, travel="forward", speed_kmh=20.0, keys=("F0",)),
        Step(at_s=4.0, keys=()),
    ),
)
"""The key goes on, and off after 4 s. The speed makes exhaust beats."""

ASSUMED_STEADY = 0.5
"""Modulation in L* below which nobody sees a rate."""
ASSUMED_WEIGHTS: Final = {"level": 0.01, "modulation": 0.01, "switching": 0.0025, "gating": 1.0}
"""What one L*, or one share of all states, takes from a lamp. Switching is short, so it
weighs a quarter. Levels over all L* and a lamp that is never lit cost all of it."""
ASSUMED_OCTAVE = 0.25
"""What one octave of rate takes from a lamp that swings over all L*; less in proportion."""
ASSUMED_NOTICED, ASSUMED_NOTICED_OCTAVES = 2.0, 0.2
"""L* and octaves from which on a difference is told; less is within the chance."""


@dataclass(frozen=True)
class Look:
    """How one lamp looks, measured on its light.

    level : mean lightness L* while lit, 0..100
    modulation : twice the standard deviation of L* while lit: the whole swing of an even flash
    rate_hz : repeats a second of a light that repeats, else the rate of the flicker that changes
        as quickly; None for a lamp that looks steady
    switching : L* by which it lags behind its key, mean of the second after it goes on and the
        second after it goes off
    """

    level: float
    modulation: float
    rate_hz: float | None
    switching: float


DARK: Final = Look(0.0, 0.0, None, 0.0)


@dataclass(frozen=True)
class LampDifference:
    """One lamp in both effects.

    gating : share of all states of key and travel in which only one of the two is lit
    lit_by : key and travel in words, of the one that is asked and the one that is seen
    """

    name: str
    asked: Look
    seen: Look
    gating: float
    lit_by: tuple[str, str] = ("", "")

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
        """What is lost of the lamp, 0..1."""
        parts = sum(abs(getattr(self, name)) * each for name, each in ASSUMED_WEIGHTS.items())
        swing = min(self.asked.modulation, self.seen.modulation) / 100
        return min(1.0, parts + min(1.0, ASSUMED_OCTAVE * abs(self.octaves)) * swing)

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
        if abs(self.octaves) >= ASSUMED_NOTICED_OCTAVES:
            yield f"changes at {hz(self.seen.rate_hz)} instead of {hz(self.asked.rate_hz)}"
        if self.gating:
            asked, seen = self.lit_by
            yield f"{seen}, instead of {asked}"


@dataclass(frozen=True)
class Likeness:
    """Two effects compared lamp by lamp."""

    lamps: tuple[LampDifference, ...]

    @property
    def lost(self) -> float:
        """Mean of what is lost of each lamp, 0..1."""
        return sum(lamp.lost for lamp in self.lamps) / len(self.lamps)


def compare(asked: Effect, seen: Effect, seed: int = 1) -> Likeness:
    """How different `seen` looks from `asked`; lamps go by their names.

    A lamp that only one of the two has is dark in the other. The same seed gives the same
    numbers, and equal lamps of equal rates differ by nothing at all.
    """
    loop_s = _loop_s(asked, seen)
    looks = [measure(effect, loop_s, seed) for effect in (asked, seen)]
    return Likeness(
        tuple(
            LampDifference(
                name,
                looks[0].get(name, DARK),
                looks[1].get(name, DARK),
                _gating(asked.lamps.get(name), seen.lamps.get(name)),
                (_lit_by(asked.lamps.get(name)), _lit_by(seen.lamps.get(name))),
            )
            for name in dict.fromkeys([*asked.lamps, *seen.lamps])
        )
    )


def measure(effect: Effect, loop_s: float, seed: int = 1) -> dict[str, Look]:
    """The look of every lamp by name, measured over `loop_s` seconds of light."""
    freed = {"key": "F0", "travel": "both"}  # each lamp by itself, its gating left aside
    lamps = {name: lamp.model_copy(update=freed) for name, lamp in effect.lamps.items()}
    effect = effect.model_copy(update={"lamps": lamps})
    light = lightness(Simulation(effect, _always_on(loop_s), seed).loop.light)
    lags = _lag(effect, seed)
    return {
        name: Look(
            level=float(light[:, column].mean()),
            modulation=(swing := 2 * float(light[:, column].std())),
            rate_hz=rate(light[:, column], loop_s) if swing > ASSUMED_STEADY else None,
            switching=float(lags[column]),
        )
        for column, name in enumerate(lamps)
    }


def rate(light: NDArray[np.floating], loop_s: float) -> float:
    """Rate in Hz of a signal [n] that is periodic over `loop_s`, from its autocorrelation.

    One that comes back to `REPEATS`, as flashes and beats do, has the rate of its period. A
    random one has 0.8 divided by the time in which the correlation falls to `FORGOTTEN`.
    """
    power = np.abs(np.fft.rfft(light - light.mean())) ** 2
    correlation = np.fft.irfft(power, n=len(light))
    correlation /= correlation[0]
    after = int(np.argmax(correlation < FORGOTTEN))
    later = correlation[after : len(light) // 2 + 1]
    if (later > REPEATS).any():
        first = int(np.argmax(later > REPEATS))
        width = int(np.argmin(later[first:] > REPEATS)) or len(later)
        period = after + first + int(np.argmax(later[first : first + width]))
        return len(light) / (period * loop_s)
    high, low = correlation[after - 1], correlation[after]
    lag = after - 1 + (high - FORGOTTEN) / (high - low)
    return float((1 - FORGOTTEN) / (lag * loop_s / len(light)))


def _always_on(length_s: float) -> Drive:
    step = Step(travel="forward", speed_kmh=20.0, keys=("F0",))
    return Drive(length_s=length_s, steps=(step,))


def _loop_s(*effects: Effect) -> float:
    """Seconds that hold enough changes of the slowest lamp."""
    slowest_s = 0.0
    for effect in effects:
        for lamp in effect.lamps.values():
            if lamp.pattern.flickers:
                slowest_s = max(slowest_s, 1 / effect.rate_hz)
            slowest_s = max(slowest_s, getattr(lamp.pattern, "period_s", 0.0))
    return round(float(np.clip(TICKS * slowest_s, SHORTEST_S, LONGEST_S)), 2)


def _lag(effect: Effect, seed: int) -> NDArray[np.floating]:
    """Mean L* [lamps] by which light and key differ in the second after each change.

    What the pattern does by itself cancels out, as both loops have the same random numbers.
    """
    switched = Simulation(effect, SWITCHED, seed).loop
    throughout = lightness(Simulation(effect, _always_on(SWITCHED.length_s), seed).loop.light)
    ideal = np.where(switched.lit, throughout, 0.0)
    off_s = SWITCHED.steps[1].at_s
    second = (switched.times_s % off_s) < 1.0
    return np.abs(lightness(switched.light) - ideal)[second].mean(axis=0)


def _lit_by(lamp: Lamp | None) -> str:
    return (lamp.shining if lamp else Gate()).words()


def _gating(asked: Lamp | None, seen: Lamp | None) -> float:
    """Share of the states of the keys concerned, both directions, and motion, that differ."""
    gates = [lamp.shining if lamp else Gate() for lamp in (asked, seen)]
    one, other = gates
    return float(np.mean([one.lit_at(now) != other.lit_at(now) for now in every_moment(gates)]))
