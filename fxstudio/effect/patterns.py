"""Patterns: how bright one lamp is over time.

A pattern is one frozen class with a `wave` method and one row in `PATTERNS`; the file
format, the help, the checks, the interview and the window's controls follow from its fields.
`wave` fills a whole loop at once and is periodic over it by construction, so a film has no seam.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar, Final, Literal, Self, overload

import numpy as np
from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.arrays import Bools, Floats
from fxstudio.documents.models import Asked, FileModel
from fxstudio.documents.reading import changed
from fxstudio.effect.motion import beats_per_second
from fxstudio.effect.signals import beta22_quantile, circular_ar1, lag, normal_to_beta22
from fxstudio.units import percent

ASSUMED_BEAT_RISE_S = 0.03
"""How fast a blast lifts the fire; chosen by eye."""

SLOWEST_PACE: Final = 4.0
"""How many times longer than it was the time between flashes may be made to calm them."""

SLOWEST_FALL_S: Final = 1.0
"""How long the glow of a beat may be made to fall to calm it."""


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


LIGHT: Final = {"unit": "light"}
SHARE: Final = {"unit": "share"}
SECONDS: Final = {"unit": "s"}

Level = Annotated[float, Field(ge=0, le=1)]
Brightness = Annotated[float, Field(ge=0, le=1, title="brightness", json_schema_extra=LIGHT)]
Lowest = Annotated[
    float,
    Field(ge=0, le=1, title="lowest brightness", json_schema_extra=LIGHT),
    Asked(
        "How dark does it get? 0 is dark, 1 is full.",
        "compare its darkest moment with its brightest by eye.",
    ),
]
Highest = Annotated[float, Field(ge=0, le=1, title="highest brightness", json_schema_extra=LIGHT)]


class Pattern(FileModel, ABC):
    """Base of all patterns; one has `kind`, its fields, `brightest`, `wave` and `summary`.

    A field has its title and its unit, and how the interview asks for it. All else has a
    default: a pattern says more where it differs from a steady light.
    """

    if TYPE_CHECKING:
        kind: str
    called: ClassVar[str] = ""
    """What a modeller calls it, where that is not its kind."""

    @property
    def flickers(self) -> bool:
        """Whether its light follows the effect's shared rate."""
        return False

    @property
    @abstractmethod
    def brightest(self) -> float:
        """Brightest brightness it reaches, 0 dark to 1 full."""

    rests_at_lowest: ClassVar[bool] = False
    """Whether a locomotive that stands shows its lowest brightness only."""

    @property
    def is_dark(self) -> bool:
        """Whether it never gives any light."""
        return self.brightest == 0

    @property
    def is_dark_standing(self) -> bool:
        """Whether it gives no light while the locomotive stands."""
        return self.is_dark

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

    def shallower(self, share: float) -> Self:
        """It with a share 0..1 less of its swing; at 1 it stands still."""
        return self

    def slower(self, share: float) -> Self:
        """It with a share 0..1 of the way to the slowest that still looks like it."""
        return self

    def smoother(self) -> Self:
        """It without jumps, if it can go without."""
        return self

    @abstractmethod
    def wave(self, timeline: Timeline) -> Wave:
        """The light of a lamp that is lit throughout."""

    def spread(self, timeline: Timeline) -> Floats:
        """Brightness [n] that the lamp has in even shares of the time it is lit, in any order.

        The light itself, if nothing is random in it and the loop holds whole cycles.
        """
        return self.wave(timeline).brightness

    @abstractmethod
    def summary(self) -> str:
        """The pattern in a few words."""

    def light(self, timeline: Timeline) -> Wave:
        """Its light, dark where the lamp is not lit."""
        wave = self.wave(timeline)
        return Wave(np.where(timeline.lit, wave.brightness, 0.0), wave.fitted)


class Ranged(Pattern):
    """A pattern that moves between a lowest and a highest brightness."""

    lowest: Lowest = Field(0.1, description="Darkest brightness, 0 dark to 1 full.")
    highest: Highest = Field(1.0, description="Brightest brightness, 0 dark to 1 full.")

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
        return self.between(0.5)

    def shallower(self, share: float) -> Self:
        """Nearer to the middle of its range."""
        middle = (self.lowest + self.highest) / 2
        half = (self.highest - self.lowest) / 2 * (1 - share)
        return changed(self, lowest=round(middle - half, 3), highest=round(middle + half, 3))

    @property
    def is_dark_standing(self) -> bool:
        """Whether it gives no light while the locomotive stands."""
        return self.is_dark or (self.rests_at_lowest and self.lowest == 0)

    @overload
    def between(self, share: float) -> float: ...
    @overload
    def between(self, share: Floats) -> Floats: ...
    def between(self, share: Floats | float) -> Floats | float:
        """Brightness for shares 0..1 of the way from lowest to highest."""
        return self.lowest + (self.highest - self.lowest) * share

    def range_text(self) -> str:
        """`10 % to 100 %`."""
        return f"{percent(self.lowest)} to {percent(self.highest)}"


class Steady(Pattern):
    """One brightness: the bed of a fire, a lamp."""

    kind: Literal["steady"] = "steady"
    level: Brightness = Field(1.0, description="Brightness, 0 dark to 1 full.")

    @property
    def brightest(self) -> float:
        """Its level."""
        return self.level

    def wave(self, timeline: Timeline) -> Wave:
        """Its level throughout."""
        return Wave(np.full(timeline.count, self.level))

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
    style: Annotated[
        Literal["hold", "smooth"],
        Asked(
            "Does the brightness jump from level to level, or drift between them?",
            "watch the lamp.",
            usual="hold",
            choices=(
                ("hold", "it jumps and stays until the next jump, as simple decoders do"),
                ("smooth", "it drifts"),
            ),
        ),
    ] = Field(
        "smooth",
        title="flicker style",
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

    def smoother(self) -> Self:
        """One that jumps made to drift."""
        return changed(self, style="smooth")

    def wave(self, timeline: Timeline) -> Wave:
        """Random brightness, periodic over the loop."""
        noise = {"hold": held_noise, "smooth": drifting_noise}[self.style](timeline)
        return Wave(self.between(noise.brightness), noise.fitted)

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
    lowest: Lowest = Field(0.0, description="Brightness between flashes, 0 dark to 1 full.")
    period_s: Annotated[
        float,
        Field(ge=0.1, le=60, json_schema_extra=SECONDS),
        Asked(
            "How many seconds is it from one flash to the next?",
            "time ten flashes and divide by ten.",
        ),
    ] = Field(
        1.0,
        title="time from flash to flash",
        description="Time from one flash to the next in seconds.",
    )
    on_share: Annotated[
        float,
        Field(gt=0, lt=1, json_schema_extra=SHARE),
        Asked(
            "What share of that time is it bright? 0.5 is half of it.",
            "press Enter if on and off look equally long.",
        ),
    ] = Field(
        0.5,
        title="bright share of a flash",
        description="Share of the period that is bright, between 0 and 1.",
    )
    start_share: Annotated[
        float,
        Field(ge=0, lt=1, json_schema_extra=SHARE),
        Asked("Where in that time does it begin? 0.5 alternates with one that begins at 0."),
    ] = Field(
        0.0,
        title="start of the flash",
        description="Where in the period it begins: 0.5 alternates with 0.",
    )

    @property
    def mean(self) -> float:
        """By the share of the period that is bright."""
        return self.between(self.on_share)

    @property
    def course(self) -> str:
        """In words."""
        return "even flashes"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float:
        """Flashes a second."""
        return 1 / self.period_s

    def slower(self, share: float) -> Self:
        """A longer time from flash to flash."""
        slowest_s = min(60.0, self.period_s * SLOWEST_PACE)
        return changed(self, period_s=toward(self.period_s, slowest_s, share))

    def wave(self, timeline: Timeline) -> Wave:
        """Rectangles, a whole number of periods in the loop."""
        cycles, fitted = timeline.whole_cycles("flashes a second", 1 / self.period_s)
        phase = (timeline.times_s * cycles / timeline.loop_s + self.start_share) % 1.0
        return Wave(self.between((phase < self.on_share).astype(float)), fitted)

    def summary(self) -> str:
        """In words."""
        return f"flash every {self.period_s:.3g} s, {self.range_text()}"


class Beat(Ranged):
    """Brightens with each exhaust beat, as the blast draws the fire; rests when standing.

    Each beat kindles the glow to its highest, and from there it falls until the next: the
    quicker the beats, the less it falls between two of them.
    """

    rests_at_lowest: ClassVar[bool] = True
    kind: Literal["beat"] = "beat"
    called: ClassVar[str] = "exhaust beat"
    lowest: Lowest = Field(0.3, description="Brightness between beats and standing, 0 to 1.")
    wheel_m: Annotated[
        float,
        Field(ge=0.3, le=3.0, json_schema_extra={"unit": "m"}),
        Asked("What diameter does it assume for the driving wheel, in metres?"),
    ] = Field(
        1.4,
        title="driving-wheel diameter",
        description="Driving-wheel diameter of the full-size locomotive in metres.",
    )
    beats_per_turn: Annotated[
        int,
        Field(ge=1, le=12),
        Asked("How many beats does one turn of the wheels make? 4 with two cylinders."),
    ] = Field(
        4,
        title="beats in one turn of the wheels",
        description="Exhaust beats in one turn of the wheels: 4 with two cylinders.",
    )
    fall_s: Annotated[
        float,
        Field(ge=0.01, le=5, json_schema_extra=SECONDS),
        Asked("In how many seconds does it fall to about a third?", "time it by eye."),
    ] = Field(
        0.15,
        title="time to die away",
        description="Time in seconds in which the glow of a beat falls to about a third.",
    )

    @property
    def course(self) -> str:
        """In words."""
        return "exhaust beats"

    def changes_hz(self, rate_hz: float, speed_kmh: float) -> float | None:
        """Beats a second; None standing."""
        return float(beats_per_second(speed_kmh, self.wheel_m, self.beats_per_turn)) or None

    def slower(self, share: float) -> Self:
        """A glow that takes longer to fall."""
        slowest_s = max(self.fall_s, SLOWEST_FALL_S)
        return changed(self, fall_s=toward(self.fall_s, slowest_s, share))

    def wave(self, timeline: Timeline) -> Wave:
        """Beats at the pace of the wheels; their number fitted to the loop."""
        pace = beats_per_second(timeline.speed_kmh, self.wheel_m, self.beats_per_turn)
        total = pace.sum() * timeline.step_s
        if total == 0:
            return Wave(self.between(np.zeros(timeline.count)))
        cycles, fitted = timeline.whole_cycles("beats a second", total / timeline.loop_s)
        turned = np.concatenate([[0.0], np.cumsum(pace)]) * (cycles / pace.sum())
        starts_s = timeline.times_s[np.diff(np.floor(turned + 0.5)) > 0]
        # The same beats in the loops before and after: the loop has no seam.
        loops = timeline.loop_s * np.arange(-2, 2)
        starts_s = (loops[:, None] + starts_s).ravel()
        peaked = np.searchsorted(starts_s, timeline.times_s - ASSUMED_BEAT_RISE_S, "right") - 1
        since_peak_s = timeline.times_s - ASSUMED_BEAT_RISE_S - starts_s[peaked]
        falling = np.exp(-since_peak_s / self.fall_s)
        rising = (timeline.times_s - starts_s[peaked + 1]) / ASSUMED_BEAT_RISE_S
        return Wave(self.between(np.maximum(falling, rising)), fitted)

    def summary(self) -> str:
        """In words."""
        return f"exhaust beat, {self.range_text()}"


class Filament(Pattern):
    """Steady, but comes up and dies away slowly, as a filament lamp does."""

    kind: Literal["filament"] = "filament"
    called: ClassVar[str] = "slow lamp"
    level: Brightness = Field(1.0, description="Brightness when fully up, 0 dark to 1 full.")
    rise_s: Annotated[
        float,
        Field(ge=0, le=30, json_schema_extra=SECONDS),
        Asked("In how many seconds does it come up to about two thirds?", "time it by eye."),
    ] = Field(
        0.3,
        title="time to come up",
        description="Time in seconds to come up to about two thirds.",
    )
    fall_s: Annotated[
        float,
        Field(ge=0, le=30, json_schema_extra=SECONDS),
        Asked("In how many seconds does it fall to about a third?", "time it by eye."),
    ] = Field(
        0.5,
        title="time to die away",
        description="Time in seconds to die away to about one third.",
    )

    @property
    def brightest(self) -> float:
        """Its level."""
        return self.level

    def wave(self, timeline: Timeline) -> Wave:
        """Its level throughout."""
        return Wave(np.full(timeline.count, self.level))

    def light(self, timeline: Timeline) -> Wave:
        """First-order lag behind key and travel, periodic over the loop."""
        followed = lag(timeline.lit, timeline.step_s, self.rise_s, self.fall_s)
        return Wave(self.level * followed)

    def summary(self) -> str:
        """In words."""
        return f"steady at {percent(self.level)}, up and down slowly"


PATTERNS: tuple[type[Pattern], ...] = (Steady, Flicker, Flash, Beat, Filament)
"""All patterns, in the order in which help lists them. A new one is added here."""

KINDS: dict[str, type[Pattern]] = {row.model_fields["kind"].default: row for row in PATTERNS}


def toward(value: float, end: float, share: float) -> float:
    """From `value` to `end` in even ratios, a share 0..1 of the way; three digits."""
    return float(f"{value * (end / value) ** share:.3g}")


def held_noise(timeline: Timeline) -> Wave:
    """Even-spread levels in 0..1, each held for one tick of the shared rate."""
    ticks, fitted = timeline.whole_cycles("flicker rate", timeline.rate_hz)
    levels = timeline.rng.random(ticks)
    tick = np.floor(np.arange(timeline.count) * ticks / timeline.count).astype(int)
    return Wave(levels[tick], fitted)


def drifting_noise(timeline: Timeline) -> Wave:
    """Autoregressive levels in 0..1 with a beta(2, 2) spread, periodic over the loop."""
    time_constant_s = 0.5 / timeline.rate_hz
    gauss = circular_ar1(timeline.rng, timeline.count, timeline.step_s, time_constant_s)
    return Wave(np.interp(gauss, *normal_to_beta22()))
