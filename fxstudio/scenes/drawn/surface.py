"""Surfaces and the light that falls on them.

A scene is first drawn as surfaces (where, which way they face, what they are made of), then
every lamp shines on them: inverse square of the distance, cosine at the surface and at the
source, gloss, and soft shadows. Light of a white lamp is kept apart for each place.

Space is in picture heights: x right, y down, z towards the viewer; z = 0 is the back plane,
which stands on the screen at scale 1.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import copy
from dataclasses import dataclass, replace

import numpy as np

from fxstudio.arrays import Floats

from .shapes import Shape, blur, cloud, enlarged, noise, shrunk, single

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Material:
    """What a surface is made of.

    Parameters
    ----------
    albedo : share of the red, green and blue light that comes back
    gloss : strength of the sharp reflection 0..1; for metals tinted by the albedo
    metal : 0 for paint, wood and stone, 1 for bare metal
    grain : how uneven the albedo is, 0..1
    """

    albedo: Vector
    gloss: float = 0.1
    metal: float = 0.0
    grain: float = 0.25


IRON = Material((0.050, 0.047, 0.045), gloss=0.25, metal=0.15, grain=0.5)
SOOT = Material((0.022, 0.020, 0.019), gloss=0.06, grain=0.5)
STEEL = Material((0.46, 0.45, 0.43), gloss=0.7, metal=0.9, grain=0.2)
BRASS = Material((0.80, 0.53, 0.19), gloss=0.9, metal=0.95, grain=0.12)
COPPER = Material((0.78, 0.37, 0.21), gloss=0.8, metal=0.95, grain=0.2)
CREAM = Material((0.70, 0.64, 0.50), gloss=0.1, grain=0.05)
INK = Material((0.02, 0.02, 0.02), gloss=0.02, grain=0.0)
RED = Material((0.33, 0.030, 0.022), gloss=0.35, grain=0.2)
WOOD = Material((0.17, 0.105, 0.06), gloss=0.08, grain=0.5)


def flat(depth: Floats) -> Floats:
    """A relief without any bulge."""
    return np.zeros_like(depth)


def rounded(radius: float, height: float | None = None) -> Callable[[Floats], Floats]:
    """A relief rising like a quarter circle within `radius` of the edge to `height`."""
    top = radius if height is None else height

    def relief(depth: Floats) -> Floats:
        t = np.clip(depth / radius, 0, 1)
        rise: Floats = top * np.sqrt(1 - (1 - t) ** 2 * 0.97)
        return rise

    return relief


@dataclass(frozen=True)
class Light:
    """A small source of white light.

    Parameters
    ----------
    at : where it is
    power : light on a facing surface one picture height away
    radius : how large it is; softens the falloff nearby
    facing : direction it shines to, or None for all directions
    wrap : 0..1, how far light reaches round edges, as from a wide source
    shadow : 0..1, how dark its shadows are
    """

    at: Vector
    power: float
    radius: float = 0.05
    facing: Vector | None = None
    wrap: float = 0.0
    shadow: float = 0.0


BAND_PIXELS = 100_000
"""As much of a canvas is worked on at a time, so that what is worked out on the way is small."""


class Canvas:
    """Surfaces of a picture of `width` x `height` pixels.

    Planes, all float32: `x`, `y` [h, w] screen position, `place` [3, h, w] in space, `normal`
    [3, h, w], `albedo` [3, h, w], `gloss`, `metal` [h, w], `solid` [h, w] how much of a pixel
    anything covers. A picture taller than wide shows
    the same width and more above and below.
    """

    def __init__(self, width: int, height: int, eye: Vector) -> None:
        self.unit = min(height, width)
        self.eye = eye
        column = (np.arange(width) + 0.5 - width / 2) / self.unit
        row = (np.arange(height) + 0.5 - height / 2) / self.unit + 0.5
        x, y = np.meshgrid(column, row)
        self.x, self.y = x.astype(np.float32), y.astype(np.float32)
        self.place = np.stack([self.x, self.y, np.zeros_like(self.x)])
        self.normal = np.zeros_like(self.place)
        self.normal[2] = 1
        self.albedo = np.zeros_like(self.place)
        self.gloss = np.zeros_like(self.x)
        self.metal = np.zeros_like(self.x)
        self.solid = np.zeros_like(self.x)
        self.fine, self.blotch = np.empty_like(self.x), np.empty_like(self.x)
        for _, band in self.bands():
            band.fine[:] = cloud(band.x * 90, band.y * 90, 3, 2) - 0.5
            band.blotch[:] = cloud(band.x * 14, band.y * 14, 5, 3) - 0.5

    def bands(self) -> Iterator[tuple[slice, Canvas]]:
        """Its rows in bands: which, and a canvas of them that shares all planes with this one."""
        rows, columns = self.shape
        count = -(-rows * columns // BAND_PIXELS)
        for number in range(count):  # of even size: BLAS rounds small products otherwise
            within = slice(rows * number // count, rows * (number + 1) // count)
            band = copy(self)
            for name, planes in vars(self).items():
                if isinstance(planes, np.ndarray):
                    setattr(band, name, planes[..., within, :])
            yield within, band

    @property
    def shape(self) -> tuple[int, int]:
        """Height and width in pixels."""
        return self.x.shape

    def window(self, shape: Shape) -> tuple[slice, slice] | None:
        """The rows and columns that hold `shape`, or None if it is off the picture."""
        margin = 2 / self.unit
        x0, y0, x1, y1 = shape.box
        left, top = (
            np.searchsorted(self.x[0], x0 - margin),
            np.searchsorted(self.y[:, 0], y0 - margin),
        )
        right, low = (
            np.searchsorted(self.x[0], x1 + margin),
            np.searchsorted(self.y[:, 0], y1 + margin),
        )
        return (slice(top, low), slice(left, right)) if right - left > 1 and low - top > 1 else None

    def embed(self, window: tuple[slice, slice], part: Floats) -> Floats:
        """`part` put into a dark picture [h, w] at `window`."""
        whole = np.zeros_like(self.x)
        whole[window] = part
        return whole

    def mask(self, shape: Shape, soft: float = 0.0) -> Floats:
        """Coverage 0..1 [h, w] of `shape`; its edge is a pixel wide, or `soft` heights."""
        return self.cover(shape.distance(self.x, self.y), soft)

    def cover(self, distance: Floats, soft: float = 0.0) -> Floats:
        """Coverage 0..1 of a distance to an edge."""
        return single(np.clip(0.5 - distance / max(1 / self.unit, soft), 0, 1))

    def paint(
        self,
        shape: Shape,
        material: Material,
        z: float = 0.0,
        relief: Callable[[Floats], Floats] = flat,
        shade: float = 1.0,
        tilt: Vector | None = None,
    ) -> None:
        """Put an object on the picture.

        `z` is how far its foot stands out, `relief` its height by depth inside its edge,
        `shade` a factor on its albedo, `tilt` a normal for a flat face turned to one side.
        """
        window = self.window(shape)
        if window is None:
            return
        x, y = self.x[window], self.y[window]
        distance = shape.distance(x, y).astype(np.float32)
        part = self.cover(distance)
        height = relief(-distance).astype(np.float32)
        slope_y, slope_x = np.gradient(height, 1 / self.unit)
        rough = 0.5 * material.grain * self.fine[window]
        normal = np.stack([rough - slope_x, rough - slope_y, np.ones_like(height)])
        if tilt is not None:
            normal += np.array(tilt, np.float32)[:, None, None] - np.array([[[0]], [[0]], [[1]]])
        normal /= np.linalg.norm(normal, axis=0)
        uneven = 1 + material.grain * (self.blotch[window] + 0.8 * self.fine[window])
        colour = np.array(material.albedo, np.float32)[:, None, None] * (shade * uneven)
        self.blend(window, part, colour, normal, np.stack([x, y, z + height]), material)

    def blend(
        self,
        window: tuple[slice, slice],
        part: Floats,
        colour: Floats,
        normal: Floats,
        place: Floats,
        material: Material,
    ) -> None:
        """Lay a surface over what is in `window`, by its coverage `part`."""
        for planes, value in (
            (self.albedo, np.maximum(colour, 0)),
            (self.normal, normal),
            (self.place, place),
            (self.gloss, material.gloss),
            (self.metal, material.metal),
            (self.solid, 1.0),
        ):
            view = planes[..., window[0], window[1]]
            view += part * (value - view)

    def shine(self, light: Light) -> Floats:
        """White light [3, h, w] that comes back from the surfaces under one source."""
        shine = np.empty_like(self.place)
        shade = light.shadow * self.shadow(light) if light.shadow else np.zeros_like(self.x)
        for rows, band in self.bands():
            shine[:, rows] = band._shine(light, shade[rows])
        return shine

    def _shine(self, light: Light, shade: Floats) -> Floats:
        to_light = np.array(light.at, np.float32)[:, None, None] - self.place
        square = np.einsum("chw,chw->hw", to_light, to_light) + light.radius**2
        to_light /= np.sqrt(square)
        strength = light.power / square
        if light.facing is not None:
            axis = np.array(light.facing, np.float32)
            axis /= np.linalg.norm(axis)
            strength *= np.maximum(-np.tensordot(axis, to_light, 1), 0)
        strength *= 1 - shade
        cosine = np.einsum("chw,chw->hw", self.normal, to_light)
        diffuse = np.maximum((cosine + light.wrap) / (1 + light.wrap), 0) * strength
        to_eye = np.array(self.eye, np.float32)[:, None, None] - self.place
        to_eye /= np.linalg.norm(to_eye, axis=0)
        half = to_light + to_eye
        half /= np.linalg.norm(half, axis=0) + 1e-6
        mirror = np.clip(np.einsum("chw,chw->hw", self.normal, half), 0, 1)
        facing = np.clip((cosine + 0.2) * 4, 0, 1)
        broad = mirror * mirror
        broad *= broad * broad
        fine = broad * broad
        fine *= fine
        sharp = (2.2 * fine * fine + 0.5 * broad) * self.gloss * strength * facing
        paint = self.albedo * (diffuse * (1 - 0.75 * self.metal))
        tint = self.metal * self.albedo + 0.10 * (1 - self.metal)
        return single(paint + tint * sharp)

    def lit(self, solid: Floats, *lights: Light) -> Floats:
        """White light [3, h, w] of several sources on what is `solid` [h, w]."""
        return sum(self.shine(light) for light in lights) * solid

    def shadow(self, light: Light, steps: int = 14) -> Floats:
        """Shade 0..1 [h, w] cast by whatever stands between a surface and the source.

        The way to the source is walked across the picture; where a surface there stands
        farther out than the ray, the ray is blocked.
        """
        stride = max(1, round(self.unit / 170))
        rows, columns = self.shape
        depth = self.place[2, ::stride, ::stride]
        px, py, pz = self.place[:, ::stride, ::stride]
        ex, ey, ez = self.eye
        blocked = np.zeros_like(pz)
        jitter = noise(self.x[::stride, ::stride] * 400, self.y[::stride, ::stride] * 400, 9)
        for step in range(steps):
            t = ((step + 0.2 + 0.6 * jitter) / steps) ** 1.5
            qx, qy, qz = (p + t * (q - p) for p, q in zip((px, py, pz), light.at, strict=True))
            scale = ez / np.maximum(ez - qz, 0.1)
            u = (ex + (qx - ex) * scale) * self.unit + columns / 2
            v = (ey + (qy - ey) * scale - 0.5) * self.unit + rows / 2
            inside = (u >= 0) & (u < columns) & (v >= 0) & (v < rows)
            iu = np.clip(u / stride, 0, depth.shape[1] - 1).astype(np.intp)
            iv = np.clip(v / stride, 0, depth.shape[0] - 1).astype(np.intp)
            over = depth[iv, iu] - qz
            hit = np.clip((over - 0.006) / 0.02, 0, 1) * np.clip((0.35 - over) / 0.1, 0, 1)
            blocked = np.maximum(blocked, np.where(inside, hit, 0))
        soft = blur(blocked.astype(np.float32), 0.006 * self.unit / stride)
        return soft if stride == 1 else enlarged(soft, stride, rows, columns)

    def glow(self, emission: Floats, *halos: tuple[float, float]) -> Floats:
        """`emission` [3, h, w] with halos of (radius in heights, strength), as a lens adds."""
        glow = np.empty(emission.shape, np.float32)
        for plane, total in zip(emission, glow, strict=True):  # one at a time takes less memory
            lit = plane
            for radius, strength in halos:
                stride = max(1, int(radius * self.unit / 5))
                small = blur(shrunk(plane, stride), radius * self.unit / stride / 1.7)
                lit = lit + strength * enlarged(small, stride, *self.shape)
            total[:] = lit
        return glow


def brighter(material: Material, factor: float) -> Material:
    """`material` with its albedo scaled."""
    r, g, b = material.albedo
    return replace(material, albedo=(r * factor, g * factor, b * factor))
