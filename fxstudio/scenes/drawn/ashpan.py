"""Low beside the track: driving wheels, firebox bottom and ash pan of an invented locomotive."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from .fire import Bed, warm
from .fittings import bolts
from .land import SLEEPER, SLEEPER_PITCH, Track, colour, sky
from .shapes import (
    Shape,
    around,
    circle,
    cloud,
    common,
    grown,
    joined,
    lattice,
    polygon,
    rim,
    rod,
    single,
    slab,
    smoothstep,
    without,
)
from .surface import (
    BRASS,
    COPPER,
    IRON,
    RED,
    SOOT,
    STEEL,
    Canvas,
    Light,
    Material,
    brighter,
    rounded,
)

EYE = (0.0, 0.56, 1.8)
"""Kneeling beside the track."""

GROUND = 0.28
"""Ground below the eye at the near rail."""

RAIL_TOP = 0.806
WHEELS = (-0.475, 0.475)
RADIUS = 0.285
AXLE = RAIL_TOP - RADIUS
CRANK = (0.045, 0.085)
"""Crank pin from the axle."""

PAINT = Material((0.050, 0.095, 0.065), gloss=0.55, grain=0.2)
FRAME = Material((0.060, 0.058, 0.056), gloss=0.2, grain=0.5)

SLOTS = tuple(slab(x, 0.650, 0.036, 0.021, 0.005) for x in (-0.092, 0.0, 0.092))
"""Damper slots in the side of the ash pan."""


def near_rail(canvas: Canvas) -> None:
    """The near rail with its chairs."""
    half = 1.5
    rust = brighter(SLEEPER, 1.1)
    canvas.paint(slab(0, 0.845, half, 0.005), rust, 0.02, rounded(0.005))
    canvas.paint(slab(0, 0.829, half, 0.014), brighter(rust, 0.7), 0.0)
    canvas.paint(slab(0, 0.812, half, 0.0065, 0.003), brighter(STEEL, 0.8), 0.012, rounded(0.005))
    for x in (k * SLEEPER_PITCH for k in range(-10, 11)):
        chair = [
            (x - 0.012, 0.824),
            (x + 0.012, 0.824),
            (x + 0.020, 0.85),
            (x - 0.020, 0.85),
        ]
        canvas.paint(polygon(chair), brighter(rust, 0.8), 0.02, rounded(0.006))


def wheel(canvas: Canvas, x: float, z: float) -> None:
    """A spoked driving wheel with balance weight, tyre and crank boss."""
    y = AXLE
    spokes = [rod([(x, y), end], 0.0105) for end in around(x, y, RADIUS - 0.03, 16, 1 / 32)]
    felloe = rim(circle(x, y, RADIUS - 0.030), 0.026)
    canvas.paint(joined(*spokes), PAINT, z, rounded(0.0105))
    disc = circle(x, y, RADIUS - 0.03)
    weight = common(disc, beyond_chord(x, y))
    canvas.paint(weight, PAINT, z + 0.008, rounded(0.008))
    canvas.paint(felloe, PAINT, z, rounded(0.010))
    canvas.paint(rim(circle(x, y, RADIUS - 0.008), 0.017), STEEL, z + 0.01, rounded(0.006))
    boss = rod([(x, y), (x + CRANK[0], y + CRANK[1])], 0.042)
    canvas.paint(boss, PAINT, z + 0.015, rounded(0.014))
    canvas.paint(circle(x, y, 0.026), STEEL, z + 0.03, rounded(0.008))


def beyond_chord(x: float, y: float) -> Shape:
    """The half plane beyond a chord opposite the crank pin."""
    length = float(np.hypot(*CRANK))
    nx, ny = CRANK[0] / length, CRANK[1] / length
    return Shape(
        lambda px, py: (px - x) * nx + (py - y) * ny + 0.165,
        (x - RADIUS, y - RADIUS, x + RADIUS, y + RADIUS),
    )


def motion(canvas: Canvas, z: float) -> None:
    """The coupling rod from crank pin to crank pin and beyond."""
    y = AXLE + CRANK[1]
    pins = [x + CRANK[0] for x in WHEELS]
    canvas.paint(rod([(pins[0] - 1, y), (pins[1], y)], 0.017), STEEL, z, rounded(0.008))
    fluting = slab((pins[0] + pins[1]) / 2, y, 0.40, 0.008, 0.006)
    canvas.paint(fluting, brighter(STEEL, 0.5), z + 0.002)
    for x in pins:
        canvas.paint(circle(x, y, 0.036), STEEL, z, rounded(0.012))
        canvas.paint(circle(x, y, 0.022), BRASS, z + 0.012, rounded(0.006))
        canvas.paint(circle(x, y, 0.012), STEEL, z + 0.02, rounded(0.010))
        canvas.paint(slab(x, y - 0.042, 0.012, 0.010, 0.003), BRASS, z, rounded(0.006))


def frames(canvas: Canvas) -> None:
    """Boiler and running plate above, main frame, firebox and ash pan between the wheels."""
    frame = without(
        slab(0, 0.42, 2.0, 0.105), joined(*(circle(x, 0.42, 0.052) for x in (-0.88, 0.88)))
    )
    canvas.paint(frame, FRAME, -0.02)
    for x in WHEELS:
        canvas.paint(
            slab(x, 0.46, 0.075, 0.125, 0.01), brighter(FRAME, 0.8), -0.015, rounded(0.006)
        )
    firebox = slab(0, 0.33, 0.175, 0.25, 0.008)
    canvas.paint(firebox, PAINT, -0.01, rounded(0.012))
    stays = [
        (float(x), float(y))
        for x in np.linspace(-0.14, 0.14, 8)
        for y in np.linspace(0.19, 0.52, 9)
    ]
    bolts(canvas, stays, 0.0052, PAINT, 0.0)
    canvas.paint(slab(0, 0.572, 0.182, 0.013, 0.003), IRON, 0.0, rounded(0.006))
    bolts(canvas, [(float(x), 0.572) for x in np.linspace(-0.17, 0.17, 17)], 0.0050, IRON, 0.006)
    pan = polygon([(-0.168, 0.585), (0.168, 0.585), (0.130, 0.728), (-0.130, 0.728)])
    canvas.paint(pan, brighter(FRAME, 1.1), -0.01, rounded(0.008))
    bolts(canvas, [(float(x), 0.603) for x in np.linspace(-0.15, 0.15, 13)], 0.0040, IRON, 0.0)
    bolts(canvas, [(float(x), 0.712) for x in np.linspace(-0.12, 0.12, 11)], 0.0040, IRON, 0.0)
    for slot in SLOTS:
        x0, _, x1, y1 = slot.box
        canvas.paint(grown(slot, 0.007), IRON, 0.0, rounded(0.005))
        canvas.paint(slot, SOOT, -0.02)
        flap = polygon(
            [
                (x0 - 0.004, y1 + 0.004),
                (x1 + 0.004, y1 + 0.004),
                (x1 + 0.010, y1 + 0.024),
                (x0 - 0.010, y1 + 0.024),
            ]
        )
        canvas.paint(flap, brighter(IRON, 1.8), 0.03, tilt=(0.0, -0.8, 0.6))
        canvas.paint(rod([(x0, y1 + 0.003), (x1, y1 + 0.003)], 0.003), STEEL, 0.02, rounded(0.003))
    canvas.paint(slab(0, 0.734, 0.136, 0.006, 0.002), IRON, 0.0, rounded(0.005))


def upper_works(canvas: Canvas) -> None:
    """Boiler, running plate and splashers over the wheels."""
    boiler = slab(0, -0.16, 2.0, 0.245)
    canvas.paint(boiler, PAINT, -0.10, rounded(0.20, 0.16))
    for x in (-0.62, 0.34):
        canvas.paint(
            slab(x, -0.16, 0.011, 0.246), brighter(BRASS, 0.8), -0.098, rounded(0.20, 0.16)
        )
    pipe = rod([(-2.0, 0.115), (-0.30, 0.115), (-0.27, 0.135), (-0.27, 0.265)], 0.0075)
    canvas.paint(pipe, COPPER, 0.06, rounded(0.0075))
    for x in WHEELS:
        arch = common(circle(x, AXLE, RADIUS + 0.035), slab(x, 0.160, 0.5, 0.104))
        canvas.paint(arch, PAINT, 0.05, rounded(0.006))
        edge = common(rim(circle(x, AXLE, RADIUS + 0.031), 0.008), slab(x, 0.160, 0.5, 0.104))
        canvas.paint(edge, BRASS, 0.056, rounded(0.004))
    canvas.paint(slab(0, 0.268, 2.0, 0.010), PAINT, 0.14, rounded(0.006))
    canvas.paint(slab(0, 0.278, 2.0, 0.003), RED, 0.13)


def slot_fire(canvas: Canvas) -> Floats:
    """Heat [h, w] of the fire seen through the damper slots, below the coupling rod."""
    slots = joined(*SLOTS)
    window = canvas.window(slots)
    if window is None:
        return np.zeros_like(canvas.x)
    x, y = canvas.x[window], canvas.y[window]
    heat = Bed(coals=2.6, horizon=-0.6).heat(x / 0.15, (y - 0.620) / 0.07)
    deep = 0.15 + 0.85 * smoothstep(0.628, 0.660, y)
    seen = canvas.cover(slots.distance(x, y)) * canvas.cover(AXLE + CRANK[1] + 0.016 - y)
    return canvas.embed(window, (0.25 + 2.6 * heat) * deep * seen)


def embers(canvas: Canvas) -> Floats:
    """Small live coals that have dropped through the grate; heat [h, w]."""
    below = canvas.y - EYE[1]
    scale = np.maximum(below / GROUND, 0.2)
    x, z = canvas.x / scale * 38, EYE[2] * (1 - 1 / scale) * 20
    ix, iy = np.floor(x).astype(np.int32), np.floor(z).astype(np.int32)
    dx = x - ix - 0.25 - 0.5 * lattice(ix, iy, 5)
    dz = z - iy - 0.25 - 0.5 * lattice(ix, iy, 6)
    dots = np.exp(-(dx * dx * 14 + dz * dz * 8)) * (lattice(ix, iy, 7) > 0.55) * lattice(ix, iy, 8)
    near = np.exp(-((canvas.x / 0.15) ** 2)) * smoothstep(0.76, 0.80, canvas.y)
    return single(dots * near * smoothstep(0.93, 0.86, canvas.y))


def draw_ashpan(width: int, height: int) -> tuple[Floats, dict[str, Floats]]:
    """The ash pan in `width` x `height` pixels: ambient [3, h, w] and each place's light."""
    canvas = Canvas(width, height, EYE)
    air = sky(canvas, 0.66, (0.05, 0.075, 0.16), (0.24, 0.145, 0.125), 0.0)
    track = Track(canvas, GROUND, middle=-0.17)
    track.ballast()
    track.sleepers(0.30)
    frames(canvas)
    near_rail(canvas)
    for x in WHEELS:
        wheel(canvas, x, 0.05)
    upper_works(canvas)
    motion(canvas, 0.14)
    light = {"ashpan": light_below(canvas), "bed": light_of_slots(canvas)}
    return single(evening(canvas, air)), {place: single(shine) for place, shine in light.items()}


def light_below(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the glow and the live coals below the ash pan."""
    under = canvas.lit(
        canvas.solid,
        Light((-0.07, 0.765, 0.02), 0.075, 0.09, None, 0.3, 0.75),
        Light((0.07, 0.765, 0.02), 0.075, 0.09, None, 0.3, 0.75),
        Light((0.0, 0.765, 0.16), 0.070, 0.05, None, 0.3, 0.6),
        Light((0.0, 0.84, 0.05), 0.060, 0.12, (0, -1, 0.1), 0.3),
    )
    glow = np.exp(-((canvas.x / 0.125) ** 4)) * np.exp(-np.abs(canvas.y - 0.746) / 0.006)
    drop = np.exp(-((canvas.x / 0.16) ** 2)) * smoothstep(0.735, 0.755, canvas.y)
    drop *= np.exp(-(canvas.y - 0.74).clip(0) / 0.05) * (
        0.7 + 0.6 * cloud(canvas.x * 20, canvas.y * 9, 3)
    )
    free = canvas.cover(0.745 - canvas.y)
    heat = 2.2 * glow * free + 0.30 * drop * free + 1.6 * embers(canvas)
    return canvas.glow(warm(heat, 0.8), (0.02, 0.2), (0.10, 0.3)) + under


def light_of_slots(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the fire behind the damper slots."""
    outward = canvas.lit(
        canvas.solid,
        Light((-0.07, 0.655, 0.10), 0.070, 0.05, (0, 0.25, 1), 0.3, 0.6),
        Light((0.07, 0.655, 0.10), 0.070, 0.05, (0, 0.25, 1), 0.3, 0.6),
        Light((0.0, 0.655, 0.17), 0.022, 0.05, None, 0.2, 0.7),
    )
    return canvas.glow(warm(slot_fire(canvas), 0.7), (0.02, 0.3), (0.08, 0.35)) + outward


def evening(canvas: Canvas, air: Floats) -> Floats:
    """Ambient light [3, h, w] of the evening, its mist, and `air` behind what is solid."""
    lights = (
        (Light((-2.5, -2.2, 3.2), 5.5, 0.5, None, 0.4), (0.45, 0.60, 1.0)),
        (Light((3.5, 0.35, 1.2), 2.0, 0.5, None, 0.1), (1.0, 0.62, 0.48)),
    )
    solid = canvas.solid
    ambient: Floats = sum(canvas.shine(light) * colour(c) for light, c in lights) * solid
    ambient += canvas.albedo * colour((0.020, 0.027, 0.045)) * solid + air * (1 - solid)
    mist = smoothstep(0.10, 0.0, np.abs(canvas.y - 0.67)) * (
        1 - 0.7 * solid * (canvas.place[2] > -0.03)
    )
    ambient += mist * colour((0.020, 0.020, 0.030))
    # Little light gets between the wheels.
    shade = np.exp(-((canvas.x / 0.55) ** 2)) * np.exp(-(((canvas.y - 0.72) / 0.12) ** 2))
    ambient *= 1 - 0.45 * shade
    return ambient
