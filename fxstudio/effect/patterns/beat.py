"""Light that goes with the wheels."""

from __future__ import annotations

from typing import Annotated, ClassVar, Final, Literal, Self

import numpy as np
from pydantic import Field

from fxstudio.documents.models import Asked
from fxstudio.documents.reading import changed
from fxstudio.effect.patterns.motion import beats_per_second
from fxstudio.effect.patterns.pattern import SECONDS, Lowest, Ranged, toward
from fxstudio.effect.patterns.timeline import Timeline, Wave

ASSUMED_BEAT_RISE_S: Final = 0.03
"""How fast a blast lifts the fire; chosen by eye."""

SLOWEST_FALL_S: Final = 1.0
"""How long the glow of a beat may be made to fall to calm it."""


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
