"""The last seconds of every lamp, for the lanes. Knows nothing of pygame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fxstudio.arrays import Bools, Floats
from fxstudio.editing.studio import Studio
from fxstudio.light.simulation import Brightness, Simulation

SPAN_S = 5.0
"""How far back a lane goes."""

SAMPLES = 250
"""Points of a trace: 50 a second, so that the fastest flicker of 25 Hz is still seen."""

WORDS_EVERY_S = 0.4
"""How often the brightness in words changes; faster could not be read."""


@dataclass(frozen=True)
class LampTrace:
    """One lamp: light [n] and lit [n] of what is seen, light [n] of the wish if it is shown."""

    light: Floats
    lit: Bools
    wish: Floats | None


class Traces:
    """Traces of all lamps up to the present; worked out once for each moment."""

    def __init__(self, studio: Studio) -> None:
        self.studio = studio
        self._for: tuple[float, Simulation, bool] | None = None
        self._seen: Brightness | None = None
        self._wish: Brightness | None = None
        self._words: dict[str, str] = {}
        self.shares = np.empty(0)

    def update(self) -> None:
        """Take in the present moment."""
        studio = self.studio
        now_s = studio.playback.time_s
        wanted = (now_s, studio.seen_projector.simulation, studio.beside)
        if self._for == wanted:
            return
        step_s = SPAN_S / SAMPLES
        # Whole multiples of the step: a sample keeps its value while the lane moves on.
        last = np.floor(now_s / step_s) * step_s
        times = np.append(last + np.arange(-SAMPLES, 1) * step_s, now_s)
        self.shares = 1 - (now_s - times) / SPAN_S
        self._seen = studio.seen_projector.at(times)
        self._wish = studio.wish_projector.at(times) if studio.beside else None
        if (
            self._for is None
            or wanted[1] is not self._for[1]
            or int(now_s / WORDS_EVERY_S) != int(self._for[0] / WORDS_EVERY_S)
        ):
            seen = self._seen
            self._words = {name: self._in_words(name, seen) for name in studio.effect.lamps}
        self._for = wanted

    def of(self, lamp: str) -> LampTrace | None:
        """The trace of a lamp; None if the decoder has no output for it."""
        self.update()
        if self._seen is None or lamp not in self._seen.lamps:
            return None
        column = self._seen.lamps.index(lamp)
        wish = self._wish.light[:, self._wish.lamps.index(lamp)] if self._wish else None
        return LampTrace(self._seen.light[:, column], self._seen.lit[:, column], wish)

    def words(self, lamp: str) -> str:
        """What a lamp does now: `lit, 64 %`, `off: only in reverse`."""
        self.update()
        return self._words.get(lamp, "")

    def _in_words(self, name: str, seen: Brightness) -> str:
        lamp = self.studio.seen.lamps.get(name)
        if lamp is None:
            return f"off: this decoder has no output {self.studio.effect.lamps[name].output}"
        why = lamp.gate.why_dark(self.studio.playback.throttle.moment)
        if why:
            return f"off: {why}"
        return f"lit, {100 * float(seen.light[-1, seen.lamps.index(name)]):.0f} %"
