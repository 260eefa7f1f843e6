"""Out of doors at dusk and night: sky, far land, ballast, sleepers and rails."""

from __future__ import annotations

import numpy as np

from .shapes import Array, cloud, lattice, lumps, noise, smoothstep
from .surface import STEEL, Canvas, Material, Vector

BALLAST = Material((0.12, 0.115, 0.11), gloss=0.05, grain=0.3)
SLEEPER = Material((0.085, 0.060, 0.042), gloss=0.05, grain=0.5)

ALL = (slice(None), slice(None))


def colour(rgb: Vector) -> Array:
    """A colour as [3, 1, 1], ready to multiply a picture plane."""
    return np.reshape(np.array(rgb, np.float32), (3, 1, 1))


def sky(canvas: Canvas, horizon: float, high: Vector, low: Vector, stars: float) -> Array:
    """Light [3, h, w] of the sky, clearer upwards, with far trees at the horizon."""
    height = np.clip((horizon - canvas.y) / 0.65, 0, 1)
    light = colour(low) + (colour(high) - colour(low)) * np.sqrt(height)
    veil = cloud(canvas.x * 2.2, canvas.y * 7, 61, 4)
    light = light * (0.75 + 0.5 * veil)
    cells_x, cells_y = canvas.x * 26, canvas.y * 26
    ix, iy = np.floor(cells_x).astype(np.int32), np.floor(cells_y).astype(np.int32)
    dx = cells_x - ix - 0.2 - 0.6 * lattice(ix, iy, 71)
    dy = cells_y - iy - 0.2 - 0.6 * lattice(ix, iy, 72)
    size = max(0.03, 20 / canvas.unit)
    star = np.exp(-(dx * dx + dy * dy) / size**2) * (lattice(ix, iy, 73) > 0.72)
    light += stars * star * lattice(ix, iy, 74) ** 2 * height**0.5 * (1.2 - veil)
    trees = horizon - 0.035 - 0.06 * cloud(canvas.x * 4 + 9, canvas.x * 0, 81, 2)
    trees -= 0.03 * cloud(canvas.x * 38, canvas.y * 38, 82, 3)
    wood = canvas.cover(trees - canvas.y, 0.004)
    return (light * (1 - 0.90 * wood)).astype(np.float32)


def ground(canvas: Canvas, place: Array, part: Array, along: Array, across: Array) -> None:
    """A ballasted track seen in perspective.

    `place` [3, h, w] is the ground in space, `part` [h, w] where it is seen; the track runs with
    `along` and its middle is where `across` is 0, both in picture heights on the ground.
    """
    near, gap, which = lumps(across * 42, along * 42, 91)
    stone = (0.45 + 0.85 * which) * smoothstep(0.0, 0.22, gap) * (1.15 - 0.5 * near)
    dx, dy = noise(across * 60, along * 60, 93) - 0.5, noise(across * 60, along * 60, 94) - 0.5
    up = np.stack([0.9 * dx, -np.ones_like(dx), 0.9 * dy])
    grass = smoothstep(0.42, 0.62, np.abs(across) + 0.12 * cloud(across * 6, along * 6, 95))
    tint = colour(BALLAST.albedo) * (1 - grass) + colour((0.030, 0.045, 0.022)) * grass
    canvas.blend(ALL, part, tint * stone, up / np.linalg.norm(up, axis=0), place, BALLAST)


def sleepers(
    canvas: Canvas, place: Array, part: Array, along: Array, across: Array, half: float
) -> None:
    """Wooden sleepers under the track, `half` long each way, and the shadow beside them."""
    pitch = 0.118
    step = along / pitch
    offset = np.abs(step - np.rint(step)) * pitch
    pixel = 1.5 * pitch * np.hypot(*np.gradient(step)) + 1e-4
    seen = np.clip((0.031 - offset) / pixel + 0.5, 0, 1) * np.clip(
        (half - np.abs(across)) * 120, 0, 1
    )
    edge = np.clip((0.040 - offset) / pixel + 0.5, 0, 1) * (np.abs(across) < half)
    canvas.albedo *= 1 - 0.6 * edge * part
    grain = 0.5 + cloud(across * 9, along * 160, 97, 2)
    up = np.stack([np.zeros_like(step), -np.ones_like(step), np.zeros_like(step)])
    canvas.blend(ALL, part * seen, colour(SLEEPER.albedo) * grain, up, place, SLEEPER)


def rails(canvas: Canvas, place: Array, part: Array, across: Array, half_gauge: float) -> None:
    """The two rails: a bright worn head and a rusty foot."""
    pixel = np.abs(np.gradient(across, axis=1)) + 1e-5
    for side in (-1, 1):
        off = np.abs(across - side * half_gauge)
        for half, tint, material, z in (
            (0.017, (0.07, 0.042, 0.028), SLEEPER, 0.0),
            (0.0095, (0.50, 0.50, 0.52), STEEL, 0.03),
        ):
            seen = part * np.clip((half - off) / pixel + 0.5, 0, 1)
            bow = (across - side * half_gauge) / half
            up = np.stack([0.5 * bow, -np.ones_like(bow), np.full_like(bow, 0.12)])
            up /= np.linalg.norm(up, axis=0)
            raised = place - np.reshape([0, z, 0], (3, 1, 1))
            canvas.blend(
                ALL, seen, np.broadcast_to(colour(tint), place.shape), up, raised, material
            )
