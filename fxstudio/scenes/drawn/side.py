"""From beside the line at night: the whole of an invented small tank engine, with all its lamps."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from .fire import Bed, flame_heat, warm
from .fittings import LAMP_CASE, bolts
from .land import SLEEPER, Track, colour, sky
from .moving import Maps, Moving, moving
from .shapes import (
    Point,
    Shape,
    around,
    circle,
    cloud,
    common,
    grown,
    joined,
    lumps,
    oval,
    polygon,
    rim,
    rod,
    shrunk,
    single,
    slab,
    smoothstep,
    without,
)
from .surface import (
    BRASS,
    COPPER,
    CREAM,
    IRON,
    RED,
    SOOT,
    STEEL,
    WOOD,
    Canvas,
    Light,
    Material,
    brighter,
    rounded,
)

EYE = (0.0, 0.60, 2.2)
"""Standing in the grass beside the line."""

GROUND = 0.225
"""Ground below the eye at the near rail."""

RAIL_TOP = 0.800
PLATE, PLATE_FOOT = 0.652, 0.661
"""The running plate and its lower edge."""
RADIUS, CARRIER = 0.088, 0.056
"""Of the coupled wheels, and of the pair that carries the bunker."""
WHEELS = (-0.070, 0.165)
BEHIND = -0.375
AXLE = RAIL_TOP - RADIUS
CRANK = (0.020, 0.033)
"""Crank pin from the axle."""
CROSSHEAD = (0.285, 0.700)
CARRIER_TURNS = 1.5
"""Turns of the small wheels to one of the large ones: nearly what they roll, and a loop closes."""
UNDER_WAY = (-0.445, PLATE_FOOT, 0.330, RAIL_TOP)
"""What moves lies in this box."""

MIDDLE, BOILER = 0.500, 0.088
"""Of the boiler: its middle line and its radius."""

PAINT = Material((0.055, 0.085, 0.100), gloss=0.55, grain=0.15)
FRAME = Material((0.055, 0.052, 0.050), gloss=0.2, grain=0.4)
CLOTH = Material((0.060, 0.070, 0.110), gloss=0.05, grain=0.3)
SKIN = Material((0.42, 0.27, 0.19), gloss=0.1, grain=0.1)
LINE = brighter(CREAM, 0.55)

DOORWAY = joined(slab(-0.2770, 0.532, 0.0570, 0.1140, 0.012))
WINDOW = slab(-0.1835, 0.452, 0.0175, 0.034, 0.008)
HOLE = (-0.2330, 0.572, 0.0140, 0.037)
"""The firehole, seen from its side through the doorway: middle, half width and half height."""

PAN = (-0.285, -0.175)
"""Ends of the ash pan."""
SLOTS = tuple(slab(x, 0.728, 0.0125, 0.0085, 0.002) for x in (-0.262, -0.230, -0.198))
"""Damper slots in the side of the ash pan."""

HEAD, TAIL = (0.462, 0.590), (-0.462, 0.590)
CAB_LAMP = (-0.262, 0.405)
HAND_LAMP = (0.048, 0.672)


def line(canvas: Canvas) -> None:
    """The near rail with its chairs."""
    rust = brighter(SLEEPER, 1.1)
    canvas.paint(slab(0, 0.8195, 2.5, 0.0025), rust, 0.01, rounded(0.002))
    canvas.paint(slab(0, 0.8110, 2.5, 0.0070), brighter(rust, 0.7), 0.0)
    canvas.paint(slab(0, RAIL_TOP + 0.0025, 2.5, 0.0030, 0.001), brighter(STEEL, 0.8), 0.006)
    for x in (k * 0.059 for k in range(-30, 31)):
        chair = [(x - 0.006, 0.808), (x + 0.006, 0.808), (x + 0.010, 0.822), (x - 0.010, 0.822)]
        canvas.paint(polygon(chair), brighter(rust, 0.8), 0.01, rounded(0.003))


def crank(turned: float) -> Point:
    """The crank pin from the axle, when the wheels have `turned`, in turns clockwise."""
    angle = 2 * np.pi * turned
    (x, y), c, s = CRANK, float(np.cos(angle)), float(np.sin(angle))
    return x * c - y * s, x * s + y * c


def spoked_wheel(
    canvas: Canvas, x: float, radius: float, spokes: int, z: float, turned: float
) -> None:
    """A spoked wheel that stands on the rail."""
    y, k = RAIL_TOP - radius, radius / RADIUS
    ends = around(x, y, radius - 0.010, spokes, 1 / (2 * spokes) + turned)
    canvas.paint(joined(*(rod([(x, y), end], 0.0035) for end in ends)), PAINT, z, rounded(0.0035))
    canvas.paint(rim(circle(x, y, radius - 0.009 * k), 0.009 * k), PAINT, z, rounded(0.004))
    canvas.paint(rim(circle(x, y, radius - 0.003), 0.006), STEEL, z + 0.004, rounded(0.002))
    canvas.paint(circle(x, y, 0.016 * k), PAINT, z + 0.004, rounded(0.006))
    canvas.paint(circle(x, y, 0.008 * k), STEEL, z + 0.010, rounded(0.003))


def driven(canvas: Canvas, x: float, z: float, turned: float) -> None:
    """A coupled wheel with its balance weight and crank."""
    spoked_wheel(canvas, x, RADIUS, 12, z, turned)
    pin_x, pin_y = crank(turned)
    length = float(np.hypot(*CRANK))
    nx, ny = pin_x / length, pin_y / length
    weight = Shape(
        lambda px, py: (px - x) * nx + (py - AXLE) * ny + 0.052,
        (x - RADIUS, AXLE - RADIUS, x + RADIUS, AXLE + RADIUS),
    )
    canvas.paint(common(circle(x, AXLE, RADIUS - 0.010), weight), PAINT, z + 0.004, rounded(0.003))
    web = rod([(x, AXLE), (x + pin_x, AXLE + pin_y)], 0.013)
    canvas.paint(web, PAINT, z + 0.008, rounded(0.005))


def rods(canvas: Canvas, z: float, turned: float) -> None:
    """Coupling rod, connecting rod, crosshead and cylinder."""
    pin_x, pin_y = crank(turned)
    y = AXLE + pin_y
    pins = [x + pin_x for x in WHEELS]
    length = np.hypot(WHEELS[1] + CRANK[0] - CROSSHEAD[0], AXLE + CRANK[1] - CROSSHEAD[1])
    reach = float(np.sqrt(length**2 - (y - CROSSHEAD[1]) ** 2))
    cross = (pins[1] + reach, CROSSHEAD[1])
    canvas.paint(slab(0.286, 0.690, 0.064, 0.003), STEEL, z, rounded(0.002))
    canvas.paint(slab(0.286, 0.712, 0.064, 0.003), STEEL, z, rounded(0.002))
    canvas.paint(rod([cross, (0.36, 0.700)], 0.003), STEEL, z, rounded(0.003))
    canvas.paint(slab(*cross, 0.013, 0.011, 0.002), IRON, z + 0.004, rounded(0.004))
    canvas.paint(rod([(pins[0], y), (pins[1], y)], 0.0055), STEEL, z, rounded(0.003))
    canvas.paint(rod([(pins[1], y), cross], 0.0055), STEEL, z + 0.012, rounded(0.003))
    for x in pins:
        canvas.paint(circle(x, y, 0.0115), STEEL, z + 0.014, rounded(0.004))
        canvas.paint(circle(x, y, 0.006), BRASS, z + 0.018, rounded(0.003))
    canvas.paint(slab(0.388, 0.700, 0.040, 0.034, 0.006), PAINT, z, rounded(0.030, 0.020))
    for x in (0.350, 0.426):
        canvas.paint(slab(x, 0.700, 0.005, 0.036, 0.003), IRON, z + 0.006, rounded(0.030, 0.018))
    canvas.paint(rim(slab(0.388, 0.700, 0.027, 0.026, 0.004), 0.0018), LINE, z + 0.02)


def underframe(canvas: Canvas) -> None:
    """Frames, springs, firebox bottom and ash pan between the wheels."""
    canvas.paint(slab(0.0, 0.690, 0.455, 0.030), FRAME, -0.02)
    for x in (*WHEELS, BEHIND):
        canvas.paint(slab(x, 0.705, 0.022, 0.050, 0.004), brighter(FRAME, 0.8), -0.012)
    left, right = PAN
    fire = slab((left + right) / 2, 0.685, 0.056, 0.030, 0.003)
    canvas.paint(fire, brighter(PAINT, 0.9), -0.008, rounded(0.004))
    across = np.linspace(left + 0.012, right - 0.012, 8)
    stays = [(float(x), y) for x in across for y in (0.67, 0.69)]
    bolts(canvas, stays, 0.0020, PAINT, -0.004)
    pan = polygon([(left, 0.712), (right, 0.712), (right - 0.012, 0.757), (left + 0.012, 0.757)])
    canvas.paint(pan, brighter(FRAME, 1.2), -0.004, rounded(0.003))
    canvas.paint(slab(-0.230, 0.7125, 0.057, 0.0030), IRON, 0.0, rounded(0.002))
    for slot in SLOTS:
        canvas.paint(grown(slot, 0.0025), IRON, 0.0, rounded(0.002))
        canvas.paint(slot, SOOT, -0.01)


def engine(canvas: Canvas) -> None:
    """Boiler, smokebox, tank and running plate."""
    boiler = slab(0.085, MIDDLE, 0.235, BOILER)
    canvas.paint(boiler, PAINT, -0.02, rounded(BOILER, BOILER * 0.9))
    for x in (0.215, 0.285):
        band = slab(x, MIDDLE, 0.0035, BOILER + 0.001)
        canvas.paint(band, brighter(BRASS, 0.8), -0.018, rounded(BOILER, BOILER * 0.9))
    box = slab(0.365, MIDDLE, 0.060, BOILER + 0.004, 0.004)
    canvas.paint(box, brighter(IRON, 1.2), -0.02, rounded(BOILER, BOILER * 0.9))
    rivets = [(0.312, MIDDLE + float(y)) for y in np.linspace(-0.075, 0.075, 15)]
    bolts(canvas, rivets, 0.0018, IRON, 0.05)
    door = oval(0.4265, MIDDLE, 0.012, BOILER * 0.85)
    canvas.paint(door, brighter(IRON, 1.4), 0.0, rounded(0.012, 0.01))
    canvas.paint(rod([(0.430, MIDDLE), (0.444, MIDDLE)], 0.0028), STEEL, 0.02, rounded(0.002))
    canvas.paint(slab(0.365, 0.612, 0.044, 0.040, 0.004), brighter(IRON, 0.9), -0.03, rounded(0.01))
    chimney(canvas)
    dome(canvas)
    tank = slab(0.040, 0.575, 0.170, 0.072, 0.006)
    canvas.paint(tank, PAINT, 0.06, rounded(0.008))
    canvas.paint(rim(slab(0.040, 0.577, 0.158, 0.058, 0.010), 0.0020), LINE, 0.069)
    edge = [(float(x), 0.508) for x in np.linspace(-0.122, 0.202, 34)]
    bolts(canvas, edge, 0.0014, PAINT, 0.066)
    canvas.paint(slab(0.115, 0.500, 0.020, 0.006, 0.003), PAINT, 0.03, rounded(0.006))
    plate = slab(0.0, PLATE, 0.462, 0.0055)
    canvas.paint(plate, PAINT, 0.11, rounded(0.003))
    canvas.paint(slab(0.0, PLATE + 0.0075, 0.462, 0.0028), RED, 0.105)
    rail = rod([(-0.135, 0.470), (0.40, 0.470)], 0.0024)
    canvas.paint(rail, STEEL, 0.085, rounded(0.002))
    for x in (0.22, 0.29, 0.395):
        canvas.paint(circle(x, 0.470, 0.0042), BRASS, 0.085, rounded(0.003))
    step = [slab(-0.277, y, 0.030, 0.0030, 0.001) for y in (0.700, 0.735)]
    sides = [slab(x, 0.697, 0.0022, 0.042) for x in (-0.303, -0.251)]
    canvas.paint(joined(*step, *sides), IRON, 0.11, rounded(0.002))


def chimney(canvas: Canvas) -> None:
    """Chimney with its rim, and the whistle."""
    stack = [(0.345, 0.325), (0.385, 0.325), (0.381, 0.418), (0.349, 0.418)]
    canvas.paint(polygon(stack), IRON, -0.02, rounded(0.018))
    canvas.paint(slab(0.365, 0.322, 0.0255, 0.0060, 0.003), BRASS, -0.01, rounded(0.02, 0.02))
    foot = [(0.348, 0.405), (0.382, 0.405), (0.397, 0.420), (0.333, 0.420)]
    canvas.paint(polygon(foot, 0.002), IRON, -0.02, rounded(0.02))


def dome(canvas: Canvas) -> None:
    """Steam dome and safety valves on the boiler's top."""
    cap = joined(slab(0.125, 0.398, 0.030, 0.022, 0.004), oval(0.125, 0.378, 0.030, 0.020))
    canvas.paint(cap, brighter(BRASS, 0.9), -0.02, rounded(0.028))
    canvas.paint(slab(0.125, 0.417, 0.036, 0.005, 0.003), PAINT, -0.01, rounded(0.03, 0.02))
    for x in (-0.062, -0.040):
        canvas.paint(slab(x, 0.398, 0.0065, 0.022, 0.002), BRASS, -0.02, rounded(0.006))
    canvas.paint(slab(-0.051, 0.416, 0.024, 0.006, 0.002), PAINT, -0.02, rounded(0.006))
    canvas.paint(slab(-0.105, 0.388, 0.0030, 0.026), BRASS, -0.02, rounded(0.003))
    canvas.paint(slab(-0.105, 0.366, 0.0060, 0.010, 0.003), BRASS, -0.02, rounded(0.006))


def inside(canvas: Canvas) -> None:
    """What is seen through the doorway: the far side, the backhead and the fireman."""
    canvas.paint(grown(joined(DOORWAY, WINDOW), 0.004), brighter(CREAM, 0.28), -0.10)
    canvas.paint(slab(-0.290, 0.452, 0.032, 0.034, 0.008), SOOT, -0.10)
    canvas.paint(slab(-0.277, 0.588, 0.060, 0.058), brighter(IRON, 1.2), -0.09)
    head = polygon([(-0.226, 0.43), (-0.140, 0.43), (-0.140, 0.66), (-0.236, 0.66), (-0.236, 0.52)])
    canvas.paint(head, brighter(IRON, 1.1), -0.05, rounded(0.010), tilt=(-0.8, 0.0, 0.6))
    canvas.paint(rod([(-0.229, 0.448), (-0.229, 0.50)], 0.0030), COPPER, -0.01, rounded(0.003))
    canvas.paint(circle(-0.233, 0.470, 0.0085), BRASS, -0.01, rounded(0.003))
    x, y, half, tall = HOLE
    ring = oval(x, y, half + 0.004, tall + 0.006)
    canvas.paint(ring, brighter(STEEL, 0.35), -0.02, rounded(0.003))
    canvas.paint(oval(x, y, half, tall), SOOT, -0.03)
    fireman(canvas, -0.303, 0.646)


def fireman(canvas: Canvas, x: float, y: float) -> None:
    """A fireman who stands at (x, y) and looks towards the fire."""
    z = -0.06
    legs = [(x - 0.016, y - 0.085), (x + 0.014, y - 0.085), (x + 0.012, y), (x - 0.014, y)]
    canvas.paint(polygon(legs, 0.002), brighter(CLOTH, 0.7), z, rounded(0.012))
    body = rod([(x - 0.001, y - 0.094), (x + 0.003, y - 0.142)], 0.0165)
    canvas.paint(body, CLOTH, z, rounded(0.014))
    canvas.paint(circle(x + 0.006, y - 0.174, 0.0125), SKIN, z, rounded(0.011))
    cap = joined(
        slab(x + 0.004, y - 0.1845, 0.0135, 0.0055, 0.004),
        slab(x + 0.016, y - 0.1810, 0.007, 0.0018, 0.001),
    )
    canvas.paint(cap, brighter(CLOTH, 0.6), z + 0.01, rounded(0.004))
    arm = rod([(x + 0.004, y - 0.146), (x + 0.022, y - 0.118), (x + 0.046, y - 0.112)], 0.0062)
    canvas.paint(arm, brighter(CLOTH, 1.2), z + 0.02, rounded(0.006))
    canvas.paint(circle(x + 0.048, y - 0.112, 0.006), SKIN, z + 0.02, rounded(0.005))
    stick = rod([(x + 0.050, y - 0.150), (x + 0.044, y - 0.03)], 0.0026)
    canvas.paint(stick, brighter(WOOD, 1.5), z + 0.02, rounded(0.002))


def cab(canvas: Canvas) -> None:
    """Cab side and roof, bunker and coal."""
    side = slab(-0.258, 0.500, 0.112, 0.150, 0.006)
    canvas.paint(without(side, joined(DOORWAY, WINDOW)), PAINT, 0.09, rounded(0.004))
    canvas.paint(rim(DOORWAY, 0.0035), brighter(BRASS, 0.7), 0.094, rounded(0.002))
    canvas.paint(rim(WINDOW, 0.0035), BRASS, 0.094, rounded(0.002))
    for x in (-0.339, -0.215):
        canvas.paint(rod([(x, 0.50), (x, 0.635)], 0.0022), STEEL, 0.105, rounded(0.002))
    roof = common(circle(-0.262, 0.820, 0.482), slab(-0.262, 0.345, 0.132, 0.020))
    canvas.paint(roof, brighter(SOOT, 1.6), 0.10, rounded(0.010))
    canvas.paint(slab(-0.262, 0.3565, 0.130, 0.0035, 0.002), brighter(PAINT, 0.8), 0.11)
    coal(canvas)
    bunker = slab(-0.412, 0.573, 0.046, 0.078, 0.005)
    canvas.paint(bunker, PAINT, 0.08, rounded(0.006))
    canvas.paint(rim(slab(-0.412, 0.576, 0.035, 0.062, 0.008), 0.0020), LINE, 0.086)
    canvas.paint(slab(-0.415, 0.4945, 0.050, 0.0028, 0.001), brighter(BRASS, 0.7), 0.09)


def coal(canvas: Canvas) -> None:
    """The heap of coal on the bunker."""
    heap = common(oval(-0.412, 0.500, 0.046, 0.040), slab(-0.412, 0.470, 0.050, 0.030))
    canvas.paint(heap, brighter(SOOT, 1.2), 0.0, rounded(0.02))
    window = canvas.window(heap)
    if window is not None:
        near, _, which = lumps(canvas.x[window] * 75, canvas.y[window] * 75, 17)
        canvas.albedo[:, window[0], window[1]] *= 0.35 + 1.5 * which * (1.1 - near)
        canvas.normal[0][window] += canvas.mask(heap)[window] * (which - 0.5)


def ends(canvas: Canvas) -> None:
    """Buffer beams and buffers, seen from their sides."""
    for side in (-1, 1):
        canvas.paint(slab(side * 0.459, 0.680, 0.006, 0.034), RED, 0.10, rounded(0.003))
        canvas.paint(slab(side * 0.472, 0.688, 0.010, 0.0085), IRON, 0.08, rounded(0.008))
        canvas.paint(slab(side * 0.4835, 0.688, 0.0035, 0.019, 0.002), brighter(STEEL, 0.6), 0.09)
        guard = rod([(side * 0.430, 0.70), (side * 0.446, 0.785)], 0.0038)
        canvas.paint(guard, IRON, 0.02, rounded(0.004))


def side_lamp(canvas: Canvas, at: Point, side: int, case: Material) -> None:
    """An oil lamp seen from its side, its lens towards `side`."""
    x, y = at
    canvas.paint(slab(x, y + 0.038, 0.0040, 0.022), IRON, 0.08)
    canvas.paint(slab(x, y, 0.0130, 0.0165, 0.003), case, 0.09, rounded(0.008))
    canvas.paint(slab(x, y - 0.0190, 0.0065, 0.0040, 0.002), case, 0.09, rounded(0.005))
    canvas.paint(rim(circle(x, y - 0.0240, 0.0070), 0.0020), IRON, 0.09)
    canvas.paint(slab(x + side * 0.0145, y, 0.0030, 0.0105, 0.002), BRASS, 0.09, rounded(0.003))


def hand_lamp(canvas: Canvas) -> None:
    """A worker's lamp in a wire cage that hangs from the running plate."""
    x, y = HAND_LAMP
    canvas.paint(rod([(x, PLATE), (x, y - 0.010)], 0.0012), IRON, 0.12)
    canvas.paint(slab(x, y - 0.0095, 0.0042, 0.0030, 0.001), BRASS, 0.12, rounded(0.003))
    glass = oval(x, y, 0.0050, 0.0078)
    canvas.paint(glass, Material((0.30, 0.30, 0.28), gloss=0.8), 0.12, rounded(0.005))


SMALLEST_DRAWN = 160
"""Pixels of the shorter side below which it is drawn larger: its fire would fall between pixels."""


def draw_side(width: int, height: int) -> Maps:
    """The engine in `width` x `height` pixels: ambient [3, h, w] and each place's light."""
    return _shrunk(*_canvas(width, height))


def move_side(width: int, height: int) -> Moving:
    """Its wheels and rods as they turn."""
    canvas, by = _canvas(width, height)
    maps = _shrunk(canvas, by)
    return moving(canvas, UNDER_WAY, by, maps, drawn)


def _canvas(width: int, height: int) -> tuple[Canvas, int]:
    """A canvas for a picture of that size, and how many times larger it is."""
    by = -(-SMALLEST_DRAWN // min(width, height))
    return Canvas(width * by, height * by, EYE), by


def _shrunk(canvas: Canvas, by: int) -> Maps:
    ambient, light = drawn(canvas)
    return shrunk(ambient, by), {name: shrunk(each, by) for name, each in light.items()}


def drawn(canvas: Canvas, turned: float = 0.0) -> Maps:
    """Paint a canvas and light it, when the coupled wheels have `turned`, in turns clockwise."""
    air = sky(canvas, 0.66, (0.010, 0.017, 0.045), (0.048, 0.050, 0.078), 0.6)
    track = Track(canvas, GROUND, middle=-0.09)
    track.ballast()
    track.sleepers(0.16)
    underframe(canvas)
    line(canvas)
    spoked_wheel(canvas, BEHIND, CARRIER, 8, 0.02, CARRIER_TURNS * turned)
    for x in WHEELS:
        driven(canvas, x, 0.03, turned)
    inside(canvas)
    engine(canvas)
    rods(canvas, 0.07, turned)
    cab(canvas)
    ends(canvas)
    hand_lamp(canvas)
    side_lamp(canvas, HEAD, 1, LAMP_CASE)
    side_lamp(canvas, TAIL, -1, brighter(RED, 1.2))
    plume = rising_steam(canvas)
    light = {
        "bed": light_of_bed(canvas),
        "flames": light_of_flames(canvas, plume),
        "ashpan": light_of_ash_pan(canvas),
        "damper": light_of_damper(canvas),
        "cab_lamp": light_in_cab(canvas),
        "hand_lamp": light_of_hand_lamp(canvas),
        "head": light_ahead(canvas, HEAD, 1, 1.0),
        "tail": light_ahead(canvas, TAIL, -1, 0.35),
    }
    return single(night(canvas, air, plume)), {name: single(each) for name, each in light.items()}


def rising_steam(canvas: Canvas) -> Floats:
    """How thick steam hangs over chimney and valves, 0..1 [h, w]."""
    x, y = canvas.x - 0.365, canvas.y
    rise = np.clip(0.315 - y, 0, 1)
    curl = cloud(canvas.x * 9 - 4 * y, y * 11, 57, 4)
    middle = -0.85 * rise - 0.5 * rise**2
    spread = 0.020 + 0.42 * rise
    body = np.exp(-(((x - middle + 0.16 * rise**0.5 * (curl - 0.5)) / spread) ** 2))
    return single(body * smoothstep(0.315, 0.29, y) * smoothstep(0.28, 0.72, curl) * (1 - rise))


def cabin(canvas: Canvas) -> Floats:
    """What is open of the cab [h, w]."""
    return canvas.mask(joined(DOORWAY, WINDOW))


def light_of_bed(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the glowing bed: the lower half of the firehole, and on what is near."""
    x, y, half, tall = HOLE
    hole = canvas.mask(oval(x, y, half, tall))
    down = (canvas.y - (y - tall)) / (2 * tall)
    heat = Bed(coals=2.0, horizon=-0.6).heat((canvas.x - x) / half, np.clip(down * 2 - 0.9, 0, 1.2))
    seen = hole * smoothstep(0.35, 0.62, down) * (0.5 + 2.2 * heat)
    open_ = cabin(canvas)
    near = canvas.lit(
        canvas.solid,
        Light((x - 0.03, y + 0.012, 0.02), 0.0150, 0.03, (-1, 0.1, 0.15), 0.4, 0.2),
        Light((x - 0.02, y + 0.02, 0.0), 0.0050, 0.03, None, 0.3),
    )
    out = canvas.lit(
        canvas.solid * (1 - open_),
        Light((-0.29, 0.60, 0.22), 0.0040, 0.04, (-0.3, 0.8, 0.5), 0.3),
    )
    return canvas.glow(warm(seen, 0.7), (0.012, 0.5), (0.05, 0.5)) + near * open_ + out


def light_of_flames(canvas: Canvas, plume: Floats) -> Floats:
    """Light [3, h, w] of the flames: in the hole, on the roof, the fireman and the steam above."""
    x, y, half, tall = HOLE
    hole = canvas.mask(oval(x, y, half, tall))
    up = (y + tall * 0.55 - canvas.y) / (1.25 * tall)
    heat = flame_heat((canvas.x - x) / (half * 1.3), np.clip(up, -0.3, 1.6))
    seen = hole * (0.25 + 2.4 * heat)
    open_ = cabin(canvas)
    near = canvas.lit(
        canvas.solid,
        Light((x - 0.028, y - 0.012, 0.02), 0.0450, 0.04, (-1, -0.25, 0.1), 0.45, 0.35),
        Light((-0.285, 0.42, 0.03), 0.0060, 0.05, None, 0.4),
    )
    out = canvas.lit(
        canvas.solid * (1 - open_),
        Light((-0.29, 0.57, 0.30), 0.0140, 0.06, (-0.2, 0.7, 0.4), 0.3),
        Light((-0.27, 0.55, 0.16), 0.0030, 0.05, (0, 0, -1), 0.5),
    )
    above = np.exp(-(((canvas.x + 0.28) / 0.17) ** 2)) * smoothstep(0.10, 0.34, canvas.y)
    lit_steam = plume * (0.12 + 0.88 * above) * 0.30
    return single(
        canvas.glow(warm(seen, 0.75), (0.012, 0.6), (0.06, 0.6)) + near * open_ + out + lit_steam
    )


def light_of_ash_pan(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the glow below the ash pan, on ballast, rail and wheels."""
    x = (PAN[0] + PAN[1]) / 2
    under = canvas.lit(
        canvas.solid,
        Light((x - 0.03, 0.775, 0.01), 0.0085, 0.035, None, 0.3, 0.7),
        Light((x + 0.03, 0.775, 0.01), 0.0085, 0.035, None, 0.3, 0.7),
        Light((x, 0.770, 0.10), 0.0080, 0.04, (0, 1, 0.5), 0.3),
    )
    edge = np.exp(-(((canvas.x - x) / 0.048) ** 4)) * np.exp(-np.abs(canvas.y - 0.762) / 0.0035)
    drop = np.exp(-(((canvas.x - x) / 0.055) ** 2)) * smoothstep(0.757, 0.764, canvas.y)
    drop *= np.exp(-(canvas.y - 0.760).clip(0) / 0.02)
    drop *= 0.6 + 0.8 * cloud(canvas.x * 40, canvas.y * 22, 3)
    free = canvas.cover(0.7985 - canvas.y) + 0.35 * canvas.cover(RAIL_TOP - canvas.y)
    heat = (2.0 * edge + 0.55 * drop) * np.clip(free, 0, 1) * canvas.cover(0.757 - canvas.y)
    heat += (2.0 * edge + 0.55 * drop) * canvas.cover(canvas.y - RAIL_TOP) * (canvas.y > 0.757)
    return canvas.glow(warm(heat, 0.8), (0.010, 0.3), (0.05, 0.35)) + under


def light_of_damper(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the fire seen through the damper slots, and of the beams out of them."""
    slots = joined(*SLOTS)
    x0, y0, x1, y1 = slots.box
    across = (canvas.x - (x0 + x1) / 2) / (x1 - x0) * 2
    heat = Bed(coals=2.6, horizon=-0.6).heat(across, np.clip((canvas.y - y0) / (y1 - y0), 0, 1))
    seen = canvas.mask(slots) * (0.45 + 2.4 * heat)
    outward = canvas.lit(
        canvas.solid,
        *(
            Light(((slot.box[0] + slot.box[2]) / 2, 0.730, 0.05), 0.0042, 0.02, (0, 0.5, 1), 0.2)
            for slot in SLOTS
        ),
    )
    return canvas.glow(warm(seen, 0.7), (0.010, 0.4), (0.04, 0.35)) + outward


def light_in_cab(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the small lamp under the cab roof."""
    x, y = CAB_LAMP
    open_ = cabin(canvas)
    near = canvas.lit(
        canvas.solid,
        Light((x, y + 0.01, 0.02), 0.0080, 0.02, (0, 1, 0.1), 0.35, 0.3),
        Light((x, y, 0.03), 0.0012, 0.02, None, 0.3),
    )
    out = canvas.lit(
        canvas.solid * (1 - open_), Light((x, 0.56, 0.25), 0.0022, 0.05, (0, 0.8, 0.5), 0.3)
    )
    return bulb(canvas, x, y, 0.0055) * open_ + near * open_ + out


def light_of_hand_lamp(canvas: Canvas) -> Floats:
    """Light [3, h, w] of the worker's lamp on wheels, rods, tank side and ground."""
    x, y = HAND_LAMP
    near = canvas.lit(
        canvas.solid,
        Light((x, y, 0.16), 0.0240, 0.012, None, 0.15, 0.5),
    )
    return bulb(canvas, x, y, 0.0060) + near


def bulb(canvas: Canvas, x: float, y: float, radius: float) -> Floats:
    """A small burning lamp [h, w] with its glare."""
    r = np.hypot(canvas.x - x, canvas.y - y)
    return single(
        3.2 * canvas.mask(circle(x, y, radius))
        + 0.50 / (1 + (r / (1.6 * radius)) ** 2) ** 1.5
        + 0.05 * np.exp(-r / (8 * radius))
    )


def light_ahead(canvas: Canvas, at: Point, side: int, reach: float) -> Floats:
    """Light [3, h, w] of a lamp that shines along the line towards `side`."""
    x, y = at[0] + side * 0.019, at[1]
    near = canvas.lit(
        canvas.solid,
        Light((x + side * 0.02, y, 0.10), 0.060 * reach, 0.04, (side, 0.45, -0.05), 0.25),
        Light((x + side * 0.01, y, 0.12), 0.0022, 0.02, None, 0.2),
    )
    lens = canvas.mask(oval(x, y, 0.0045, 0.0105))
    dx, dy = (canvas.x - x) * side, canvas.y - y
    r = np.hypot(dx, dy)
    angle = np.arctan2(dy, dx)
    glare = 0.8 / (1 + (r / 0.011) ** 2) ** 1.5 + 0.06 * np.exp(-r / 0.05)
    # The beam is seen in the mist over the line.
    beam = np.exp(-(((angle - 0.10) / 0.16) ** 2)) * smoothstep(0.0, 0.03, dx) * np.exp(-r / 0.22)
    mist = 0.6 + 0.8 * cloud(canvas.x * 6, canvas.y * 14, 33)
    total: Floats = near + 3.0 * lens + glare * (0.45 + 0.55 * smoothstep(-0.01, 0.02, dx))
    return single(total + 0.10 * reach * beam * mist)


def night(canvas: Canvas, air: Floats, plume: Floats) -> Floats:
    """Ambient light [3, h, w] of the moon, the mist, and `air` behind what is solid."""
    moon = canvas.shine(Light((-2.6, -3.4, 3.6), 5.2, 0.5, None, 0.15, 0.3))
    ambient = moon * colour((0.42, 0.56, 1.0)) * canvas.solid
    ambient += canvas.albedo * colour((0.012, 0.016, 0.026)) * canvas.solid
    ambient += air * (1 - canvas.solid) + plume * colour((0.030, 0.036, 0.055))
    ambient *= 1 - 0.6 * cabin(canvas)[None]
    mist = smoothstep(0.11, 0.0, np.abs(canvas.y - 0.665)) * (1 - 0.8 * canvas.solid)
    return ambient + mist * colour((0.008, 0.010, 0.017))
