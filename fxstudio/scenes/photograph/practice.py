"""Photographs to practise with: light as a camera in the hand takes it."""

from __future__ import annotations

import io
from typing import Final, NamedTuple

import numpy as np
from PIL import Image

from fxstudio.arrays import Floats
from fxstudio.colour import srgb8

from .reading import EXIF_IFD, EXPOSURE_TIME, F_NUMBER, ISO

LIGHT_PER_SECOND = 30.0
"""Exposure at which light 1 is white: 1/30 s."""

NOISE, PHOTONS = 0.002, 6000.0
"""Standard deviation of the sensor, and photons of a white pixel; a choice within what is usual."""


class Hand(NamedTuple):
    """How one photograph is taken: exposure in s, shift in pixels, turn in degrees, white balance
    of red and blue, seed of the noise.
    """

    seconds: float
    shift: tuple[float, float]
    turn_deg: float
    white: tuple[float, float]
    seed: int


HANDS: Final = (
    Hand(1 / 30, (0.0, 0.0), 0.0, (1.0, 1.0), 1),
    Hand(1 / 50, (5.3, -3.1), 0.4, (1.06, 0.95), 2),
    Hand(1 / 60, (-4.2, 2.4), -0.5, (0.97, 1.04), 3),
)


EDGE_PX = 16
"""Pixels at each side of the light that only a moved camera sees."""


def practice_photograph(light: Floats, hand: Hand) -> bytes:
    """The JPEG of linear light [3, h, w] without its edges, with the exposure in EXIF."""
    rows, columns = light.shape[1:]
    angle = np.deg2rad(hand.turn_deg)
    cos, sin = float(np.cos(angle)), float(np.sin(angle))
    x, y = (columns - 1) / 2, (rows - 1) / 2
    across, down = x + hand.shift[0] - cos * x + sin * y, y + hand.shift[1] - sin * x - cos * y
    where = (cos, -sin, across, sin, cos, down)
    how = Image.Transform.AFFINE, where, Image.Resampling.BICUBIC
    views = [Image.fromarray(plane).transform((columns, rows), *how) for plane in light]
    moved = np.stack([np.asarray(view)[EDGE_PX:-EDGE_PX, EDGE_PX:-EDGE_PX] for view in views])
    white = np.array([hand.white[0], 1.0, hand.white[1]])[:, None, None]
    seen = np.maximum(moved, 0) * hand.seconds * LIGHT_PER_SECOND * white
    generator = np.random.default_rng(hand.seed)
    noise = np.sqrt(NOISE**2 + seen / PHOTONS) * generator.standard_normal(seen.shape)
    codes = srgb8(np.clip(seen + noise, 0, 1)).transpose(1, 2, 0)
    exif = Image.Exif()
    exif.get_ifd(EXIF_IFD).update({EXPOSURE_TIME: hand.seconds, F_NUMBER: 2.0, ISO: 100})
    file = io.BytesIO()
    picture = Image.fromarray(np.ascontiguousarray(codes))
    picture.save(file, "JPEG", quality=92, subsampling=0, exif=exif)
    return file.getvalue()
