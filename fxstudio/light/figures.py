"""Figures of flickering light: pure functions on one loop of relative luminance.

All take light [n] on an even grid over a whole loop, so that a mean or a spectrum needs no
window: the loop is the period.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Floats
from fxstudio.colour import lightness

BAND_SHARE = 0.9
"""Share of the varying power that lies within the band; the rest is halved below and above."""

REACH = 2 ** (1 / 6)
"""Ratio from the middle to the edges of the window in which the dominant rate is sought: it is a
third of an octave wide, as the filters of IEC 61260 are (from memory)."""

STEADY = 1e-9
"""Variance below which light counts as steady."""


@dataclass(frozen=True)
class Figures:
    """What can be said of one light in numbers.

    mean : mean relative luminance
    percent_flicker : 0 steady to 1
    flicker_index : 0 steady to below 1
    mean_lightness, lowest_lightness, highest_lightness : L* 0..100
    dominant_hz : rate at which it varies most, None if steady
    band_hz : lowest and highest rate of the band that holds 90 % of the variation, or None
    """

    mean: float
    percent_flicker: float
    flicker_index: float
    mean_lightness: float
    lowest_lightness: float
    highest_lightness: float
    dominant_hz: float | None
    band_hz: tuple[float, float] | None


@dataclass(frozen=True, eq=False)
class LampLight:
    """One light over a loop: its name, its colour `#rrggbb`, light [n] and the step in s."""

    name: str
    colour: str
    light: Floats
    step_s: float

    @cached_property
    def figures(self) -> Figures:
        """Its figures."""
        return figures(self.light, self.step_s)


def figures(light: ArrayLike, step_s: float) -> Figures:
    """All figures of light [n], relative luminance, `step_s` seconds apart."""
    values = np.asarray(light, dtype=float)
    shown = lightness(np.clip(values, 0, 1))
    rates, power = spectrum(values, step_s)
    return Figures(
        mean=float(values.mean()),
        percent_flicker=percent_flicker(values),
        flicker_index=flicker_index(values),
        mean_lightness=float(shown.mean()),
        lowest_lightness=float(shown.min()),
        highest_lightness=float(shown.max()),
        dominant_hz=dominant_rate(rates, power),
        band_hz=band(rates, power),
    )


def percent_flicker(light: ArrayLike) -> float:
    """(max - min) / (max + min), 0..1; 0 for darkness.

    Source: CIE e-ILV, "amplitude of fluctuation of the luminous flux", note 1.
    """
    values = np.asarray(light, dtype=float)
    low, high = values.min(), values.max()
    return float((high - low) / (high + low)) if high + low > 0 else 0.0


def flicker_index(light: ArrayLike) -> float:
    """Area above the mean over the whole area, 0..1, of a whole number of periods.

    0 for darkness. Source: IEC 60050 (IEV) 845-22-094.
    """
    values = np.asarray(light, dtype=float)
    total = values.sum()
    return float(np.maximum(values - values.mean(), 0).sum() / total) if total > 0 else 0.0


def spectrum(light: ArrayLike, step_s: float) -> tuple[Floats, Floats]:
    """One-sided power spectral density of a loop, without its mean.

    Returns rates [n // 2] in Hz from 1 / loop upwards, and power [n // 2] per Hz. Its sum
    times the step in Hz is the variance (Parseval).
    """
    values = np.asarray(light, dtype=float)
    count = len(values)
    power = np.abs(np.fft.rfft(values - values.mean())) ** 2 * (2 * step_s / count)
    if count % 2 == 0:
        power[-1] /= 2  # the highest rate has no mirror image
    return np.fft.rfftfreq(count, step_s)[1:], power[1:]


def octave_power(rates_hz: Floats, power: Floats) -> Floats:
    """Power [n] within a third of an octave around each rate.

    Few rates lie in a low window and many in a high one, so it is their mean power per Hz
    times the width of the window.
    """
    first, last = _windows(rates_hz)
    held = np.concatenate([[0.0], np.cumsum(power)])
    width_hz = rates_hz * (REACH - 1 / REACH)
    answer: Floats = (held[last] - held[first]) / (last - first) * width_hz
    return answer


def dominant_rate(rates_hz: Floats, power: Floats) -> float | None:
    """The rate in Hz at which light varies most, or None if it is steady.

    Where a third of an octave holds most power, the mean rate of that power is given. A pure
    tone gives its own rate; noise of one time constant t gives about 1 / (2 pi t), its corner.
    """
    if not _varies(rates_hz, power):
        return None
    first, last = _windows(rates_hz)
    best = int(octave_power(rates_hz, power).argmax())
    window = slice(first[best], last[best])
    if power[window].max() > 0.5 * power.sum():
        return float(rates_hz[window][power[window].argmax()])
    return float(np.average(rates_hz[window], weights=power[window]))


def band(rates_hz: Floats, power: Floats) -> tuple[float, float] | None:
    """Lowest and highest rate in Hz between which 90 % of the variation lies, or None."""
    if not _varies(rates_hz, power):
        return None
    share = np.cumsum(power) / power.sum()
    tail = (1 - BAND_SHARE) / 2
    low, high = np.searchsorted(share, [tail, 1 - tail])
    return float(rates_hz[low]), float(rates_hz[min(high, len(rates_hz) - 1)])


def _windows(rates_hz: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last (excluded) number [n] of the rates within `REACH` of each."""
    return (
        np.searchsorted(rates_hz, rates_hz / REACH),
        np.searchsorted(rates_hz, rates_hz * REACH, side="right"),
    )


def _varies(rates_hz: Floats, power: Floats) -> bool:
    return len(rates_hz) > 0 and power.sum() * rates_hz[0] > STEADY
