"""The carrier of a dimmed lamp: pulse-width modulation (PWM) as an eye and a camera meet it.

A decoder dims by switching a lamp on and off some hundred times a second. A camera adds up
the light of one exposure; unless that holds a whole number of pulses, neighbouring exposures
differ: the picture beats, and a shutter that runs down the picture draws bands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Floats

CAMERA_FPS = (24.0, 25.0, 30.0, 50.0, 60.0)
"""Frame rates of cameras. Common practice."""

SHUTTERS_S = tuple(1 / n for n in (24, 25, 30, 48, 50, 60, 80, 100, 125, 160, 200, 250, 500, 1000))
"""Exposure times that cameras offer. Common practice."""

ASSUMED_UNSEEN = 0.02
"""Assumed: a difference between exposures that no one notices in a film."""

ASSUMED_STANDS_HZ = 0.05
"""Assumed: what goes up and down less often than every 20 s seems to stand still."""


@dataclass(frozen=True)
class Carrier:
    """PWM of a decoder: pulses a second, and its number of levels, dark and full counted."""

    rate_hz: float
    levels: int

    @classmethod
    def of(cls, refresh_ms: float, levels: int) -> Carrier:
        """From the time of one on-and-off in ms, as decoder descriptions give it."""
        return cls(1000 / refresh_ms, levels)

    @property
    def duties(self) -> Floats:
        """Shares of the time it is on at all levels between dark and full, [levels - 2]."""
        return np.arange(1, self.levels - 1) / (self.levels - 1)


def exposure_flicker(rate_hz: float, duty: ArrayLike, shutter_s: ArrayLike) -> Floats:
    """Percent flicker 0..1 among exposures of one shutter time at all phases of the carrier.

    `duty` and `shutter_s` broadcast. An exposure holds n whole pulses and a rest r of one; the
    rest catches between max(0, r + d - 1) and min(r, d) of light, the pulses n d. Exact.
    """
    duty = np.asarray(duty, dtype=float)
    pulses = np.asarray(shutter_s, dtype=float) * rate_hz
    whole = np.floor(pulses + 1e-9)
    rest = np.maximum(pulses - whole, 0.0)
    rest = np.where(rest < 1e-9, 0.0, rest)
    most = whole * duty + np.minimum(rest, duty)
    least = whole * duty + np.maximum(rest + duty - 1, 0)
    both = most + least
    answer: Floats = np.divide(most - least, both, out=np.zeros(both.shape), where=both > 0)
    return answer


def beat_hz(rate_hz: float, fps: float) -> float:
    """How often a second a film's brightness goes up and down: the carrier folded by the frames.

    0 if every frame meets the carrier at the same phase. Source: sampling theorem.
    """
    return float(abs(rate_hz - round(rate_hz / fps) * fps))


def bands(rate_hz: float, readout_s: float) -> float:
    """Bright bands in one picture whose rows are read one after another in `readout_s`."""
    return rate_hz * readout_s


@dataclass(frozen=True)
class Seen:
    """What a camera sees of a carrier.

    fps, shutter_s : the camera
    flicker : percent flicker 0..1 among exposures at the worst level of the decoder
    beat_hz : how often a second the brightness goes up and down
    bands : bands in one picture, at most: the rows read in one whole frame time
    better_s : a shutter time on offer that hides it best, no longer than a frame
    better_flicker : what is left of it then
    """

    fps: float
    shutter_s: float
    flicker: float
    beat_hz: float
    bands: float
    better_s: float
    better_flicker: float

    @property
    def shows(self) -> bool:
        """Whether it will be seen."""
        return self.flicker > ASSUMED_UNSEEN

    def __str__(self) -> str:
        if not self.shows:
            return f"nothing is seen at {shutter_text(self.shutter_s)}"
        some = "1 band" if round(self.bands) == 1 else f"{self.bands:.0f} bands"
        if self.beat_hz < ASSUMED_STANDS_HZ:
            what = f"up to {some} stand still in the picture"
        else:
            what = f"the picture pulses {self.beat_hz:.3g} times a second or has up to {some}"
        text = f"{what}, up to {self.flicker:.0%} brighter and darker"
        if self.better_flicker < 0.8 * self.flicker:
            clean = self.better_flicker <= ASSUMED_UNSEEN
            left = "clean" if clean else f"{self.better_flicker:.0%} left"
            text += f"; use {shutter_text(self.better_s)} ({left})"
        return text


def seen(carrier: Carrier, fps: float, shutter_s: float | None = None) -> Seen:
    """What a camera sees at `fps` and a shutter time, or half a frame if None."""
    shutter_s = shutter_s or 0.5 / fps
    offered = np.array([s for s in SHUTTERS_S if s <= 1 / fps + 1e-9])
    left = _worst(carrier, offered)
    # Of several as good, the longest: it lets in most light.
    best = int(np.flatnonzero(left <= left.min() + 1e-9)[0])
    return Seen(
        fps=fps,
        shutter_s=shutter_s,
        flicker=float(_worst(carrier, shutter_s)[0]),
        beat_hz=beat_hz(carrier.rate_hz, fps),
        bands=bands(carrier.rate_hz, 1 / fps),
        better_s=float(offered[best]),
        better_flicker=float(left[best]),
    )


def shutter_text(shutter_s: float) -> str:
    """A shutter time as cameras write it: `1/50 s`."""
    return f"1/{1 / shutter_s:.4g} s"


def _worst(carrier: Carrier, shutter_s: ArrayLike) -> Floats:
    shutters = np.atleast_1d(shutter_s)[:, None]
    if not len(carrier.duties):
        return np.zeros(len(shutters))
    answer: Floats = exposure_flicker(carrier.rate_hz, carrier.duties, shutters).max(axis=1)
    return answer


# Limits of IEEE 1789-2015 on modulation of a carrier: (up to Hz, share a Hz). All from memory;
# the text of the standard was not read.
LOW_RISK = ((90.0, 0.00025), (1250.0, 0.0008))
NO_EFFECT = ((90.0, 0.0001), (3000.0, 0.000333))


def modulation_limit(rate_hz: float, rows: tuple[tuple[float, float], ...]) -> float:
    """Largest percent flicker 0..1 at a carrier rate by `LOW_RISK` or `NO_EFFECT`.

    1 above the last row, where there is no limit. For carriers only: a fire that is seen to
    flicker is far above these limits, as every visible change of light is. Source: IEEE
    1789-2015, from memory.
    """
    for (below_hz, share), is_last in zip(rows, (False, True), strict=True):
        if rate_hz < below_hz or (is_last and rate_hz <= below_hz):
            return min(1.0, share * rate_hz)
    return 1.0


def carrier_risk(rate_hz: float) -> str:
    """What the limits say of a dimmed lamp, which goes fully off between pulses."""
    if modulation_limit(rate_hz, NO_EFFECT) >= 1:
        return "fast enough to have no known effect"
    if modulation_limit(rate_hz, LOW_RISK) >= 1:
        return "fast enough for low risk"
    return (
        f"slower than low risk asks of a lamp that goes fully off ({LOW_RISK[-1][0]:.0f} Hz): "
        "some people get headaches from such light, most where it lights a room"
    )
