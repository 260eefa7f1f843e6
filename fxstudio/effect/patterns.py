"""Patterns: how bright one lamp is over time.

A pattern is one frozen class with a `wave` method and one row in `PATTERNS`; the file
format, the help, the checks and the window's controls follow from its fields. `wave` fills a
whole loop at once and is periodic over it by construction, so a film has no seam.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, field
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.effect.motion import beats_per_second
from fxstudio.effect.signals import beta22_quantile, circular_ar1, lag, normal_to_beta22
from fxstudio.units import percent

Floats = NDArray[np.floating]

FROZEN = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)
"""Every model of a file: nothing unknown, nothing converted in silence, nothing changed later."""

ASSUMED_BEAT_RISE_S = 0.03
"""How fast a blast lifts the fire; chosen by eye."""


@dataclass(frozen=True)
class Fitted:
    """Something rounded so that it fits the loop a whole number of times."""

    what: str
    asked: float
    used: float
    unit: str

    def __str__(self) -> str:
        return f"{self.what}: {self.asked:.4g} {self.unit} asked, {self.used:.4g} {self.unit} used"


@dataclass(frozen=True)
class Timeline:
    """What a pattern may know: one loop on an even grid.

    Parameters
    ----------
    loop_s : length of the loop in s
    rate_hz : the effect's shared flicker rate in Hz
    lit : bool [n], whether key and travel let the lamp shine
    speed_kmh : [n], speed of the full-size locomotive in km/h
    rng : the lamp's own random generator
    fitted : filled by patterns with what they rounded
    """

    loop_s: float
    rate_hz: float
    lit: NDArray[np.bool_]
    speed_kmh: Floats
    rng: np.random.Generator
    fitted: list[Fitted] = field(default_factory=list)

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

    def whole_cycles(self, what: str, rate_hz: float) -> int:
        """The whole number of cycles of `rate_hz` nearest to the loop, at least one; noted."""
        cycles = max(1, round(self.loop_s * rate_hz))
        used = cycles / self.loop_s
        if abs(used - rate_hz) > 1e-9 * rate_hz:
            self.fitted.append(Fitted(what, rate_hz, used, "Hz"))
        return cycles


Level = Annotated[float, Field(ge=0, le=1)]


class Pattern(BaseModel, ABC):
    """Base of all patterns; one has `kind`, its fields, `brightest`, `wave` and `summary`."""

    model_config = FROZEN

    @property
    def flickers(self) -> bool:
        """Whether its light follows the effect's shared rate."""
        return False

    @property
    @abstractmethod
    def brightest(self) -> float:
        """Brightest brightness it reaches, 0 dark to 1 full."""

    @property
    def is_dark(self) -> bool:
        """Whether it never gives any light."""
        return self.brightest == 0

    @property
    def mean(self) -> float:
        """Mean brightness 0..1 while lit."""
        return self.brightest

    @property
    def course(self) -> str:
        """The way its light goes, in a word or two."""
        return "steady light"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float | None:
        """Changes or repeats a second at a shared rate and a speed; None if it never does."""
        return None

    @abstractmethod
    def wave(self, timeline: Timeline) -> Floats:
        """Brightness [n] 0..1 of a lamp that is lit throughout."""

    def spread(self, timeline: Timeline) -> Floats:
        """Brightness [n] that the lamp has in even shares of the time it is lit, in any order.

        The light itself, if nothing is random in it and the loop holds whole cycles.
        """
        return self.wave(timeline)

    @abstractmethod
    def summary(self) -> str:
        """The pattern in a few words."""

    def light(self, timeline: Timeline) -> Floats:
        """Brightness [n] 0..1, dark where the lamp is not lit."""
        return np.where(timeline.lit, self.wave(timeline), 0.0)


class Ranged(Pattern):
    """A pattern that moves between a lowest and a highest brightness."""

    lowest: Level = Field(0.1, description="Darkest brightness, 0 dark to 1 full.")
    highest: Level = Field(1.0, description="Brightest brightness, 0 dark to 1 full.")

    @model_validator(mode="after")
    def _ordered(self) -> Ranged:
        if self.lowest > self.highest:
            raise PydanticCustomError(
                "order", f"lowest is {self.lowest} and highest is {self.highest}: swap them"
            )
        return self

    @property
    def brightest(self) -> float:
        """Its highest brightness."""
        return self.highest

    @property
    def mean(self) -> float:
        """Midway, as of any even or symmetrical spread; for beats it depends on the speed."""
        return float(self.between(0.5))

    def between(self, share: Floats | float) -> Floats | float:
        """Brightness for shares 0..1 of the way from lowest to highest."""
        return self.lowest + (self.highest - self.lowest) * share

    def range_text(self) -> str:
        """`10 % to 100 %`."""
        return f"{percent(self.lowest)} to {percent(self.highest)}"


class Steady(Pattern):
    """One brightness: the bed of a fire, a lamp."""

    kind: Literal["steady"] = "steady"
    level: Level = Field(1.0, description="Brightness, 0 dark to 1 full.")

    @property
    def brightest(self) -> float:
        """Its level."""
        return self.level

    def wave(self, timeline: Timeline) -> Floats:
        """The level, [n]."""
        return np.full(timeline.count, self.level)

    def summary(self) -> str:
        """In words."""
        return f"steady at {percent(self.level)}"


class Flicker(Ranged):
    """Random brightness at the effect's shared rate.

    `hold` draws a new even-spread level at each tick and keeps it, as simple decoders do.
    `smooth` is a stationary first-order autoregressive process (sampled Ornstein-Uhlenbeck)
    with a beta(2, 2) spread of levels. Its time constant is half a tick, which gives both
    styles the same correlation time at one rate.
    """

    kind: Literal["flicker"] = "flicker"
    style: Literal["hold", "smooth"] = Field(
        "smooth",
        description="hold: a new level at each tick, as simple decoders do; smooth: it drifts.",
    )

    @property
    def course(self) -> str:
        """Its style."""
        return f"{self.style} flicker"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float:
        """The shared rate."""
        return rate_hz

    @property
    def flickers(self) -> bool:
        """Unless its lowest and its highest are one brightness."""
        return self.lowest < self.highest

    def wave(self, timeline: Timeline) -> Floats:
        """Random brightness [n], periodic over the loop."""
        draw = {"hold": held_noise, "smooth": drifting_noise}[self.style]
        return self.between(draw(timeline))

    def spread(self, timeline: Timeline) -> Floats:
        """The quantiles [n] of its levels: what any loop comes near to, whatever its chance."""
        shares = (np.arange(timeline.count) + 0.5) / timeline.count
        return self.between(shares if self.style == "hold" else beta22_quantile(shares))

    def summary(self) -> str:
        """In words."""
        return f"{self.course}, {self.range_text()}"


class Flash(Ranged):
    """On and off at its own even pace: a warning lamp."""

    kind: Literal["flash"] = "flash"
    lowest: Level = Field(0.0, description="Brightness between flashes, 0 dark to 1 full.")
    period_s: Annotated[float, Field(ge=0.1, le=60)] = Field(
        1.0, description="Time from one flash to the next in seconds."
    )
    on_share: Annotated[float, Field(gt=0, lt=1)] = Field(
        0.5, description="Share of the period that is bright, between 0 and 1."
    )
    start_share: Annotated[float, Field(ge=0, lt=1)] = Field(
        0.0, description="Where in the period it begins: 0.5 alternates with 0."
    )

    @property
    def mean(self) -> float:
        """By the share of the period that is bright."""
        return float(self.between(self.on_share))

    @property
    def course(self) -> str:
        """In words."""
        return "even flashes"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float:
        """Flashes a second."""
        return 1 / self.period_s

    def wave(self, timeline: Timeline) -> Floats:
        """Rectangles [n], a whole number of periods in the loop."""
        cycles = timeline.whole_cycles("flashes a second", 1 / self.period_s)
        phase = (timeline.times_s * cycles / timeline.loop_s + self.start_share) % 1.0
        return self.between((phase < self.on_share).astype(float))

    def summary(self) -> str:
        """In words."""
        return f"flash every {self.period_s:.3g} s, {self.range_text()}"


class Beat(Ranged):
    """Brightens with each exhaust beat, as the blast draws the fire; rests when standing.

    Each beat kindles the glow to its highest, and from there it falls until the next: the
    quicker the beats, the less it falls between two of them.
    """

    kind: Literal["beat"] = "beat"
    lowest: Level = Field(0.3, description="Brightness between beats and standing, 0 to 1.")
    wheel_m: Annotated[float, Field(ge=0.3, le=3.0)] = Field(
        1.4, description="Driving-wheel diameter of the full-size locomotive in metres."
    )
    beats_per_turn: Annotated[int, Field(ge=1, le=12)] = Field(
        4, description="Exhaust beats in one turn of the wheels: 4 with two cylinders."
    )
    fall_s: Annotated[float, Field(ge=0.01, le=5)] = Field(
        0.15, description="Time in seconds in which the glow of a beat falls to about a third."
    )

    @property
    def course(self) -> str:
        """In words."""
        return "exhaust beats"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float | None:
        """Beats a second; None standing."""
        return float(beats_per_second(speed_kmh, self.wheel_m, self.beats_per_turn)) or None

    def wave(self, timeline: Timeline) -> Floats:
        """Beats [n] at the pace of the wheels; their number fitted to the loop."""
        pace = beats_per_second(timeline.speed_kmh, self.wheel_m, self.beats_per_turn)
        total = pace.sum() * timeline.step_s
        if total == 0:
            return self.between(np.zeros(timeline.count))
        cycles = timeline.whole_cycles("beats a second", total / timeline.loop_s)
        turned = np.concatenate([[0.0], np.cumsum(pace)]) * (cycles / pace.sum())
        starts_s = timeline.times_s[np.diff(np.floor(turned + 0.5)) > 0]
        # The same beats in the loops before and after: the loop has no seam.
        loops = timeline.loop_s * np.arange(-2, 2)
        starts_s = (loops[:, None] + starts_s).ravel()
        peaked = np.searchsorted(starts_s, timeline.times_s - ASSUMED_BEAT_RISE_S, "right") - 1
        since_peak_s = timeline.times_s - ASSUMED_BEAT_RISE_S - starts_s[peaked]
        falling = np.exp(-since_peak_s / self.fall_s)
        rising = (timeline.times_s - starts_s[peaked + 1]) / ASSUMED_BEAT_RISE_S
        return self.between(np.maximum(falling, rising))

    def summary(self) -> str:
        """In words."""
        return f"exhaust beat, {self.range_text()}"


class Filament(Pattern):
    """Steady, but comes up and dies away slowly, as a filament lamp does."""

    kind: Literal["filament"] = "filament"
    level: Level = Field(1.0, description="Brightness when fully up, 0 dark to 1 full.")
    rise_s: Annotated[float, Field(ge=0, le=30)] = Field(
        0.3, description="Time in seconds to come up to about two thirds."
    )
    fall_s: Annotated[float, Field(ge=0, le=30)] = Field(
        0.5, description="Time in seconds to die away to about one third."
    )

    @property
    def brightest(self) -> float:
        """Its level."""
        return self.level

    def wave(self, timeline: Timeline) -> Floats:
        """The level, [n]."""
        return np.full(timeline.count, self.level)

    def light(self, timeline: Timeline) -> Floats:
        """First-order lag [n] behind key and travel, periodic over the loop."""
        return self.level * lag(timeline.lit, timeline.step_s, self.rise_s, self.fall_s)

    def summary(self) -> str:
        """In words."""
        return f"steady at {percent(self.level)}, up and down slowly"


PATTERNS: tuple[type[Pattern], ...] = (Steady, Flicker, Flash, Beat, Filament)
"""All patterns, in the order in which help lists them. A new one is added here."""

KINDS: dict[str, type[Pattern]] = {row.model_fields["kind"].default: row for row in PATTERNS}


def held_noise(timeline: Timeline) -> Floats:
    """Even-spread levels [n] in 0..1, each held for one tick of the shared rate."""
    ticks = timeline.whole_cycles("flicker rate", timeline.rate_hz)
    levels = timeline.rng.random(ticks)
    tick = np.floor(np.arange(timeline.count) * ticks / timeline.count).astype(int)
    return levels[tick]


def drifting_noise(timeline: Timeline) -> Floats:
    """Autoregressive levels [n] in 0..1 with a beta(2, 2) spread, periodic over the loop."""
    time_constant_s = 0.5 / timeline.rate_hz
    gauss = circular_ar1(timeline.rng, timeline.count, timeline.step_s, time_constant_s)
    return np.interp(gauss, *normal_to_beta22())
