"""Frames: brightness of the lamps becomes an 8-bit picture.

A frame is `ambient + brightness @ lamp_maps` in linear light, one matrix product. A tone curve
then brings down the largest channel of each pixel and the others by the same factor, so that a
bright fire keeps its hue; one look-up table makes sRGB. The picture is worked out in bands of rows
that stay in the processor's cache: only those that the lamps can change, and with the tone curve
only where it may be so bright that it bends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes, Floats

from ..colour import srgb8
from ..errors import InputError
from .catalogue import Scene, no_place
from .drawn.moving import Moving

KNEE = 0.45
"""Linear light up to which nothing is brought down; a choice of looks."""

BRIGHTEST = 16.0
"""Linear light the tone table reaches to; brighter light is drawn as this."""

CODE_STEPS = 1 << 16
"""Steps of the table that makes sRGB of light up to 1. In a band light is counted in these steps; a
power of two, so that nothing is rounded otherwise."""

TONE_STEPS = 1 << 15
TONE_PER_LIGHT = np.float32((TONE_STEPS - 1) / BRIGHTEST)
TONE_PER_STEP = TONE_PER_LIGHT / np.float32(CODE_STEPS)
BRIGHTEST_STEP = np.float32(BRIGHTEST * CODE_STEPS)

STRAIGHT = 0.999 * KNEE * CODE_STEPS
"""Steps up to which the tone curve does nothing, rounding included."""

BAND_PIXELS = 16384


def tone_curve(light: ArrayLike) -> Floats:
    """Linear light 0..1 shown for linear light from 0 up: straight to the knee, then a shoulder.

    The shoulder k + (1-k) t/(1+t), t = (m-k)/(1-k), joins without a kink and never reaches 1.
    """
    m = np.asarray(light, dtype=float)
    t = np.maximum(m - KNEE, 0) / (1 - KNEE)
    shown: Floats = np.minimum(m, KNEE) + (1 - KNEE) * t / (1 + t)
    return shown


def _tone_table() -> Floats:
    m = (np.arange(TONE_STEPS) + 0.5) / TONE_PER_LIGHT
    return (tone_curve(m) / m).astype(np.float32)


TONE = _tone_table()
CODES = srgb8((np.arange(CODE_STEPS) + 0.5) / CODE_STEPS)


@dataclass(frozen=True, eq=False)
class _Band:
    """Some rows of a picture.

    maps : light [1 + lamps, 3 * pixels] of the ambient and of each lamp, in steps
    bent : where in those the tone curve may bend, [3, pixels] of red, green and blue
    """

    rows: slice
    maps: Floats
    bent: NDArray[np.intp]


class Renderer:
    """Draws frames of one scene with its lamps.

    Parameters
    ----------
    scene : from `draw_scene`
    places : one place of the scene for each lamp; lamps may share a place
    colours : linear RGB [lamps, 3] of each lamp, see `colour.lamp_rgb`; without effect at places
        in `scene.own_colour`

    Raises InputError naming the field if a place is not in the scene or the colours do not fit.
    """

    def __init__(self, scene: Scene, places: Sequence[str], colours: ArrayLike) -> None:
        self.scene = scene
        self.shape: tuple[int, int] = scene.ambient.shape[1:]
        for lamp, place in enumerate(places):
            if place not in scene.light:
                error = no_place(scene.name, scene.light, place)
                error.field, error.given = f"places[{lamp}]", place
                raise error
        rgb = np.asarray(colours, dtype=np.float32)
        if rgb.size == 0:
            rgb = rgb.reshape(0, 3)
        if rgb.shape != (len(places), 3) or not (np.isfinite(rgb) & (rgb >= 0)).all():
            raise InputError(
                "the lamps' colours cannot be used", field="colours", given=rgb.tolist()
            ).allowing(
                f"{len(places)} rows of red, green and blue, each 0 or more",
                remedy="give one colour for each lamp",
            )
        unchanged = np.ones(3, np.float32)
        self._lamps = [
            (scene.light[place], unchanged if place in scene.own_colour else each)
            for place, each in zip(places, rgb, strict=True)
        ]
        self._weights = np.ones(1 + len(places), np.float32)
        self._dark = np.empty((*self.shape, 3), np.uint8)
        self._places = list(places)
        self._lay_out(1.0)

    def linear(self, brightness: ArrayLike) -> Floats:
        """Linear light [3, h, w] before the tone curve, for brightness [lamps]."""
        light = self.scene.ambient.copy()
        for each, (white, rgb) in zip(self._checked(brightness), self._lamps, strict=True):
            light += each * (white * rgb[:, None, None])
        return light

    def frame(self, brightness: ArrayLike, phase: int = 0) -> Bytes:
        """One picture [h, w, 3] in sRGB for the lamps' brightness [lamps], each 0..1.

        `phase` is that of what moves, 0 to `PHASES` - 1; in phase 0 the scene is as it was drawn.
        """
        row = self._checked(brightness)
        if row.max(initial=0) > self._most:
            self._lay_out(float(row.max()))
        self._weights[1:] = row
        picture = np.empty_like(self._dark)
        for rows in self._unlit:
            picture[rows] = self._dark[rows]
        for band in self._bands:
            self._draw(band, picture)
        if phase and (moving := self.scene.moving):
            picture.reshape(-1, 3)[moving.pixels] = self._moving(moving, phase)
        return picture

    def _moving(self, moving: Moving, phase: int) -> Bytes:
        """The pixels [m, 3] of what moves."""
        maps = np.stack([moving.ambient[phase], *(moving.light[p][phase] for p in self._places)])
        maps = maps.astype(np.float32)
        for each, (_, rgb) in zip(maps[1:], self._lamps, strict=True):
            each *= rgb[:, None]
        light = np.tensordot(self._weights, maps, 1)
        largest = light.max(axis=0).clip(1e-9, None)
        light *= tone_curve(largest) / largest
        return srgb8(light.T)

    def _lay_out(self, most: float) -> None:
        """Find what lamps can change that are never brighter than `most`."""
        self._most, self._bands, self._unlit = most, [], []
        rows, columns = self.shape
        count = -(-rows * columns // BAND_PIXELS)
        most_pixels = 3 * columns * -(-rows // count)
        self._light = np.empty(most_pixels, np.float32)
        self._index = np.empty(most_pixels, np.uint16)
        bright = np.empty_like(self._dark)
        for number in range(count):  # of even size: BLAS rounds small products otherwise
            within = slice(rows * number // count, rows * (number + 1) // count)
            band = self._band(within)
            self._weights[1:] = 0
            self._draw(band, self._dark)
            self._weights[1:] = most
            bent = self._draw(band, bright) > STRAIGHT
            # Where it is straight, more light nowhere makes a code lower.
            if bent.any() or not np.array_equal(self._dark[within], bright[within]):
                where = 3 * np.flatnonzero(bent) + np.arange(3)[:, None]
                self._bands.append(replace(band, bent=where))
            else:
                self._unlit.append(within)

    def _band(self, rows: slice) -> _Band:
        ambient = np.moveaxis(self.scene.ambient[:, rows], 0, -1)
        # The ambient light is one more lamp that always burns: one product does it all.
        maps = np.empty((1 + len(self._lamps), *ambient.shape), np.float32)
        maps[0] = ambient
        for each, (white, rgb) in zip(maps[1:], self._lamps, strict=True):
            np.multiply(np.moveaxis(white[:, rows], 0, -1), rgb, out=each)
        maps *= CODE_STEPS
        everywhere = np.arange(ambient.size).reshape(-1, 3).T
        return _Band(rows, maps.reshape(len(maps), -1), everywhere)

    def _draw(self, band: _Band, picture: Bytes) -> Floats:
        """Draw a band into a picture [h, w, 3]; gives the largest of each pixel that may bend."""
        count = band.maps.shape[1]
        light = np.matmul(self._weights, band.maps, out=self._light[:count])
        shown, index = picture[band.rows].reshape(-1), self._index[:count]
        with np.errstate(invalid="ignore"):  # what is too bright is bent, and drawn anew
            index[:] = light
        CODES.take(index, out=shown, mode="clip")
        planes = light.take(band.bent)
        largest: Floats = planes.max(axis=0)
        if largest.max(initial=0) > BRIGHTEST_STEP:
            planes *= BRIGHTEST_STEP / np.maximum(largest, BRIGHTEST_STEP)
        tone = (np.minimum(largest, BRIGHTEST_STEP) * TONE_PER_STEP).astype(np.uint16)
        planes *= TONE.take(tone, mode="clip")
        shown[band.bent] = CODES.take(planes.astype(np.uint16), mode="clip")
        return largest

    def frames(self, brightness: ArrayLike) -> Iterator[Bytes]:
        """Pictures [h, w, 3], one for each row of `brightness` [n, lamps]."""
        yield from map(self.frame, np.asarray(brightness, dtype=np.float32))

    def _checked(self, brightness: ArrayLike) -> Floats:
        row = np.asarray(brightness, dtype=np.float32)
        if row.shape != (len(self._weights) - 1,):
            raise InputError(
                "the brightness does not fit the lamps",
                field="brightness",
                given=f"shape {row.shape}",
                allowed=f"shape ({len(self._weights) - 1},), one number for each lamp",
                remedy="give one brightness for each lamp",
            )
        if not (np.isfinite(row) & (row >= 0)).all():
            raise InputError(
                "a lamp cannot be this bright", field="brightness", given=row.tolist()
            ).allowing(
                "0 or more for each lamp; 1 is full brightness",
                remedy="give each lamp a brightness from 0 to 1",
            )
        return row
