"""One picture with two lamps lit, split by the colours of their LEDs."""

from __future__ import annotations

from math import degrees

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.errors import InputError

from ..drawn.shapes import single

LEAST_ANGLE_DEG = 12.0
"""Angle between two colours in linear light below which noise and the colours of surfaces decide
which lamp it was; by trial."""


def split(light: Floats, one: Floats, other: Floats) -> tuple[Floats, Floats]:
    """The light [3, h, w] of each of two lamps, of the colours [3] `one` and `other`.

    Each pixel is the sum of both that comes nearest, neither below 0. What remains is left with
    the two as they share the pixel. Raises InputError if the colours are too much alike.
    """
    colours = np.stack([one, other]) / np.linalg.norm([one, other], axis=1)[:, None]
    between = float(colours[0] @ colours[1])
    angle = degrees(np.arccos(np.clip(between, -1, 1)))
    if angle < LEAST_ANGLE_DEG:
        raise InputError(
            "two lamps in one picture cannot be told apart by their colours",
            given=f"{angle:.0f} degrees between them in linear light",
        ).allowing(
            f"{LEAST_ANGLE_DEG:.0f} degrees or more",
            remedy="take a photograph of each lamp alone",
        )
    along = np.tensordot(colours, light, 1)
    both = np.einsum("ij,jhw->ihw", np.linalg.inv([[1, between], [between, 1]]), along)
    alone = np.maximum(along, 0)
    first = np.where(both[1] < 0, alone[0], np.where(both[0] < 0, 0, both[0]))
    second = np.where(both[0] < 0, alone[1], np.where(both[1] < 0, 0, both[1]))
    models = [colours[0][:, None, None] * first, colours[1][:, None, None] * second]
    whole = np.maximum(sum(models), 1e-9)
    return single(light * models[0] / whole), single(light * models[1] / whole)
