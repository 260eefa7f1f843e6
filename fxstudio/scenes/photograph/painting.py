"""Light that no photograph shows: painted on the dark picture with a soft brush, and a lamp's light
in another colour than it had.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.colour import LUMINANCE, luminance

from ..drawn.shapes import blur, single

SHAPES: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {"round": (1.0, 1.0), "wide": (1.0, 0.4), "tall": (0.4, 1.0)}
)
"""Shapes of a brush, with its reach across and down as multiples of what is given."""

CORE = 0.25
"""Share of the reach within which the lamp itself is seen; a choice of looks."""

BOUNCE = 0.6
"""How bright the surfaces around it are against the lamp; a choice of looks."""

SEEN_FROM = 0.25
"""Share of a lamp's strongest channel from which on a weaker one says how surfaces reflect it."""


def painted(dark: Floats, at: tuple[float, float], reach: float, shape: str) -> Floats:
    """White light [3, h, w] of a lamp painted onto a dark picture [3, h, w].

    The surfaces around the lamp shine as rough or dark as the picture shows them.

    Parameters
    ----------
    at : the lamp's middle, shares of the picture from the left and from the top
    reach : where its light ends, as a share of the picture's width
    shape : one of `SHAPES`
    """
    rows, columns = dark.shape[1:]
    across, down = (reach * columns * by for by in SHAPES[shape])
    x = (np.arange(columns) + 0.5 - at[0] * columns) / across
    y = (np.arange(rows) + 0.5 - at[1] * rows) / down
    square = x[None, :] ** 2 + y[:, None] ** 2
    falling = np.clip(1 - square, 0, None) ** 2
    core = np.exp(-((square / CORE**2) ** 2))
    light = np.maximum(luminance(np.moveaxis(dark, 0, -1)), 0).astype(np.float32)
    around = blur(light, reach * columns / 2)
    uneven = np.clip(light / np.maximum(around, 1e-4), 0, 2)
    whole = core + BOUNCE * falling * uneven * (1 - core)
    return single(np.repeat(whole[None], 3, axis=0))


def as_if_white(light: Floats) -> Floats:
    """Light [3, h, w] of a coloured lamp as a white one of the same strongest channel gives it.

    A channel of which the lamp has too little says nothing of the surfaces; there the mean of the
    others stands.
    """
    colour = lamp_colour(light)
    plain = np.tensordot(colour, light, 1) / float(colour @ colour)
    trust = np.clip((colour - SEEN_FROM / 2) / (SEEN_FROM / 2), 0, 1)[:, None, None]
    own = light / np.maximum(colour, SEEN_FROM / 2)[:, None, None]
    return single(trust * own + (1 - trust) * plain)


def lamp_colour(light: Floats) -> Floats:
    """Linear sRGB [3] of a lamp by all the light [3, h, w] it gives; the largest channel is 1."""
    total = np.maximum(light, 0).sum(axis=(1, 2), dtype=np.float64)
    if not total @ LUMINANCE:
        return np.ones(3)
    colour: Floats = total / total.max()
    return colour
