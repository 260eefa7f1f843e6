"""Random light at the shared rate."""

from __future__ import annotations

from typing import Annotated, Literal, Self

import numpy as np
from pydantic import Field

from fxstudio.arrays import Floats
from fxstudio.documents.models import Asked
from fxstudio.documents.reading import changed
from fxstudio.effect.patterns.pattern import Ranged
from fxstudio.effect.patterns.signals import beta22_quantile, circular_ar1, normal_to_beta22
from fxstudio.effect.patterns.timeline import Timeline, Wave


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
