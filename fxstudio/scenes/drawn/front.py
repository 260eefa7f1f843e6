"""The front end: smokebox, buffer beam and lamps of an invented steam locomotive at night."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from .fittings import LAMP_CASE, RED_GLASS, bolts, lamp_case, lens_glare
from .land import Track, colour, sky
from .moving import Maps, Moving, moving
from .shapes import (
    around,
    circle,
    cloud,
    common,
    grown,
    polygon,
    rim,
    rod,
    single,
    slab,
    smoothstep,
)
from .surface import BRASS, IRON, RED, SOOT, STEEL, Canvas, Light, Material, brighter, rounded

EYE = (0.0, 0.50, 2.2)
"""Standing on the track before the locomotive."""

GROUND = 0.37
"""Ground below the eye at the buffer beam."""

HALF_GAUGE = 0.165
SLEEPERS_A_TURN = 2
"""Fewer than go by in truth: they are to be seen one by one."""
UNDER_WAY = (-0.40, 0.70, 0.40, 3.0)
"""What moves lies in this box."""

BODY = Material((0.040, 0.055, 0.048), gloss=0.5, grain=0.25)

LAMPS = {
    "head_left": (-0.275, 0.560),
    "head_right": (0.275, 0.560),
    "head_top": (0.0, 0.150),
    "tail": (0.0, 0.578),
}
"""Middle of each lamp's lens."""


def running_gear(canvas: Canvas) -> None:
    """Everything behind and below the beam."""
    for side in (-1, 1):
        wheel = slab(side * 0.178, 0.775, 0.026, 0.105, 0.008)
        canvas.paint(wheel, brighter(IRON, 0.6), -0.12, rounded(0.01))
        canvas.paint(slab(side * 0.152, 0.86, 0.006, 0.022), STEEL, -0.12)
        canvas.paint(circle(side * 0.315, 0.740, 0.068), brighter(BODY, 0.8), -0.06, rounded(0.03))
        canvas.paint(circle(side * 0.315, 0.740, 0.046), IRON, -0.03, rounded(0.012))
        ring = around(side * 0.315, 0.740, 0.056, 12)
        bolts(canvas, ring, 0.0045, IRON, -0.03)
        canvas.paint(circle(side * 0.315, 0.740, 0.014), STEEL, -0.02, rounded(0.014))
        guard = rod([(side * 0.165, 0.70), (side * 0.168, 0.80), (side * 0.158, 0.845)], 0.009)
        canvas.paint(guard, IRON, 0.0, rounded(0.009))
        canvas.paint(slab(side * 0.37, 0.76, 0.028, 0.006), IRON, 0.0, rounded(0.004))
        canvas.paint(slab(side * 0.37, 0.83, 0.032, 0.006), IRON, 0.0, rounded(0.004))
        for dx in (-0.026, 0.026):
            canvas.paint(slab(side * 0.37 + dx, 0.77, 0.003, 0.065), IRON, 0.0)
    canvas.paint(slab(0, 0.79, 0.152, 0.012), brighter(IRON, 0.5), -0.12, rounded(0.01))


def smokebox(canvas: Canvas) -> None:
    """Cab front behind, chimney, smokebox with its door."""
    y = 0.365
    cab = common(circle(0, 0.72, 0.60), slab(0, 0.40, 0.325, 0.29))
    canvas.paint(cab, brighter(BODY, 1.5), -0.5, rounded(0.012))
    for side in (-1, 1):
        canvas.paint(circle(side * 0.255, 0.275, 0.038), BRASS, -0.5, rounded(0.006))
        canvas.paint(circle(side * 0.255, 0.275, 0.031), SOOT, -0.5)
        tank = slab(side * 0.262, 0.48, 0.062, 0.12, 0.008)
        canvas.paint(tank, brighter(BODY, 1.7), -0.25, rounded(0.012))
        seam = [(side * 0.262 + dx, 0.372) for dx in np.linspace(-0.05, 0.05, 6)]
        bolts(canvas, seam, 0.003, brighter(BODY, 1.7), -0.24)
    flare = [(-0.046, 0.075), (0.046, 0.075), (0.040, 0.19), (-0.040, 0.19)]
    canvas.paint(polygon(flare, 0.004), IRON, -0.14, rounded(0.042))
    canvas.paint(slab(0, 0.070, 0.058, 0.012, 0.006), IRON, -0.12, rounded(0.05, 0.05))
    canvas.paint(slab(0, 0.086, 0.052, 0.004, 0.003), BRASS, -0.12, rounded(0.05, 0.05))
    foot = [(-0.046, 0.165), (0.046, 0.165), (0.075, 0.20), (-0.075, 0.20)]
    canvas.paint(polygon(foot, 0.004), IRON, -0.14, rounded(0.05))
    saddle = [(-0.11, 0.48), (0.11, 0.48), (0.15, 0.61), (-0.15, 0.61)]
    canvas.paint(polygon(saddle), brighter(BODY, 0.8), -0.12, rounded(0.02))
    canvas.paint(circle(0, y, 0.187), brighter(IRON, 1.3), -0.1, rounded(0.016))
    bolts(canvas, around(0, y, 0.174, 44, 0.01), 0.0042, brighter(IRON, 1.4), -0.085)
    canvas.paint(circle(0, y, 0.160), SOOT, -0.08)
    canvas.paint(circle(0, y, 0.156), brighter(IRON, 1.5), -0.08, rounded(0.156, 0.05))
    canvas.paint(rim(circle(0, y, 0.148), 0.004), brighter(IRON, 0.7), -0.06)
    for dy in (-0.055, 0.055):
        strap = rod([(0.150, y + dy), (-0.055, y + dy)], 0.0085)
        canvas.paint(strap, STEEL, -0.03, rounded(0.006))
        canvas.paint(slab(0.158, y + dy, 0.010, 0.016, 0.004), STEEL, -0.04, rounded(0.009))
        bolts(canvas, [(x, y + dy) for x in (-0.04, 0.02, 0.08)], 0.0038, STEEL, -0.024)
    for tip in ((0.0, y + 0.052), (0.040, y + 0.032)):
        canvas.paint(rod([(0, y), tip], 0.0055), STEEL, 0.0, rounded(0.0055))
        canvas.paint(circle(*tip, 0.009), STEEL, 0.0, rounded(0.009))
    canvas.paint(circle(0, y, 0.015), BRASS, 0.0, rounded(0.013))
    rail = [(0.201 * np.cos(t), y - 0.201 * np.sin(t)) for t in np.linspace(0.35, np.pi - 0.35, 25)]
    canvas.paint(
        rod([(float(px), float(py)) for px, py in rail], 0.0042), STEEL, -0.05, rounded(0.004)
    )


def beam(canvas: Canvas) -> None:
    """Running plate, buffer beam, buffers and coupling."""
    canvas.paint(slab(0, 0.612, 0.385, 0.008), IRON, 0.0, rounded(0.008))
    plate = slab(0, 0.662, 0.385, 0.044, 0.004)
    canvas.paint(plate, RED, 0.0, rounded(0.006))
    canvas.paint(rim(grown(plate, -0.007), 0.0022), brighter(LAMP_CASE, 1.4), 0.006)
    for row in (0.632, 0.692):
        bolts(canvas, [(float(x), row) for x in np.linspace(-0.17, 0.17, 12)], 0.0036, RED, 0.006)
    for side in (-1, 1):
        x, y = side * 0.275, 0.665
        canvas.paint(slab(x, y, 0.044, 0.040, 0.006), brighter(IRON, 1.2), 0.006, rounded(0.006))
        bolts(
            canvas,
            [(x + dx, y + dy) for dx in (-0.036, 0.036) for dy in (-0.032, 0.032)],
            0.005,
            IRON,
            0.01,
        )
        canvas.paint(circle(x, y, 0.030), IRON, 0.04, rounded(0.02))
        canvas.paint(circle(x, y, 0.054), brighter(STEEL, 0.55), 0.10, rounded(0.054, 0.018))
        canvas.paint(rim(circle(x, y, 0.050), 0.005), brighter(STEEL, 0.8), 0.105, rounded(0.003))
    # Hook, links and the brake pipe.
    canvas.paint(slab(0, 0.665, 0.026, 0.030, 0.004), IRON, 0.006, rounded(0.006))
    canvas.paint(
        rod([(0, 0.655), (0.0, 0.690), (0.012, 0.697), (0.022, 0.685)], 0.010),
        STEEL,
        0.03,
        rounded(0.01),
    )
    for y, width in ((0.715, 0.014), (0.752, 0.008), (0.789, 0.014)):
        canvas.paint(rim(slab(0.004, y, width, 0.026, width), 0.010), STEEL, 0.03, rounded(0.005))
    hose = [
        (0.125, 0.70),
        (0.125, 0.585),
        (0.135, 0.570),
        (0.150, 0.580),
        (0.156, 0.64),
        (0.150, 0.73),
    ]
    canvas.paint(rod(hose[:3], 0.009), IRON, 0.03, rounded(0.009))
    canvas.paint(rod(hose[2:], 0.012), SOOT, 0.035, rounded(0.012))
    canvas.paint(rod([(0.151, 0.715), (0.150, 0.735)], 0.015), BRASS, 0.035, rounded(0.012))


def steam(canvas: Canvas) -> Floats:
    """How thick the steam from the chimney hangs, 0..1 [h, w]."""
    x, y = canvas.x, canvas.y
    rise = np.clip(0.075 - y, -0.01, 1) + np.clip(x, 0, 1) * 0.12
    curl = cloud(x * 7 - 3 * y, y * 9, 57, 4)
    middle = 0.9 * np.sqrt(np.clip(rise, 0, 1)) * 0.5
    spread = 0.05 + 0.9 * np.clip(rise, 0, 1)
    body = np.exp(-(((x - middle + 0.12 * (curl - 0.5)) / spread) ** 2)) * smoothstep(
        0.085, 0.04, y
    )
    return single(body * smoothstep(0.30, 0.70, curl))


def draw_front(width: int, height: int) -> Maps:
    """The front end in `width` x `height` pixels: ambient [3, h, w] and each place's light."""
    return _drawn(Canvas(width, height, EYE))


def move_front(width: int, height: int) -> Moving:
    """The sleepers that pass below it."""
    canvas = Canvas(width, height, EYE)
    maps = _drawn(canvas)
    return moving(canvas, UNDER_WAY, 1, maps, _drawn)


def _drawn(canvas: Canvas, turned: float = 0.0) -> Maps:
    """Paint a canvas and light it, when the wheels have `turned`, in turns forward."""
    air = sky(canvas, EYE[1], (0.010, 0.016, 0.042), (0.040, 0.046, 0.070), 0.5)
    track = Track(canvas, GROUND)
    track.ballast()
    track.sleepers(0.30, SLEEPERS_A_TURN * turned)
    track.rails(HALF_GAUGE)
    running_gear(canvas)
    smokebox(canvas)
    beam(canvas)
    for name, (x, y) in LAMPS.items():
        if name == "tail":
            lamp_case(canvas, x, y, brighter(RED, 1.2), RED_GLASS)
        else:
            lamp_case(canvas, x, y)
    solid = canvas.solid
    plume = steam(canvas)
    maps = {}
    for name, (x, y) in LAMPS.items():
        tail = name == "tail"
        reach = 0.25 if tail else 1.0
        light = canvas.shine(Light((x, y, 0.13), 0.016, 0.03, None, 0.2, 0.5))
        light += canvas.shine(Light((x, y, 0.10), 0.42 * reach, 0.05, (0, 0.30, 1), 0.2, 0.3))
        light *= solid
        light += lens_glare(canvas, x, y) * (0.8 if tail else 1.0)
        near = 0.02 / (0.03 + (canvas.x - x) ** 2 + (canvas.y - y) ** 2)
        light += plume * near * (0.25 if name == "head_top" else 0.06)
        maps[name] = single(light)
    moon = canvas.shine(Light((-3.0, -4.0, 4.5), 5.0, 0.5, None, 0.15))
    ambient = moon * colour((0.42, 0.56, 1.0)) * solid
    ambient += canvas.albedo * colour((0.010, 0.014, 0.024)) * solid
    ambient += air * (1 - solid)
    ambient += plume * colour((0.030, 0.036, 0.055))
    # Mist lies low over the track.
    ambient += smoothstep(0.20, 0.0, np.abs(canvas.y - EYE[1])) * colour((0.004, 0.006, 0.010))
    return single(ambient), maps
