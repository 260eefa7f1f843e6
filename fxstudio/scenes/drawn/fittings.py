"""The kit of parts that scenes share: bolts, pipes, gauges, wheels, levers, tools and lamps."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fxstudio.arrays import Floats

from .shapes import Point, around, circle, cloud, joined, polygon, rim, rod, single, slab
from .surface import (
    BRASS,
    COPPER,
    CREAM,
    INK,
    IRON,
    RED,
    SOOT,
    STEEL,
    WOOD,
    Canvas,
    Material,
    brighter,
    rounded,
)

LAMP_CASE = Material((0.36, 0.34, 0.30), gloss=0.5, grain=0.2)
CLEAR_GLASS, RED_GLASS = Material((0.16, 0.17, 0.18), 0.9), Material((0.16, 0.01, 0.01), 0.9)

LENS = 0.020
"""Radius of a lamp's lens, of which its case and its glare are multiples."""


def bolts(
    canvas: Canvas, points: Sequence[Point], radius: float, material: Material, z: float
) -> None:
    """Rivet or bolt heads at `points`, each in a thin dark ring of grime."""
    for x, y in points:
        canvas.paint(circle(x, y, radius * 1.3), SOOT, z)
        canvas.paint(circle(x, y, radius), material, z, rounded(radius, radius * 0.9))


def pipe(
    canvas: Canvas, points: Sequence[Point], radius: float, material: Material, z: float
) -> None:
    """A pipe through `points` with a coupling nut at each end."""
    canvas.paint(rod(points, radius), material, z, rounded(radius))
    for (x, y), (x1, y1) in ((points[0], points[1]), (points[-1], points[-2])):
        length = float(np.hypot(x1 - x, y1 - y))
        dx, dy = (x1 - x) / length * radius, (y1 - y) / length * radius
        nut = rod([(x + dx, y + dy), (x + 1.6 * dx, y + 1.6 * dy)], radius * 1.45)
        canvas.paint(nut, BRASS, z, rounded(radius * 1.2))


def gauge(canvas: Canvas, x: float, y: float, radius: float, z: float, needle: float) -> None:
    """A brass-rimmed dial; `needle` in revolutions from straight up."""
    canvas.paint(circle(x, y, radius), BRASS, z, rounded(radius * 0.22))
    face = radius * 0.80
    z += radius * 0.15
    canvas.paint(circle(x, y, face), CREAM, z)
    for k, (px, py) in enumerate(around(x, y, face * 0.86, 28, 0.25)):
        if 4 <= k <= 24:
            share = 0.72 if k % 4 == 0 else 0.80
            inner = (x + (px - x) * share / 0.86, y + (py - y) * share / 0.86)
            canvas.paint(rod([inner, (px, py)], radius * 0.016), INK, z)
    angle = 2 * np.pi * needle
    dx, dy = float(np.sin(angle)), -float(np.cos(angle))
    tip, tail = 0.66 * face, -0.22 * face
    hand = rod([(x + tail * dx, y + tail * dy), (x + tip * dx, y + tip * dy)], radius * 0.030)
    canvas.paint(hand, INK, z + 0.004)
    canvas.paint(circle(x, y, radius * 0.09), BRASS, z + 0.004, rounded(radius * 0.09))


def hand_wheel(canvas: Canvas, x: float, y: float, radius: float, z: float) -> None:
    """A small valve wheel with four spokes."""
    spokes = [rod([(x, y), p], radius * 0.10) for p in around(x, y, radius * 0.85, 4, 0.125)]
    canvas.paint(joined(*spokes), brighter(RED, 0.7), z, rounded(radius * 0.1))
    canvas.paint(
        rim(circle(x, y, radius * 0.86), radius * 0.28),
        brighter(RED, 0.7),
        z,
        rounded(radius * 0.14),
    )
    canvas.paint(circle(x, y, radius * 0.24), BRASS, z, rounded(radius * 0.2))


def water_glass(canvas: Canvas, x: float, y: float, half: float, z: float) -> None:
    """A water gauge: glass between two brass cocks, half full."""
    canvas.paint(slab(x, y, 0.024, half * 0.86, 0.004), SOOT, z, rounded(0.006))
    glass = Material((0.16, 0.20, 0.22), gloss=0.9)
    canvas.paint(rod([(x, y - half), (x, y + half)], 0.0095), glass, z + 0.012, rounded(0.0095))
    water = Material((0.045, 0.075, 0.085), gloss=0.9)
    canvas.paint(
        slab(x, y + half * 0.45, 0.0075, half * 0.5, 0.003), water, z + 0.014, rounded(0.0075)
    )
    for end in (-half, half):
        canvas.paint(slab(x, y + end, 0.019, 0.014, 0.005), BRASS, z + 0.015, rounded(0.012))
        canvas.paint(
            rod([(x, y + end), (x + 0.034, y + end)], 0.006), BRASS, z + 0.02, rounded(0.006)
        )
        canvas.paint(circle(x + 0.036, y + end, 0.009), WOOD, z + 0.02, rounded(0.009))


def lever(canvas: Canvas, x: float, y: float, z: float) -> None:
    """The regulator: a long polished handle across the backhead, on a brass boss."""
    canvas.paint(circle(x, y, 0.030), BRASS, z, rounded(0.012))
    bar = rod([(x - 0.125, y + 0.020), (x, y), (x + 0.105, y - 0.030)], 0.0085)
    canvas.paint(bar, STEEL, z + 0.035, rounded(0.0085))
    canvas.paint(
        rod([(x - 0.128, y + 0.0205), (x - 0.085, y + 0.0136)], 0.012),
        STEEL,
        z + 0.04,
        rounded(0.012),
    )
    canvas.paint(circle(x, y, 0.015), STEEL, z + 0.045, rounded(0.008))


def oil_can(canvas: Canvas, x: float, y: float, z: float) -> None:
    """A long-spouted oil can whose foot stands at (x, y)."""
    canvas.paint(
        rod([(x + 0.016, y - 0.030), (x + 0.062, y - 0.052)], 0.0032), COPPER, z, rounded(0.0032)
    )
    body = polygon([(x - 0.016, y - 0.040), (x + 0.016, y - 0.040), (x + 0.026, y), (x - 0.026, y)])
    canvas.paint(body, COPPER, z, rounded(0.022))
    canvas.paint(slab(x, y - 0.043, 0.010, 0.006, 0.003), BRASS, z, rounded(0.006))
    canvas.paint(rim(circle(x - 0.024, y - 0.026, 0.014), 0.005), BRASS, z, rounded(0.0025))


def shovel(canvas: Canvas, x: float, y: float) -> None:
    """A firing shovel leaning against the cab side, blade on the boards at (x, y + 0.2)."""
    z = 0.10
    canvas.paint(
        rod([(x + 0.105, y - 0.27), (x + 0.02, y + 0.10)], 0.0085),
        brighter(WOOD, 1.4),
        z,
        rounded(0.0085),
    )
    canvas.paint(
        rod([(x + 0.085, y - 0.285), (x + 0.128, y - 0.275)], 0.010),
        brighter(WOOD, 1.4),
        z,
        rounded(0.010),
    )
    blade = polygon(
        [
            (x - 0.012, y + 0.085),
            (x + 0.056, y + 0.100),
            (x + 0.045, y + 0.215),
            (x - 0.018, y + 0.225),
            (x - 0.058, y + 0.185),
        ],
        0.006,
    )
    worn = Material((0.30, 0.28, 0.26), gloss=0.6, metal=0.5, grain=0.4)
    canvas.paint(blade, worn, z, rounded(0.030, 0.016), tilt=(-0.6, -0.25, 0.7))
    canvas.paint(
        rod([(x + 0.030, y + 0.05), (x + 0.015, y + 0.13)], 0.012), STEEL, z + 0.01, rounded(0.012)
    )


def lamp_case(
    canvas: Canvas,
    x: float,
    y: float,
    case: Material = LAMP_CASE,
    glass: Material = CLEAR_GLASS,
    lens: float = LENS,
    z: float = 0.0,
) -> None:
    """An oil-lamp shaped case: bracket, body, chimney cap, handle and lens ring.

    The middle of the lens, of radius `lens`, is at (x, y); the bracket stands before `z`.
    """
    k = lens / LENS
    canvas.paint(slab(x, y + 0.042 * k, 0.010 * k, 0.012 * k), IRON, z + 0.02)
    handle = rim(circle(x, y - 0.044 * k, 0.016 * k), 0.004 * k)
    canvas.paint(handle, IRON, z + 0.05, rounded(0.002 * k))
    cap = slab(x, y - 0.036 * k, 0.014 * k, 0.008 * k, 0.003 * k)
    canvas.paint(cap, case, z + 0.05, rounded(0.008 * k))
    body = slab(x, y, 0.029 * k, 0.033 * k, 0.006 * k)
    canvas.paint(body, case, z + 0.04, rounded(0.014 * k))
    canvas.paint(circle(x, y, lens + 0.006 * k), BRASS, z + 0.06, rounded(0.006 * k))
    canvas.paint(circle(x, y, lens), glass, z + 0.062, rounded(lens, 0.010 * k))


def lens_glare(canvas: Canvas, x: float, y: float, lens: float = LENS) -> Floats:
    """Light of a burning lens and its glare [h, w]: bull's-eye rings, a soft halo and rays."""
    k = lens / LENS
    r = np.hypot(canvas.x - x, canvas.y - y)
    rings = 0.85 + 0.15 * np.cos(r / lens * 2 * np.pi * 2.5)
    core = (
        canvas.mask(circle(x, y, lens)) * (0.7 + 3.3 * np.exp(-((r / (0.55 * lens)) ** 2))) * rings
    )
    glare = 0.55 / (1 + (r / (0.022 * k)) ** 2) ** 1.4 + 0.050 * np.exp(-r / (0.11 * k))
    angle = np.arctan2(canvas.y - y, canvas.x - x)
    rays = 0.5 + 0.5 * np.cos(angle * 6 + 0.5)
    glare += 0.16 * rays**6 * np.exp(-r / (0.035 * k))
    return single(core + glare * (0.9 + 0.2 * cloud(canvas.x * 6, canvas.y * 6, 55)))
