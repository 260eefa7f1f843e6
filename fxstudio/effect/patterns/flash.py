"""On and off at an even pace."""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self

from pydantic import Field

from fxstudio.documents.reading import changed
from fxstudio.effect.patterns.pattern import SECONDS, SHARE, Lowest, Ranged, toward
from fxstudio.effect.patterns.timeline import Timeline, Wave

SLOWEST_PACE: Final = 4.0
"""How many times longer than it was the time between flashes may be made to calm them."""


class Flash(Ranged):
    """On and off at its own even pace: a warning lamp."""

    kind: Literal["flash"] = "flash"
    lowest: Lowest = Field(0.0, description="Brightness between flashes, 0 dark to 1 full.")
    period_s: Annotated[float, Field(ge=0.1, le=60, json_schema_extra=SECONDS)] = Field(
        1.0,
        title="time from flash to flash",
        description="Time from one flash to the next in seconds.",
    )
    on_share: Annotated[float, Field(gt=0, lt=1, json_schema_extra=SHARE)] = Field(
        0.5,
        title="bright share of a flash",
        description="Share of the period that is bright, between 0 and 1.",
    )
    start_share: Annotated[float, Field(ge=0, lt=1, json_schema_extra=SHARE)] = Field(
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
