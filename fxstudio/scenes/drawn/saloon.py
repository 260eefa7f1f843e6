"""A saloon carriage at dusk, seen through its windows, with lamps over the seats."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from .fittings import bolts
from .land import Track, colour, sky
from .shapes import (
    Shape,
    circle,
    cloud,
    grown,
    joined,
    oval,
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
    CREAM,
    IRON,
    SOOT,
    STEEL,
    WOOD,
    Canvas,
    Light,
    Material,
    brighter,
    rounded,
)

EYE = (0.0, 0.50, 1.7)
"""Standing beside the line."""

GROUND = 0.40
"""Ground below the eye at the near rail."""

PANEL = Material((0.145, 0.028, 0.026), gloss=0.6, grain=0.1)
"""The carriage's side."""
BAND = brighter(CREAM, 0.50)
PLUSH = Material((0.20, 0.035, 0.030), gloss=0.05, grain=0.3)
VENEER = Material((0.24, 0.135, 0.065), gloss=0.35, grain=0.3)
CURTAIN = Material((0.30, 0.19, 0.07), gloss=0.05, grain=0.2)
COAT = Material((0.070, 0.075, 0.095), gloss=0.05, grain=0.3)
SKIN = Material((0.42, 0.28, 0.20), gloss=0.1, grain=0.1)
OPAL = Material((0.50, 0.48, 0.43), gloss=0.6)

BAYS = (-0.345, 0.0, 0.345)
"""Middle of each window."""
HALF, TOP, SILL = 0.140, 0.285, 0.565
"""Half width, upper and lower edge of a window."""
PANES = tuple(slab(x, (TOP + SILL) / 2, HALF, (SILL - TOP) / 2, 0.020) for x in BAYS)
LAMP_Y, TABLE_Y = 0.330, 0.497
INSIDE = -0.20
"""How far the saloon's other side lies behind the windows."""


def saloon(canvas: Canvas) -> None:
    """What is seen through the windows: wall, seats, tables, curtains, lamps and a reader."""
    canvas.paint(slab(0, 0.42, 2.0, 0.17), VENEER, INSIDE)
    for x in (float(x) for x in np.arange(-0.69, 0.70, 0.115)):
        canvas.paint(slab(x, 0.42, 0.0030, 0.17), brighter(VENEER, 0.45), INSIDE + 0.004)
    canvas.paint(slab(0, 0.275, 2.0, 0.020), brighter(CREAM, 0.8), INSIDE + 0.02, rounded(0.02))
    canvas.paint(slab(0, 0.302, 2.0, 0.0035), BRASS, INSIDE + 0.02, rounded(0.003))
    for x in BAYS:
        canvas.paint(slab(x, 0.405, 0.056, 0.038, 0.004), brighter(BRASS, 0.7), INSIDE + 0.01)
        canvas.paint(slab(x, 0.405, 0.050, 0.032, 0.002), landscape(x), INSIDE + 0.012)
        for side in (-1, 1):
            seat(canvas, x + side * 0.108, side)
        table_lamp(canvas, x)
        ceiling_lamp(canvas, x)
    reader(canvas, 0.100, 0.500)
    for x in BAYS:
        for side in (-1, 1):
            curtain(canvas, x, side)


def landscape(x: float) -> Material:
    """What hangs in the frame between the seats: a dim view, another in each bay."""
    return Material((0.10 + 0.05 * abs(x), 0.13, 0.11 - 0.10 * x * x), gloss=0.5, grain=0.9)


def seat(canvas: Canvas, x: float, side: int) -> None:
    """The back of a seat that faces the bay's middle, with a white cloth over its head."""
    canvas.paint(slab(x, 0.505, 0.033, 0.078, 0.016), PLUSH, -0.10, rounded(0.020))
    cloth = slab(x - side * 0.004, 0.447, 0.026, 0.017, 0.006)
    canvas.paint(cloth, brighter(CREAM, 0.9), -0.085, rounded(0.010))
    canvas.paint(slab(x - side * 0.030, 0.525, 0.010, 0.012, 0.006), VENEER, -0.08, rounded(0.006))


def table_lamp(canvas: Canvas, x: float) -> None:
    """A small table with a shaded lamp."""
    canvas.paint(slab(x, 0.540, 0.055, 0.006, 0.002), VENEER, -0.07, rounded(0.004))
    canvas.paint(slab(x, 0.556, 0.006, 0.014), VENEER, -0.08, rounded(0.004))
    canvas.paint(rod([(x, 0.505), (x, 0.535)], 0.0030), BRASS, -0.06, rounded(0.003))
    canvas.paint(slab(x, 0.534, 0.011, 0.0030, 0.001), BRASS, -0.06, rounded(0.003))
    canvas.paint(shade(x), brighter(CREAM, 0.7), -0.06, rounded(0.014))


def shade(x: float) -> Shape:
    """The shade of the lamp on the table at `x`."""
    low, high = 0.508, 0.480
    return polygon([(x - 0.010, high), (x + 0.010, high), (x + 0.019, low), (x - 0.019, low)])


def ceiling_lamp(canvas: Canvas, x: float) -> None:
    """A lamp of opal glass under the ceiling."""
    canvas.paint(rod([(x, 0.285), (x, LAMP_Y - 0.015)], 0.0035), BRASS, -0.10, rounded(0.003))
    canvas.paint(slab(x, LAMP_Y - 0.016, 0.010, 0.005, 0.002), BRASS, -0.10, rounded(0.005))
    canvas.paint(oval(x, LAMP_Y, 0.018, 0.016), OPAL, -0.10, rounded(0.016))


def reader(canvas: Canvas, x: float, y: float) -> None:
    """A passenger with a newspaper, in the seat whose back is at `x`."""
    body = rod([(x - 0.022, y + 0.045), (x - 0.018, y - 0.012)], 0.024)
    canvas.paint(body, COAT, -0.075, rounded(0.02))
    canvas.paint(circle(x - 0.021, y - 0.054, 0.0175), SKIN, -0.07, rounded(0.015))
    hat = joined(
        slab(x - 0.020, y - 0.073, 0.019, 0.009, 0.006), slab(x - 0.022, y - 0.065, 0.027, 0.0025)
    )
    canvas.paint(hat, brighter(COAT, 0.8), -0.06, rounded(0.006))
    left, right = x - 0.078, x - 0.040
    paper = polygon(
        [
            (left + 0.008, y - 0.028),
            (right, y - 0.020),
            (right - 0.006, y + 0.030),
            (left, y + 0.020),
        ]
    )
    canvas.paint(paper, brighter(CREAM, 1.1), -0.05, tilt=(-0.3, -0.2, 0.9))
    arm = rod([(x - 0.020, y - 0.004), (x - 0.034, y + 0.026), (x - 0.050, y + 0.016)], 0.0085)
    canvas.paint(arm, brighter(COAT, 1.3), -0.045, rounded(0.008))


def curtain(canvas: Canvas, x: float, side: int) -> None:
    """One curtain, held back to the edge of the window `x`."""
    edge = x + side * HALF
    for fold in (0.004, 0.015, 0.026):
        hem, held = edge - side * fold, edge - side * fold * 0.55
        part = rod([(hem, 0.29), (held, 0.44), (hem, 0.57)], 0.007)
        canvas.paint(part, CURTAIN, -0.02, rounded(0.007))
    band = slab(edge - side * 0.010, 0.440, 0.014, 0.005, 0.002)
    canvas.paint(band, BRASS, -0.01, rounded(0.004))


def body(canvas: Canvas) -> None:
    """The carriage's side with its mouldings, roof and footboard."""
    panes = joined(*PANES)
    side = slab(0, 0.50, 2.0, 0.275)
    canvas.paint(without(side, panes), PANEL, 0.02, rounded(0.006))
    upper = without(slab(0, 0.428, 2.0, 0.160), grown(panes, 0.010))
    canvas.paint(upper, BAND, 0.022)
    for x in (*(bay + step for bay in BAYS for step in (-0.1725, 0.1725)), -0.69, 0.69):
        canvas.paint(slab(x, 0.428, 0.0045, 0.160), brighter(PANEL, 0.9), 0.024, rounded(0.004))
    for y in (0.268, 0.588, 0.612):
        canvas.paint(slab(0, y, 2.0, 0.0035), brighter(BRASS, 0.55), 0.026, rounded(0.003))
    for pane in PANES:
        canvas.paint(rim(pane, 0.009), VENEER, 0.020, rounded(0.005))
    for x in BAYS:
        frame = rim(slab(x, 0.690, 0.150, 0.052, 0.014), 0.0030)
        canvas.paint(frame, brighter(BRASS, 0.5), 0.026, rounded(0.002))
    for x in (-0.1725, 0.1725):
        canvas.paint(rod([(x, 0.625), (x, 0.745)], 0.0040), BRASS, 0.045, rounded(0.004))
    canvas.paint(slab(0, 0.155, 2.0, 0.068), brighter(SOOT, 3.0), -0.03, rounded(0.065, 0.06))
    canvas.paint(slab(0, 0.226, 2.0, 0.006), brighter(PANEL, 0.6), 0.035, rounded(0.005))
    for x in BAYS:
        canvas.paint(slab(x, 0.094, 0.026, 0.012, 0.004), brighter(SOOT, 2.5), -0.05, rounded(0.01))
    canvas.paint(slab(0, 0.787, 2.0, 0.012), brighter(IRON, 1.1), 0.01, rounded(0.006))
    bolts(canvas, [(float(x), 0.787) for x in np.linspace(-0.74, 0.74, 45)], 0.0026, IRON, 0.02)
    for x in (-0.52, 0.0, 0.52):
        canvas.paint(slab(x, 0.815, 0.006, 0.030), IRON, 0.03)
    canvas.paint(slab(0, 0.838, 2.0, 0.0065), brighter(WOOD, 0.9), 0.09, rounded(0.004))


def below(canvas: Canvas) -> None:
    """Truss rods, wheels in the dark and the near rail."""
    for x in (-0.62, 0.62):
        canvas.paint(circle(x, 0.845, 0.075), brighter(IRON, 0.7), -0.10, rounded(0.01))
        canvas.paint(rim(circle(x, 0.845, 0.072), 0.008), brighter(STEEL, 0.5), -0.09)
    rods = rod([(-0.45, 0.80), (-0.20, 0.865), (0.20, 0.865), (0.45, 0.80)], 0.0045)
    canvas.paint(rods, IRON, -0.05, rounded(0.004))
    canvas.paint(slab(0, 0.921, 2.5, 0.0050, 0.002), brighter(STEEL, 0.8), 0.006, rounded(0.004))
    canvas.paint(slab(0, 0.932, 2.5, 0.0070), brighter(IRON, 0.9), 0.0)


def draw_saloon(width: int, height: int) -> tuple[Floats, dict[str, Floats]]:
    """The saloon in `width` x `height` pixels: ambient [3, h, w] and each place's light."""
    canvas = Canvas(width, height, EYE)
    air = sky(canvas, 0.66, (0.030, 0.045, 0.105), (0.130, 0.090, 0.095), 0.2)
    track = Track(canvas, GROUND, middle=-0.17)
    track.ballast()
    track.sleepers(0.30)
    saloon(canvas)
    below(canvas)
    body(canvas)
    light = {
        name: light_of_lamp(canvas, x)
        for name, x in zip(("lamp_left", "lamp_middle", "lamp_right"), BAYS, strict=True)
    }
    light["tables"] = light_of_tables(canvas)
    return single(last_daylight(canvas, air)), {name: single(each) for name, each in light.items()}


def through_panes(canvas: Canvas) -> Floats:
    """What is seen through the windows [h, w]."""
    return canvas.mask(joined(*PANES))


def light_of_lamp(canvas: Canvas, x: float) -> Floats:
    """Light [3, h, w] of one lamp under the ceiling: in the saloon, and out on the ground."""
    panes = through_panes(canvas)
    near = canvas.lit(
        panes,
        Light((x, LAMP_Y + 0.012, -0.04), 0.034, 0.04, None, 0.35, 0.25),
        Light((x, LAMP_Y, 0.02), 0.010, 0.05, (0, 0.2, -1), 0.5),
    )
    out = canvas.lit(
        1 - panes,
        Light((x, 0.44, 0.04), 0.110, 0.10, (0, 0.75, 0.65), 0.2),
        Light((x, 0.44, 0.16), 0.0035, 0.08, (0, 0, -1), 0.4),
    )
    globe = canvas.mask(oval(x, LAMP_Y, 0.018, 0.016)) * panes
    r = np.hypot(canvas.x - x, canvas.y - LAMP_Y)
    glare = 0.30 / (1 + (r / 0.030) ** 2) ** 1.5 + 0.030 * np.exp(-r / 0.09)
    return single(near + out + 2.2 * globe + glare)


def light_of_tables(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the small lamps on the tables, below their shades and through them."""
    panes = through_panes(canvas)
    total = np.zeros_like(canvas.place)
    for x in BAYS:
        down = Light((x, 0.512, -0.05), 0.0060, 0.02, (0, 1, 0.1), 0.3)
        up = Light((x, 0.470, -0.07), 0.0022, 0.03, (0, -1, -0.2), 0.4)
        total += canvas.lit(panes, down, up)
        r = np.hypot(canvas.x - x, canvas.y - 0.496)
        total += 1.3 * canvas.mask(shade(x)) * (0.6 + 0.6 * smoothstep(0.480, 0.508, canvas.y))
        total += 0.12 / (1 + (r / 0.030) ** 2) ** 1.5
    return total


def last_daylight(canvas: Canvas, air: Floats) -> Floats:
    """Ambient light [3, h, w] of the last daylight, and `air` behind what is solid."""
    light = canvas.shine(Light((-2.4, -2.6, 3.6), 5.0, 0.5, None, 0.3))
    ambient = light * colour((0.40, 0.52, 0.95)) * canvas.solid
    ambient += canvas.albedo * colour((0.016, 0.020, 0.034)) * canvas.solid
    ambient += air * (1 - canvas.solid)
    panes = through_panes(canvas)
    # Little daylight gets in, and the panes give back some of the sky.
    sheen = cloud(canvas.x * 3 + canvas.y * 5, canvas.y * 2, 71)
    return ambient * (1 - 0.75 * panes) + panes * (0.5 + sheen) * colour((0.006, 0.008, 0.014))
