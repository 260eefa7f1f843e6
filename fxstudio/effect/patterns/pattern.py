"""What every pattern has, and what those have that move between two brightnesses."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, Annotated, ClassVar, Final, Self, overload

import numpy as np
from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.arrays import Floats
from fxstudio.documents.models import FileModel, field_facts
from fxstudio.documents.reading import changed
from fxstudio.effect.patterns.timeline import Timeline, Wave
from fxstudio.units import percent

LIGHT: Final = {"unit": "light"}
SHARE: Final = {"unit": "share"}
SECONDS: Final = {"unit": "s"}

Level = Annotated[float, Field(ge=0, le=1)]
Brightness = Annotated[float, Field(ge=0, le=1, title="brightness", json_schema_extra=LIGHT)]
Lowest = Annotated[float, Field(ge=0, le=1, title="lowest brightness", json_schema_extra=LIGHT)]
Highest = Annotated[float, Field(ge=0, le=1, title="highest brightness", json_schema_extra=LIGHT)]


class Pattern(FileModel, ABC):
    """Base of all patterns; one has `kind`, its fields, `brightest`, `wave` and `summary`.

    A field has its title and its unit. All else has a default: a pattern says more where it
    differs from a steady light.
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

    def dimmed(self, times: float) -> Self:
        """It with all its brightnesses multiplied, up to full light."""
        light = {
            facts.name: min(1.0, getattr(self, facts.name) * times)
            for facts in field_facts(type(self)).values()
            if facts.unit == LIGHT["unit"]
        }
        return changed(self, **light)

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


def toward(value: float, end: float, share: float) -> float:
    """From `value` to `end` in even ratios, a share 0..1 of the way; three digits."""
    return float(f"{value * (end / value) ** share:.3g}")
