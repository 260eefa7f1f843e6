"""Few colours that stand for many: choose them, then look them up.

Distances are taken in an even colour space, where they come near to CIEDE2000 and stay plain
lengths, so that nearest means nearest to the eye.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes, Floats
from fxstudio.colour import LUMINANCE, XYZ_TO_RGB, lightness, srgb_decode

BITS = 7
"""Bits of each channel that tell colours apart."""
CELLS = 1 << 3 * BITS

UNKNOWN = 255
"""No palette number yet; so a palette has at most 255 colours."""

ASSUMED_FAR_APART = 4.0
ASSUMED_SEEDS_FAR = 64
"""So many colours are first kept for what is far from all others, such as a spark."""
ROUNDS = 8
COUNT_POWER = 1.0
"""A little less than each pixel's full vote, so that small bright things get their share."""


@lru_cache(maxsize=1)
def _lightness_steps() -> tuple[Floats, Floats]:
    """L* 0..100 and the same in even steps, the integral of 1 / S_L of CIEDE2000."""
    star = np.linspace(0, 100, 1001)
    off = (star - 50) ** 2
    slope = 1 / (1 + 0.015 * off / np.sqrt(20 + off))
    return star, np.concatenate([[0], np.cumsum((slope[1:] + slope[:-1]) / 2 * 0.1)])


def evenly(rgb8: ArrayLike) -> Floats:
    """sRGB 0..255 [..., 3] in an even colour space [..., 3], about 1 per just visible step.

    CIELAB (CIE 015), stretched and shortened as CIEDE2000 (ISO/CIE 11664-6) does: a* near
    grey by G, L* by the integral of 1 / S_L, chroma by that of 1 / S_C. The hue terms T and
    R_T are left out. Written from memory; tests compare it with colour-science.
    """
    rgb = srgb_decode(np.asarray(rgb8) / 255)
    to_xyz = np.linalg.inv(XYZ_TO_RGB)
    fx, fy, fz = np.moveaxis((lightness(rgb @ to_xyz.T / to_xyz.sum(axis=1)) + 16) / 116, -1, 0)
    a, b = 500 * (fx - fy), 200 * (fy - fz)
    chroma7 = (a * a + b * b) ** 3.5
    a = a * (1.5 - 0.5 * np.sqrt(chroma7 / (chroma7 + 25.0**7)))
    chroma = np.maximum(np.hypot(a, b), 1e-6)
    shorter = np.log1p(0.045 * chroma) / (0.045 * chroma)
    light = np.interp(116 * fy - 16, *_lightness_steps())
    return np.stack([light, a * shorter, b * shorter], axis=-1).astype(np.float32)


def cell_of(colours: Bytes) -> NDArray[np.int32]:
    """Number of the cell of sRGB colours: [..., 3] to [...]."""
    red, green, blue = np.moveaxis(colours >> (8 - BITS), -1, 0)
    cell: NDArray[np.int32] = red.astype(np.int32)
    cell <<= BITS
    cell |= green
    cell <<= BITS
    cell |= blue
    return cell


def centre_of(cell: NDArray[np.integer]) -> Floats:
    """Middle colour, sRGB 0..255 [..., 3], of cells [...]."""
    width = 1 << (8 - BITS)
    channels = np.stack([cell >> 2 * BITS, cell >> BITS, cell], axis=-1) & ((1 << BITS) - 1)
    return channels * width + (width - 1) / 2


_LIGHT = (srgb_decode(np.arange(256)[:, None] / 255) * LUMINANCE).astype(np.float32)


def luminance_of(colours: Bytes) -> Floats:
    """Relative luminance 0..1 [...] of sRGB colours [..., 3]."""
    red, green, blue = np.moveaxis(colours, -1, 0)
    light: Floats = _LIGHT[:, 0].take(red)
    light += _LIGHT[:, 1].take(green)
    light += _LIGHT[:, 2].take(blue)
    return light


class EvenSpace:
    """Places of colours in the even space, each cell worked out once when first met."""

    def __init__(self) -> None:
        self._row = np.full(CELLS, -1, np.int32)
        self._places = np.empty((0, 3), np.float32)

    def __call__(self, cell: NDArray[np.int32]) -> Floats:
        """Places [..., 3] of cells [...]."""
        rows = self._rows(cell)
        return self._places.take(rows, axis=0)

    def along(self, cell: NDArray[np.int32], axes: Floats) -> Floats:
        """Places of cells [n] along `axes` [3, k]: [n, k]; turns the few cells, not all pixels."""
        rows = self._rows(cell)
        return (self._places @ axes).take(rows, axis=0)

    def _rows(self, cell: NDArray[np.int32]) -> NDArray[np.int32]:
        rows = self._row.take(cell)
        unmet = rows < 0
        if unmet.any():
            new = np.unique(cell[unmet])
            self._row[new] = len(self._places) + np.arange(len(new))
            self._places = np.concatenate([self._places, evenly(centre_of(new))])
            rows = self._row.take(cell)
        return rows


class Palette:
    """At most 255 colours [k, 3] and the nearest of them for any colour."""

    def __init__(self, colours: Bytes) -> None:
        self.colours = colours
        self.light = luminance_of(colours)
        self._places = evenly(colours)
        self._table = np.full(CELLS, UNKNOWN, np.uint8)

    def numbers(self, colours: Bytes) -> Bytes:
        """Numbers [n] of the nearest palette colours for sRGB colours [n, 3]."""
        cell = cell_of(colours)
        numbers = self._table.take(cell)
        unknown = numbers == UNKNOWN
        if unknown.any():
            new = np.unique(cell[unknown])
            self._table[new] = nearest(evenly(centre_of(new)), self._places)
            numbers = self._table.take(cell)
        return numbers


def choose_colours(
    colours: Bytes, counts: NDArray[np.integer] | None = None, most: int = UNKNOWN
) -> Bytes:
    """Colours [k <= most, 3] that stand for sRGB `colours` [n, 3], seen `counts` [n] times.

    k-means in the even space. It begins with colours far from all others (Gonzalez 1985),
    then takes others by chance with odds of count times distance squared (k-means++, Arthur
    and Vassilvitskii 2007; both from memory), from a fixed seed: the same in, the same out.
    """
    cells, seen = _counted(colours, counts)
    weight = seen**COUNT_POWER
    centres = centre_of(cells)
    places = evenly(centres)
    chance = np.random.default_rng(0)

    chosen = [int(weight.argmax())]
    far = np.full(len(cells), np.inf, np.float32)
    while len(chosen) < most:
        far = np.minimum(far, ((places - places[chosen[-1]]) ** 2).sum(axis=1))
        pick = int(far.argmax())
        if far[pick] == 0:
            break
        if len(chosen) >= min(ASSUMED_SEEDS_FAR, most // 4) or far[pick] < ASSUMED_FAR_APART**2:
            odds = np.cumsum(weight * far)
            pick = int(np.searchsorted(odds, chance.random() * odds[-1], side="right"))
        chosen.append(pick)

    middles = places[chosen]
    for _ in range(ROUNDS):
        middles = _means(nearest(places, middles), weight, places, middles)
    final = _means(nearest(places, middles), weight, centres, centres[chosen])
    return np.unique(np.rint(final).astype(np.uint8), axis=0)


def _counted(
    colours: Bytes, counts: NDArray[np.integer] | None, at_once: int = 1 << 17
) -> tuple[NDArray[np.intp], Floats]:
    """The cells [k] of `colours` [n, 3], and how often each was seen [k]."""
    parts = [slice(first, first + at_once) for first in range(0, len(colours), at_once)]
    met = np.zeros(CELLS, bool)
    for part in parts:
        met[cell_of(colours[part])] = True
    cells = np.flatnonzero(met)
    number = np.zeros(CELLS, np.int32)
    number[cells] = np.arange(len(cells))
    seen = np.zeros(len(cells))
    for part in parts:
        some = None if counts is None else counts[part]
        seen += np.bincount(number.take(cell_of(colours[part])), some, len(cells))
    return cells, seen


def nearest(places: Floats, middles: Floats, at_once: int = 1 << 13) -> NDArray[np.intp]:
    """Number of the nearest of `middles` [k, 3] for each of `places` [n, 3]."""
    found = np.empty(len(places), np.intp)
    square = (middles**2).sum(axis=1)
    for first in range(0, len(places), at_once):
        part = slice(first, first + at_once)
        off = places[part] @ middles.T
        off *= -2
        off += square
        found[part] = off.argmin(axis=1)
    return found


def _means(owner: NDArray[np.intp], weight: Floats, values: Floats, otherwise: Floats) -> Floats:
    """Weighted mean of the values [n, 3] of each owner; `otherwise` [k, 3] for none."""
    size = len(otherwise)
    total = np.bincount(owner, weight, size)[:, None]
    sums = np.stack([np.bincount(owner, weight * v, size) for v in values.T], axis=1)
    return np.where(total > 0, sums / np.maximum(total, 1e-9), otherwise).astype(values.dtype)
