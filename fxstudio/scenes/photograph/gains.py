"""How much more sensitive the camera was for one picture than for another, colour by colour.

Light adds up, so a lamp can only brighten: where it does not reach, the ratio of two pictures is
that of their exposures and white balances. Those parts make the lowest peak of all ratios.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fxstudio.arrays import Bools, Floats

from ..drawn.shapes import shrunk

PARTS_ACROSS = 64
"""Parts of the picture, in each of which the light is averaged."""

LEAST_LIGHT = 0.004
"""Light of a part below which its ratio says nothing: a code of 13 in sRGB."""

BIN, PEAK, NEAR = 0.005, 0.015, 0.05
"""Width of a bin, of the bell that smooths them, and of what belongs to a peak, in logarithms."""

LEAST_SHARE, LEAST_PARTS = 0.08, 40
"""Share and number of parts that a lamp has to leave alone if the scale shall be sure."""

SHARP = 0.034
"""How far parts may differ that are no peak but a part of a slope: of the latter, 0.037."""

BELOW = 0.5
"""Height of a lower peak, as a share of the highest, from which on it is the one of unlit parts."""


@dataclass(frozen=True, eq=False)
class Fit:
    """The ratio of two pictures where no lamp reaches.

    gain : [3] of red, green and blue
    share : of all parts that could be compared, those that agree
    within : how far they differ among themselves, as a share of the gain
    sure : whether enough of them agree
    """

    gain: Floats
    share: float
    within: float
    sure: bool


NOTHING = Fit(np.ones(3), 0.0, 1.0, False)


def fit_gain(dark: Floats, lamp: Floats, usable: Bools, told: float | None = None) -> Fit:
    """The gain of `lamp` [3, h, w] over `dark` [3, h, w], from the `usable` [h, w] pixels.

    With `told`, the gain of green by the camera itself, only parts that agree with it count.
    """
    by = max(3, round(dark.shape[2] / PARTS_ACROSS))
    before, after = shrunk(dark, by), shrunk(lamp, by)
    whole = shrunk(usable.astype(np.float32), by) > 0.99
    seen = whole & (before.min(axis=0) > LEAST_LIGHT) & (after.min(axis=0) > LEAST_LIGHT / 4)
    if seen.sum() < LEAST_PARTS:
        return NOTHING
    ratios = np.log(after[:, seen] / before[:, seen])
    # The sum of the colours is least noisy; a change of white balance leaves green as it is.
    total = np.log(after[:, seen].sum(axis=0) / before[:, seen].sum(axis=0))
    unlit = np.abs(total - _lowest_peak(total) if told is None else ratios[1] - np.log(told)) < NEAR
    if unlit.sum() < LEAST_PARTS:
        return NOTHING
    centres = np.array([_lowest_peak(channel[unlit]) for channel in ratios])
    agree = unlit & (np.abs(ratios - centres[:, None]) < 2 * NEAR).all(axis=0)
    if agree.sum() < LEAST_PARTS:
        agree = unlit
    share = float(agree.mean())
    spread = 1.4826 * float(np.median(np.abs(total[agree] - np.median(total[agree]))))
    sure = share >= LEAST_SHARE and int(agree.sum()) >= LEAST_PARTS and spread < SHARP
    return Fit(np.exp(centres), share, spread, sure)


def _lowest_peak(values: Floats) -> float:
    """The lowest value around which many of `values` [n] lie."""
    low, high = np.quantile(values, [0.002, 0.998])
    edges = np.arange(low - 4 * PEAK, high + 4 * PEAK + BIN, BIN)
    counts = np.histogram(values, edges)[0].astype(float)
    reach = round(3 * PEAK / BIN)
    bell = np.exp(-0.5 * (np.arange(-reach, reach + 1) * BIN / PEAK) ** 2)
    smooth = np.convolve(counts, bell, "same")
    peaks = np.flatnonzero((smooth >= np.roll(smooth, 1)) & (smooth > np.roll(smooth, -1)))
    high_ones = peaks[smooth[peaks] >= BELOW * smooth.max()]
    middle = float(edges[high_ones[0]] + BIN / 2)
    for _ in range(5):
        near = values[np.abs(values - middle) < NEAR]
        middle = float(np.median(near)) if near.size else middle
    return middle
