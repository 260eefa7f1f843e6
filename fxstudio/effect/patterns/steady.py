"""Patterns of one brightness."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from fxstudio.documents.models import Asked
from fxstudio.effect.patterns.pattern import SECONDS, Brightness, Pattern
from fxstudio.effect.patterns.signals import lag
from fxstudio.effect.patterns.timeline import Timeline, Wave
from fxstudio.units import percent


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
