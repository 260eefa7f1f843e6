"""Frames: brightness of the lamps becomes an 8-bit picture.

A frame is `ambient + brightness @ lamp_maps` in linear light, one matrix product. A tone curve
then brings down the largest channel of each pixel and the others by the same factor, so that a
bright fire keeps its hue; one look-up table makes sRGB.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Bytes, Floats

from ..colour import srgb8
from ..errors import InputError
from .catalogue import Scene, no_place

KNEE = 0.45
"""Linear light up to which nothing is brought down; a choice of looks."""

BRIGHTEST = 16.0
"""Linear light the tone table reaches to; brighter light is drawn as this."""

TONE_STEPS = 1 << 15
TONE_PER_LIGHT = np.float32((TONE_STEPS - 1) / BRIGHTEST)
CODE_STEPS = 1 << 16


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
    return (CODE_STEPS * tone_curve(m) / m).astype(np.float32)


TONE = _tone_table()
CODES = srgb8((np.arange(CODE_STEPS) + 0.5) / CODE_STEPS)


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
        pixels = self.shape[0] * self.shape[1]
        # The ambient light is one more lamp that always burns: one product does it all.
        maps = [scene.ambient.reshape(3, pixels)]
        for place, colour in zip(places, rgb, strict=True):
            own = scene.light[place].reshape(3, pixels)
            maps.append(own if place in scene.own_colour else own * colour[:, None])
        self._maps = np.stack(maps).reshape(len(maps), -1)
        self._weights = np.ones(len(maps), np.float32)
        self._light = np.empty(3 * pixels, np.float32)
        self._largest = np.empty(pixels, np.float32)
        self._factor = np.empty(pixels, np.float32)
        self._index = np.empty(pixels, np.uint16)
        self._codes = np.empty(pixels, np.uint8)

    def linear(self, brightness: ArrayLike) -> Floats:
        """Linear light [3, h, w] before the tone curve, for brightness [lamps]."""
        return self._sum(brightness).reshape(3, *self.shape).copy()

    def frame(self, brightness: ArrayLike) -> Bytes:
        """One picture [h, w, 3] in sRGB for the lamps' brightness [lamps], each 0..1."""
        planes = self._sum(brightness).reshape(3, -1)
        largest = np.maximum(planes[0], planes[1], out=self._largest)
        np.maximum(largest, planes[2], out=largest)
        if largest.max() > BRIGHTEST:
            planes *= BRIGHTEST / np.maximum(largest, BRIGHTEST)
            np.minimum(largest, BRIGHTEST, out=largest)
        np.multiply(largest, TONE_PER_LIGHT, out=self._index, casting="unsafe")
        TONE.take(self._index, out=self._factor, mode="clip")
        picture = np.empty((*self.shape, 3), np.uint8)
        # Plane by plane: the buffers then stay in the processor's cache.
        for plane, channel in zip(planes, picture.reshape(-1, 3).T, strict=True):
            np.multiply(plane, self._factor, out=self._index, casting="unsafe")
            channel[:] = CODES.take(self._index, out=self._codes, mode="clip")
        return picture

    def frames(self, brightness: ArrayLike) -> Iterator[Bytes]:
        """Pictures [h, w, 3], one for each row of `brightness` [n, lamps]."""
        yield from map(self.frame, np.asarray(brightness, dtype=np.float32))

    def _sum(self, brightness: ArrayLike) -> Floats:
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
        self._weights[1:] = row
        return np.matmul(self._weights, self._maps, out=self._light)
