"""Shapes as signed distances, and smooth noise: the drawing tools of every scene.

Lengths are in picture heights, x to the right from the middle, y downwards from the top, so a
shape does not know how many pixels it will cover. A distance is negative inside.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Floats

Point = tuple[float, float]


@dataclass(frozen=True)
class Shape:
    """A region: `distance(x, y)` to its edge, and the box (x0, y0, x1, y1) that holds it."""

    distance: Callable[[Floats, Floats], Floats]
    box: tuple[float, float, float, float]


def circle(x: float, y: float, radius: float) -> Shape:
    """A disc around (x, y)."""
    return Shape(
        lambda px, py: np.hypot(px - x, py - y) - radius,
        (x - radius, y - radius, x + radius, y + radius),
    )


def oval(x: float, y: float, half_width: float, half_height: float) -> Shape:
    """An ellipse around (x, y); its distance is exact on the edge, close to it elsewhere."""

    def distance(px: Floats, py: Floats) -> Floats:
        u, v = (px - x) / half_width, (py - y) / half_height
        k = np.hypot(u, v)
        slope = np.hypot(u / half_width, v / half_height)
        away: Floats = k * (k - 1) / np.maximum(slope, 1e-6) - 1e-6
        return away

    return Shape(distance, (x - half_width, y - half_height, x + half_width, y + half_height))


def slab(x: float, y: float, half_width: float, half_height: float, corner: float = 0.0) -> Shape:
    """A rectangle around (x, y) with rounded corners."""

    def distance(px: Floats, py: Floats) -> Floats:
        u = np.abs(px - x) - half_width + corner
        v = np.abs(py - y) - half_height + corner
        outside = np.hypot(np.maximum(u, 0), np.maximum(v, 0))
        away: Floats = outside + np.minimum(np.maximum(u, v), 0) - corner
        return away

    return Shape(distance, (x - half_width, y - half_height, x + half_width, y + half_height))


def rod(points: Sequence[Point], radius: float) -> Shape:
    """A round bar or pipe along a line through `points`."""

    def distance(px: Floats, py: Floats) -> Floats:
        nearest: Floats = np.array(np.inf, np.float32)
        for (x0, y0), (x1, y1) in pairwise(points):
            dx, dy = x1 - x0, y1 - y0
            along = np.clip(((px - x0) * dx + (py - y0) * dy) / (dx * dx + dy * dy), 0, 1)
            d = np.hypot(px - x0 - along * dx, py - y0 - along * dy)
            nearest = np.minimum(nearest, d)
        return nearest - radius

    xs, ys = zip(*points, strict=True)
    return Shape(distance, (min(xs) - radius, min(ys) - radius, max(xs) + radius, max(ys) + radius))


def polygon(points: Sequence[Point], corner: float = 0.0) -> Shape:
    """A convex polygon, corners in clockwise order on the screen."""

    def distance(px: Floats, py: Floats) -> Floats:
        farthest: Floats = np.array(-np.inf, np.float32)
        for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
            dx, dy = x1 - x0, y1 - y0
            d = ((px - x0) * dy - (py - y0) * dx) / np.hypot(dx, dy)
            farthest = np.maximum(farthest, d)
        return farthest - corner

    xs, ys = zip(*points, strict=True)
    return Shape(distance, (min(xs) - corner, min(ys) - corner, max(xs) + corner, max(ys) + corner))


def rim(shape: Shape, width: float) -> Shape:
    """A band of `width` around the edge of `shape`, half of it outside."""
    x0, y0, x1, y1 = shape.box
    half = width / 2
    return Shape(
        lambda x, y: np.abs(shape.distance(x, y)) - half,
        (x0 - half, y0 - half, x1 + half, y1 + half),
    )


def grown(shape: Shape, by: float) -> Shape:
    """`shape` made larger by `by` all round."""
    x0, y0, x1, y1 = shape.box
    return Shape(lambda x, y: shape.distance(x, y) - by, (x0 - by, y0 - by, x1 + by, y1 + by))


def joined(*shapes: Shape) -> Shape:
    """Everything that lies in any of the shapes."""
    boxes = np.array([shape.box for shape in shapes])
    return Shape(
        lambda x, y: np.minimum.reduce([shape.distance(x, y) for shape in shapes]),
        (*boxes[:, :2].min(0), *boxes[:, 2:].max(0)),
    )


def common(first: Shape, second: Shape) -> Shape:
    """What lies in both shapes."""
    a, b = first.box, second.box
    return Shape(
        lambda x, y: np.maximum(first.distance(x, y), second.distance(x, y)),
        (max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])),
    )


def without(shape: Shape, hole: Shape) -> Shape:
    """`shape` with `hole` cut out of it."""
    return Shape(lambda x, y: np.maximum(shape.distance(x, y), -hole.distance(x, y)), shape.box)


def around(x: float, y: float, radius: float, count: int, turn: float = 0.0) -> list[Point]:
    """`count` points spaced evenly on a circle; `turn` in revolutions from the right."""
    angles = 2 * np.pi * (np.arange(count) / count + turn)
    return [(x + radius * float(np.cos(a)), y + radius * float(np.sin(a))) for a in angles]


def single(values: Floats) -> Floats:
    """`values` in single precision, as all maps of light are kept."""
    return values.astype(np.float32, copy=False)


def smoothstep(low: float | Floats, high: float, value: Floats) -> Floats:
    """0 below `low`, 1 above `high`, smooth between; `high` may be the smaller one."""
    t = np.clip((value - low) / (high - low), 0, 1)
    smooth: Floats = t * t * (3 - 2 * t)
    return smooth


def lattice(ix: NDArray[np.int32], iy: NDArray[np.int32], seed: int) -> Floats:
    """A random number 0..1 for each lattice point: an integer hash, the same everywhere."""
    h = ix.astype(np.uint32) * np.uint32(0x8DA6B343) ^ iy.astype(np.uint32) * np.uint32(0xD8163841)
    h ^= np.uint32(seed * 0xCB1AB31F & 0xFFFFFFFF)
    h ^= h >> np.uint32(15)
    h *= np.uint32(0x2C1B3C6D)
    h ^= h >> np.uint32(12)
    h *= np.uint32(0x297A2D39)
    h ^= h >> np.uint32(15)
    return (h >> np.uint32(8)).astype(np.float32) * np.float32(1 / 2**24)


def noise(x: Floats, y: Floats, seed: int = 0) -> Floats:
    """Smooth noise 0..1 with features about one unit apart."""
    fx, fy = np.floor(x), np.floor(y)
    ix, iy = fx.astype(np.int32), fy.astype(np.int32)
    u, v = x - fx, y - fy
    u, v = u * u * (3 - 2 * u), v * v * (3 - 2 * v)
    top = lattice(ix, iy, seed) * (1 - u) + lattice(ix + 1, iy, seed) * u
    low = lattice(ix, iy + 1, seed) * (1 - u) + lattice(ix + 1, iy + 1, seed) * u
    return (top * (1 - v) + low * v).astype(np.float32)


def cloud(x: Floats, y: Floats, seed: int = 0, octaves: int = 3) -> Floats:
    """Noise 0..1 summed over `octaves`, each half as large and half as strong."""
    total, weight = np.zeros(np.broadcast(x, y).shape, np.float32), 0.0
    for octave in range(octaves):
        total += 0.5**octave * noise(x * 2**octave, y * 2**octave, seed + 17 * octave)
        weight += 0.5**octave
    return total / np.float32(weight)


def lumps(x: Floats, y: Floats, seed: int = 0) -> tuple[Floats, Floats, Floats]:
    """Irregular cells one unit apart, as broken coal or ballast lies.

    Returns the distance to the cell's middle, the gap to the next cell (0 on the joint) and a
    random number 0..1 of the cell.
    """
    ix, iy = np.floor(x).astype(np.int32), np.floor(y).astype(np.int32)
    near = np.full(np.broadcast(x, y).shape, 9.0, np.float32)
    second, which = near.copy(), np.zeros_like(near)
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            cx, cy = ix + dx, iy + dy
            jx, jy = lattice(cx, cy, seed), lattice(cx, cy, seed + 1)
            d = np.hypot(cx + 0.1 + 0.8 * jx - x, cy + 0.1 + 0.8 * jy - y)
            closer = d < near
            second = np.where(closer, near, np.minimum(second, d))
            which = np.where(closer, lattice(cx, cy, seed + 2), which)
            near = np.where(closer, d, near)
    return near, second - near, which


def blur(planes: Floats, radius: float) -> Floats:
    """`planes` [..., h, w] smeared by about `radius` pixels: three running means each way."""
    for axis in (-1, -2):
        half = min(round(radius), planes.shape[axis] - 1)
        if half < 1:
            continue
        size = 2 * half + 1
        for _ in range(3):
            pads = [(0, 0)] * planes.ndim
            pads[axis] = (half + 1, half)
            total = np.cumsum(np.pad(planes, pads, mode="edge"), axis=axis, dtype=np.float64)
            total = np.moveaxis(total, axis, -1)
            mean = (total[..., size:] - total[..., :-size]) / size
            planes = np.moveaxis(mean, -1, axis).astype(np.float32)
    return planes


def shrunk(planes: Floats, by: int) -> Floats:
    """`planes` [..., h, w] as the mean of blocks of `by` x `by` pixels."""
    rows, columns = planes.shape[-2:]
    pads = [(0, 0)] * (planes.ndim - 2) + [(0, -rows % by), (0, -columns % by)]
    padded = np.pad(planes, pads, mode="edge")
    shape = (*planes.shape[:-2], padded.shape[-2] // by, by, padded.shape[-1] // by, by)
    means: Floats = padded.reshape(shape).mean((-3, -1))
    return means


def enlarged(planes: Floats, by: int, rows: int, columns: int) -> Floats:
    """`planes` [..., h, w] drawn `by` times larger, linear between, cut to `rows` x `columns`."""
    for axis, size in ((-2, rows), (-1, columns)):
        at = np.clip((np.arange(size) + 0.5) / by - 0.5, 0, planes.shape[axis] - 1)
        low = at.astype(np.intp)
        high = np.minimum(low + 1, planes.shape[axis] - 1)
        share = (at - low).astype(np.float32)
        share = share[:, None] if axis == -2 else share
        first = planes.take(low, axis)
        planes = first + share * (planes.take(high, axis) - first)
    return planes
