"""Few colours that stand for many: choose them, then look them up for whole frames.

Distances are taken in CIELAB with its chroma shortened, where they come near to CIEDE2000
and stay plain lengths, so that nearest means nearest to the eye.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.colour import XYZ_TO_RGB, lightness, srgb_decode

Frame = NDArray[np.uint8]

BITS = 7
"""Bits of each channel that tell colours apart."""
CELLS = 1 << 3 * BITS

UNKNOWN = 255
"""Marks a cell of the look-up table that no frame has met yet."""


def evenly(rgb8: ArrayLike) -> NDArray[np.float32]:
    """sRGB 0..255 [..., 3] in an even colour space [..., 3], about 1 per just visible step.

    CIELAB (CIE 015) with chroma C* replaced by the integral of 1 / (1 + 0.045 C*), the
    weight S_C that CIEDE2000 (ISO/CIE 11664-6) gives to chroma differences.
    """
    rgb = srgb_decode(np.asarray(rgb8) / 255)
    to_xyz = np.linalg.inv(XYZ_TO_RGB)
    fx, fy, fz = np.moveaxis((lightness(rgb @ to_xyz.T / to_xyz.sum(axis=1)) + 16) / 116, -1, 0)
    a, b = 500 * (fx - fy), 200 * (fy - fz)
    chroma = np.maximum(np.hypot(a, b), 1e-6)
    shorter = np.log1p(0.045 * chroma) / (0.045 * chroma)
    return np.stack([116 * fy - 16, a * shorter, b * shorter], axis=-1).astype(np.float32)


def cell_of(frame: Frame) -> NDArray[np.int32]:
    """Number of the look-up cell of each pixel: [..., 3] to [...]."""
    red, green, blue = np.moveaxis(frame >> (8 - BITS), -1, 0)
    cell = red.astype(np.int32)
    cell <<= BITS
    cell |= green
    cell <<= BITS
    cell |= blue
    return cell


def centre_of(cell: NDArray[np.integer]) -> NDArray[np.floating]:
    """Middle colour, sRGB 0..255 [..., 3], of look-up cells [...]."""
    width = 1 << (8 - BITS)
    channels = np.stack([cell >> 2 * BITS, cell >> BITS, cell], axis=-1) & ((1 << BITS) - 1)
    return channels * width + (width - 1) / 2


def choose_colours(pixels: Frame, most: int, apart: float) -> NDArray[np.uint8]:
    """Colours [k <= most, 3] that stand for `pixels` [n, 3] within about `apart`.

    The next colour is always the pixel farthest from those chosen (Gonzalez 1985), so that
    rare bright sparks are kept; a few k-means steps then centre each colour on its pixels.
    """
    count = np.bincount(cell_of(pixels), minlength=CELLS)
    cells = np.flatnonzero(count)
    weight = np.sqrt(count[cells])
    places = evenly(centre_of(cells))

    chosen = [int(count[cells].argmax())]
    farness = np.full(len(cells), np.inf, np.float32)
    while True:
        farness = np.minimum(farness, ((places - places[chosen[-1]]) ** 2).sum(axis=1))
        farthest = int(farness.argmax())
        if len(chosen) == most or farness[farthest] <= apart**2:
            break
        chosen.append(farthest)

    middles = places[chosen]
    for _ in range(6):
        owner = nearest(places, middles)
        middles = means(owner, weight, places, middles)
    colours = means(nearest(places, middles), weight, centre_of(cells), centre_of(cells[chosen]))
    return np.unique(np.rint(colours).astype(np.uint8), axis=0)


def nearest(places: NDArray[np.floating], middles: NDArray[np.floating]) -> NDArray[np.integer]:
    """Number of the nearest of `middles` [k, 3] for each of `places` [n, 3]."""
    return ((middles**2).sum(axis=1) - 2 * places @ middles.T).argmin(axis=1)


def means(
    owner: NDArray[np.integer],
    weight: NDArray[np.floating],
    values: NDArray[np.floating],
    otherwise: NDArray[np.floating],
) -> NDArray[np.floating]:
    """Weighted mean of the values [n, 3] of each owner; `otherwise` [k, 3] for none."""
    size = len(otherwise)
    total = np.bincount(owner, weight, size)[:, None]
    sums = np.stack([np.bincount(owner, weight * v, size) for v in values.T], axis=1)
    return np.where(total > 0, sums / np.maximum(total, 1e-9), otherwise).astype(values.dtype)


class Lookup:
    """Palette numbers for whole frames, steady where a frame hardly changes.

    Cells of the table are filled as frames meet them: a film holds few of all colours.
    """

    def __init__(self, colours: NDArray[np.uint8], steady_within: float) -> None:
        """`colours` [k <= 255, 3]; a pixel keeps its colour while within `steady_within`."""
        self.places = evenly(colours)
        self.table = np.full(CELLS, UNKNOWN, np.uint8)
        apart = np.linalg.norm(self.places[:, None] - self.places[None], axis=-1)
        self.alike = np.zeros((256, 256), bool)
        self.alike[: len(colours), : len(colours)] = apart <= steady_within

    def __call__(self, frame: Frame, shown: Frame | None = None) -> Frame:
        """Palette numbers [h, w] of a frame [h, w, 3], after `shown` [h, w] if given."""
        cell = cell_of(frame)
        number = self.table.take(cell)
        new = number == UNKNOWN
        if new.any():
            met = np.unique(cell[new])
            self.table[met] = nearest(evenly(centre_of(met)), self.places)
            number = self.table.take(cell)
        if shown is None:
            return number
        pair = number.astype(np.uint16)
        pair <<= 8
        pair |= shown
        return np.where(self.alike.reshape(-1).take(pair), shown, number)
