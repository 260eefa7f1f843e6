"""Noise of photographs kept out of the light of a lamp: it would shimmer as the lamp flickers.

What a lamp adds stays as sharp as it is where it stands out from the noise; where only its mean
over an area does, it is smoothed; and where not even that does, it is none.
"""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from ..drawn.shapes import single
from .smoothing import smooth

RADII = (1, 3, 9)
"""Pixels over which light is smoothed, from the finest to the coarsest."""

DOUBT, SURE = 2.0, 5.0
"""Times the noise at which light begins to count, and from which on it counts in full."""

ALIKE_PX = 6.0
"""Pixels over which neighbouring noise is alike, by the camera's own smoothing and compression."""

UNSURE_GAIN = 0.006
"""How far two pictures may differ by their scale alone, as a share of their light."""

LEVELS = 24

HIDDEN = 2.0
"""Variance of noise against what the finest differences show of it: compression takes away half of
those, by trial at usual qualities."""

AROUND_PX = 1
"""Pixels around each over which a photograph is smoothed where it is even."""


def noise_of(light: Floats) -> Floats:
    """Standard deviation of the noise of each pixel of a photograph [3, h, w], by its brightness.

    From differences that no even or sloping surface has, so that only noise and the finest detail
    are counted, and of these the median.
    """
    found = np.empty_like(light)
    for plane, target in zip(light, found, strict=True):
        crossed = (plane[:-1, :-1] - plane[1:, :-1] - plane[:-1, 1:] + plane[1:, 1:]) / 2
        level = (plane[:-1, :-1] + plane[1:, 1:]) / 2
        edges = np.quantile(level[::2, ::2], np.linspace(0, 1, LEVELS + 1))
        which = np.searchsorted(edges[1:-1], level[::2, ::2])
        size = np.abs(crossed[::2, ::2])
        middles = (edges[1:] + edges[:-1]) / 2
        noise = [
            np.median(size[which == n]) / 0.6745 if (which == n).any() else 0.0
            for n in range(LEVELS)
        ]
        target[:] = np.interp(plane, middles, noise)
    return found


def calmed(light: Floats, noise: Floats) -> Floats:
    """A photograph [3, h, w] with less of its noise [3, h, w], by Wiener's filter.

    What differs from the mean around it is kept by the share of it that is not noise, so edges and
    grain stay and only even surfaces are smoothed.
    """
    mean = smooth(light, AROUND_PX)
    variance = np.maximum(smooth(light**2, AROUND_PX) - mean**2, 1e-12)
    kept = np.clip(1 - HIDDEN * smooth(noise**2, AROUND_PX) / variance, 0, 1)
    return single(mean + kept * (light - mean))


def quiet(added: Floats, noise: Floats, dark: Floats) -> Floats:
    """What a lamp adds [3, h, w] without its noise, none of it below 0.

    Parameters
    ----------
    added : lamp less dark, in linear light
    noise : standard deviation of each pixel of that, as large
    dark : the dark picture, whose scale against the lamp's is known so well only
    """
    kept: Floats = np.zeros_like(added)
    doubt = np.square(UNSURE_GAIN * np.maximum(dark, 0))
    for radius in (*reversed(RADII), 0):
        mean = smooth(added, radius) if radius else added
        # Three running means are nearly a bell of this variance, over 4 pi times as many pixels.
        less = min(1.0, ALIKE_PX / (4 * np.pi * radius * (radius + 1))) if radius else 1.0
        deviation = np.sqrt(smooth(noise**2, max(radius, 2)) * less + doubt)
        seen = np.abs(mean if radius else smooth(added, 1))
        stands_out = (seen / np.maximum(deviation, 1e-6)).max(axis=0)
        kept += np.clip((stands_out - DOUBT) / (SURE - DOUBT), 0, 1) * (mean - kept)
    return single(np.maximum(kept, 0))
