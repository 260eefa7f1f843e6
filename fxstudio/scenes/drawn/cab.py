"""The cab: backhead, firehole and footplate of an invented steam locomotive."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fxstudio.arrays import Floats

from .fire import Bed, flame_heat, warm
from .fittings import bolts, gauge, hand_wheel, lever, oil_can, pipe, shovel, water_glass
from .shapes import Point, circle, cloud, grown, oval, rim, rod, single, slab, smoothstep
from .surface import (
    BRASS,
    COPPER,
    CREAM,
    IRON,
    SOOT,
    STEEL,
    WOOD,
    Canvas,
    Light,
    brighter,
    flat,
    rounded,
)

EYE = (0.0, 0.40, 1.5)
"""The crew's eye: middle of the cab, a little above the firehole."""

FLOOR, WALL, ROOF, ARCH = 0.40, 0.60, 0.385, 0.20
"""Floor and roof below and above the eye, side walls beside it, rise of the roof's arch."""

HOLE = (0.0, 0.606, 0.228, 0.145)
"""Firehole: middle, half width and half height."""

PANEL = brighter(CREAM, 0.30)

FACE = 0.08
"""How far the backhead stands out from the cab front."""


def room(canvas: Canvas) -> None:
    """Cab front, side walls, floor and roof in perspective."""
    x, y = canvas.x - EYE[0], canvas.y - EYE[1]
    floor = y / FLOOR
    wall = np.abs(x) / WALL
    roof = (-y + np.sqrt(y * y + 4 * ROOF * ARCH * x * x)) / (2 * ROOF)
    roof = np.where(y < 0, roof, 0)
    scale = np.maximum.reduce([floor, wall, roof, np.ones_like(x)]).astype(np.float32)
    z = EYE[2] * (1 - 1 / scale)
    place = np.stack([x / scale + EYE[0], y / scale + EYE[1], z])
    everywhere = (slice(None), slice(None))
    zero, one = np.zeros_like(x), np.ones_like(x)
    rough = 0.25 * canvas.fine
    faces = (
        (one, PANEL, np.stack([rough, rough, one])),
        (scale == wall, PANEL, np.stack([-np.sign(x), rough, rough])),
        (scale == floor, WOOD, np.stack([rough, -one, rough])),
        (scale == roof, brighter(CREAM, 0.40), np.stack([-0.6 * x / WALL, one, rough])),
    )
    px, py, pz = place
    # Boards run across the cab; each has its own tone and a dark joint.
    board = (pz + 0.013) / 0.062
    joint = smoothstep(0.06, 0.0, np.abs(board - np.rint(board)))
    tone = 0.75 + 0.5 * np.modf(np.sin(np.floor(board + 0.5) * 12.99) * 43.75)[0]
    streak = cloud(px * 7 + 31 * np.floor(board + 0.5), pz * 90, 21, 2)
    boards = tone * (0.55 + 0.9 * streak) * (1 - 0.85 * joint)
    # Sheets of the walls: seams of rivets along the panel joints.
    seam = np.abs(pz - 0.16) < 0.003
    sheets = np.where(seam & (scale == wall), 0.4, 1.0)
    dado = 1 - 0.9 * canvas.cover(np.abs(py - 0.50) - 0.003)
    lower = np.where(py > 0.50, 0.30, 1.0)
    for part, material, normal in faces:
        uneven = 1 + material.grain * (canvas.blotch + canvas.fine)
        if material is WOOD:
            uneven = boards
        elif material is PANEL:
            uneven = uneven * sheets * lower * dado
        colour = np.array(material.albedo, np.float32)[:, None, None] * uneven
        normal = normal / np.linalg.norm(normal, axis=0)
        canvas.blend(everywhere, np.where(part, one, zero), colour, normal, place, material)
    # Corners gather less light.
    edges = np.sort(np.stack([floor, wall, roof, one]), axis=0)
    corner = 1 - 0.55 * np.exp(-(edges[3] - edges[2]) * 14)
    canvas.albedo *= corner


WINDOWS = ((-0.485, 0.235), (0.485, 0.235))


def dusk(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the evening sky and land seen through the windows."""
    high, low = np.array([0.035, 0.07, 0.17]), np.array([0.20, 0.125, 0.12])
    view = np.empty_like(canvas.place)
    for rows, band in canvas.bands():
        sky = smoothstep(0.08, 0.30, band.y)
        light = high[:, None, None] + (low - high)[:, None, None] * sky**2
        hills = 0.285 + 0.018 * cloud(band.x * 9 + 40, band.x * 0, 31)
        land = band.cover(hills - band.y)
        view[:, rows] = light * (1 - 0.93 * land)
    return view


PIPES = (
    (
        (
            (-0.235, 0.148),
            (-0.28, 0.19),
            (-0.305, 0.27),
            (-0.31, 0.41),
            (-0.345, 0.48),
            (-0.35, 0.80),
        ),
        0.010,
    ),
    (
        ((0.235, 0.148), (0.28, 0.19), (0.305, 0.27), (0.31, 0.44), (0.345, 0.52), (0.35, 0.80)),
        0.010,
    ),
    (((0.19, 0.148), (0.255, 0.24), (0.265, 0.42), (0.318, 0.50), (0.322, 0.80)), 0.006),
)
"""Copper pipes down the backhead: points and radius."""

GAUGES = (
    (0.0, 0.225, 0.062, 0.14),
    (-0.112, 0.197, 0.030, -0.30),
    (0.112, 0.197, 0.030, 0.05),
)
"""Dials: middle, radius, needle in revolutions from straight up."""


def backhead(canvas: Canvas) -> None:
    """Boiler backhead with its fittings, from the back to the front."""
    boiler = slab(0, 0.455, 0.375, 0.355, 0.20)
    canvas.paint(grown(boiler, 0.012), SOOT, 0.0, rounded(0.02))
    canvas.paint(boiler, brighter(IRON, 0.9), 0.0, rounded(0.05, FACE))
    seam = grown(boiler, -0.034)
    bolts(canvas, perimeter(0.341, 0.321, 0.455, 0.168, 62), 0.0062, IRON, FACE)
    canvas.paint(rim(seam, 0.002), SOOT, FACE)
    for y in (0.40,):
        xs = np.linspace(-0.30, 0.30, 13)
        bolts(canvas, [(float(x), y) for x in xs if abs(x) > 0.07], 0.0042, IRON, FACE)
    # Steam manifold across the top with its pipes and wheels.
    pipe(canvas, [(-0.235, 0.148), (0.235, 0.148)], 0.013, BRASS, FACE + 0.01)
    for x in (-0.19, -0.11, 0.11, 0.19):
        pipe(canvas, [(x, 0.148), (x, 0.118)], 0.007, BRASS, FACE + 0.01)
        hand_wheel(canvas, x, 0.105, 0.022, FACE + 0.03)
    for points, radius in PIPES:
        pipe(canvas, points, radius, COPPER, FACE + 0.006)
    for side in (-1, 1):
        water_glass(canvas, side * 0.175, 0.315, 0.070, FACE)
    for x, y, radius, needle in GAUGES:
        gauge(canvas, x, y, radius, FACE, needle)
    lever(canvas, 0.0, 0.335, FACE)


def perimeter(
    half_width: float, half_height: float, y: float, corner: float, count: int
) -> list[Point]:
    """`count` points around a rounded rectangle about (0, y), evenly spaced along its edge."""
    straight_x, straight_y = half_width - corner, half_height - corner
    t = np.linspace(0, 2 * np.pi, 4096, endpoint=False)
    cx, cy = np.cos(t), np.sin(t)
    px = np.sign(cx) * straight_x + corner * cx
    py = np.sign(cy) * straight_y + corner * cy
    lengths = np.hypot(np.diff(px, append=px[0]), np.diff(py, append=py[0]))
    along = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    want = np.linspace(0, lengths.sum(), count, endpoint=False)
    xs, ys = np.interp(want, along, px), np.interp(want, along, py)
    return [(float(a), float(b) + y) for a, b in zip(xs, ys, strict=True)]


def firehole(canvas: Canvas) -> None:
    """The ring around the firehole, its open door, shelf and tools."""
    x, y, a, b = HOLE
    hole = oval(x, y, a, b)
    canvas.paint(grown(hole, 0.045), brighter(IRON, 1.2), FACE, rounded(0.02, 0.022))
    canvas.paint(grown(hole, 0.014), brighter(STEEL, 0.45), FACE + 0.02, rounded(0.012, 0.01))
    angles = 2 * np.pi * (np.arange(20) + 0.5) / 20
    ring = [
        (x + (a + 0.030) * float(np.cos(t)), y + (b + 0.030) * float(np.sin(t))) for t in angles
    ]
    bolts(canvas, ring, 0.0062, IRON, FACE + 0.022)
    # The door, swung open to the left, its inner face turned to the fire.
    hinge = x - a - 0.052
    for dy in (-0.06, 0.06):
        canvas.paint(slab(hinge, y + dy, 0.04, 0.010, 0.004), IRON, FACE + 0.03, rounded(0.008))
    door = oval(hinge - 0.048, y, 0.050, b + 0.010)
    canvas.paint(grown(door, 0.008), IRON, 0.20, rounded(0.008))
    canvas.paint(door, brighter(IRON, 2.2), 0.20, flat, tilt=(0.85, 0.0, 0.5))
    canvas.paint(rim(grown(door, -0.013), 0.004), SOOT, 0.20)
    for dy in (-0.07, 0.0, 0.07):
        canvas.paint(circle(hinge - 0.048, y + dy, 0.007), IRON, 0.20, rounded(0.007))
    # The shelf above, where the oil can keeps warm.
    canvas.paint(slab(0, 0.408, 0.18, 0.008, 0.004), STEEL, FACE + 0.05, rounded(0.008))
    for side in (-0.14, 0.14):
        canvas.paint(rod([(side, 0.416), (side, 0.430)], 0.006), IRON, FACE + 0.03, rounded(0.006))
    oil_can(canvas, 0.085, 0.400, FACE + 0.05)


class FireMaps(NamedTuple):
    """Heat of bed, flames and firebox walls, the throat, and the hole's coverage; all [h, w]."""

    bed: Floats
    flames: Floats
    wall: Floats
    throat: Floats
    hole: Floats


def fire_maps(canvas: Canvas) -> FireMaps:
    """What the firehole shows."""
    x, y, a, b = HOLE
    rim_line = oval(x, y, a, b)
    window = canvas.window(rim_line)
    if window is None:
        return FireMaps(*(np.zeros_like(canvas.x) for _ in FireMaps._fields))
    px, py = canvas.x[window], canvas.y[window]
    u, v = (px - x) / a, (py - y) / b
    hole = canvas.cover(rim_line.distance(px, py))
    to_mouth = oval(x, y - 0.007, a - 0.020, b - 0.019).distance(px, py)
    inner = canvas.cover(to_mouth)
    edge = -0.06 + 0.16 * cloud(px * 26, px * 0 + 2, 41) + 0.10 * u * u
    bed = Bed().heat(u * 1.1, np.clip((v - edge) / (1 - edge), 0, 1.2))
    on_bed = canvas.cover((edge - v) * b, 0.006)
    flames = flame_heat(u * 1.05, (0.16 - v) * b / a * 1.22)
    brick = 0.6 + 0.8 * cloud(px * 30, py * 30, 44)
    wall = (1 - on_bed) * (0.06 + 0.30 * np.exp(-((v - edge) ** 2) / 0.16)) * brick
    depth = np.exp(-np.maximum(to_mouth, 0) / 0.013)
    throat = hole * (1 - inner) * (0.15 + depth) * (0.5 + 0.4 * brick)
    parts = (bed * on_bed * inner, flames * inner, wall * inner, throat, hole)
    return FireMaps(*(canvas.embed(window, part) for part in parts))


def footplate(canvas: Canvas) -> None:
    """What stands on the footplate before the backhead."""
    canvas.paint(slab(0, 0.808, 0.375, 0.018, 0.004), IRON, 0.06, rounded(0.008))
    shovel(canvas, 0.33, 0.70)


def windows(canvas: Canvas) -> Floats:
    """The round windows beside the boiler; coverage [h, w] of their panes."""
    panes = np.zeros_like(canvas.x)
    for x, y in WINDOWS:
        canvas.paint(circle(x, y, 0.082), BRASS, 0.0, rounded(0.009))
        canvas.paint(circle(x, y, 0.068), SOOT, -0.01)
        panes = np.maximum(panes, canvas.mask(circle(x, y, 0.068)))
    return panes


def draw_cab(width: int, height: int) -> tuple[Floats, dict[str, Floats]]:
    """The cab in `width` x `height` pixels: ambient [3, h, w] and the light of each place."""
    canvas = Canvas(width, height, EYE)
    for _, band in canvas.bands():
        room(band)
    panes = windows(canvas)
    backhead(canvas)
    firehole(canvas)
    fire = fire_maps(canvas)
    footplate(canvas)
    solid = 1 - np.maximum(fire.hole, panes)
    ambient = single(gloom(canvas, fire, solid) + dusk(canvas) * panes)
    light = fire_light(canvas, fire, solid)
    light["gauge"] = canvas.lit(
        solid, Light((0.0, 0.125, FACE + 0.11), 0.010, 0.03, (0, 0.85, -0.5), 0.1, 0.7)
    )
    return ambient, {place: single(shine) for place, shine in light.items()}


def fire_light(canvas: Canvas, fire: FireMaps, solid: Floats) -> dict[str, Floats]:
    """Light [3, h, w] of each place in the firehole, and of the boards that it has warmed."""
    hx, hy, _, b = HOLE
    out, deep = (0.0, -0.10, 1.0), FACE + 0.14
    pour = canvas.lit(
        solid,
        Light((hx - 0.11, hy, deep), 0.5, 0.08, out, 0.2, 0.8),
        Light((hx + 0.11, hy, deep), 0.5, 0.08, out, 0.2, 0.8),
        Light((hx, hy - 0.02, FACE + 0.13), 0.07, 0.06, None, 0.15, 0.85),
        Light((0.0, 0.86, 0.45), 0.26, 0.30, (0, -0.9, -0.35), 0.4),
    )
    bed, flames, wall, throat, hole = fire
    lip = np.clip((canvas.y - hy) / b, -1, 1)
    iron = np.reshape([0.9, 0.66, 0.5], (3, 1, 1)).astype(np.float32)
    light = {}
    heat = warm(1.75 * bed, 0.8) + iron * (0.30 * wall + throat * (0.12 - 0.06 * lip))
    light["bed"] = canvas.glow(heat * hole, (0.015, 0.08), (0.10, 0.12)) + 0.16 * pour
    heat = warm(1.45 * flames, 0.45) + iron * (
        0.5 * wall + throat * (0.17 + 0.10 * lip) + 0.06 * bed
    )
    light["flames"] = canvas.glow(heat * hole, (0.015, 0.10), (0.12, 0.20)) + 0.75 * pour
    heat = warm(0.35 * bed + 0.8 * flames, 0.9) + iron * (0.5 * wall + 0.3 * throat)
    light["door"] = canvas.glow(heat * hole, (0.03, 0.1), (0.22, 0.4)) + 1.4 * pour
    return light


def gloom(canvas: Canvas, fire: FireMaps, solid: Floats) -> Floats:
    """Ambient light [3, h, w] in the cab, and the little that the firehole has by itself."""
    sky = (
        (Light((0.2, -1.2, 2.2), 0.34, 0.3, None, 0.5), (0.42, 0.60, 1.0)),
        (Light((-0.50, 0.235, 0.02), 0.012, 0.08, (0.5, 0.4, 1.0), 0.3), (0.5, 0.7, 1.0)),
        (Light((0.50, 0.235, 0.02), 0.012, 0.08, (-0.5, 0.4, 1.0), 0.3), (0.5, 0.7, 1.0)),
    )
    ambient: Floats = (
        sum(canvas.shine(light) * np.reshape(c, (3, 1, 1)) for light, c in sky) * solid
    )
    ambient += canvas.albedo * 0.02 * np.reshape((0.5, 0.65, 1.0), (3, 1, 1)) * solid
    dark = np.reshape((0.0022, 0.0023, 0.0026), (3, 1, 1))
    ambient += dark * fire.hole * (0.6 + fire.bed + 0.5 * fire.wall)
    return ambient
