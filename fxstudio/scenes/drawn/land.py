"""Out of doors at dusk and night: sky, far land, ballast, sleepers and rails."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Floats

from .shapes import cloud, lattice, lumps, noise, single, smoothstep
from .surface import STEEL, Canvas, Material, Vector, brighter

BALLAST = Material((0.12, 0.115, 0.11), gloss=0.05, grain=0.3)
SLEEPER = Material((0.085, 0.060, 0.042), gloss=0.05, grain=0.5)

GRASS = (0.030, 0.045, 0.022)
RAIL = brighter(STEEL, 1.1)
SLEEPER_PITCH = 0.118
"""Middle to middle of two sleepers, in picture heights."""


def colour(rgb: Vector) -> Floats:
    """A colour as [3, 1, 1], ready to multiply a picture plane."""
    return np.reshape(np.array(rgb, np.float32), (3, 1, 1))


def sky(canvas: Canvas, horizon: float, high: Vector, low: Vector, stars: float) -> Floats:
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
    return single(light * (1 - 0.90 * wood))


class Track:
    """Ballasted track on flat ground, in perspective.

    Parameters
    ----------
    canvas : where it is drawn
    depth : ground below the eye, in picture heights
    middle : z of the track's middle if it runs across the picture, None if it runs away
    """

    def __init__(self, canvas: Canvas, depth: float, middle: float | None = None) -> None:
        self.canvas = canvas
        ex, ey, ez = canvas.eye
        first = int(np.searchsorted(canvas.y[:, 0], ey))
        self.window = (slice(max(first - 1, 0), None), slice(None))
        below = canvas.y[self.window] - ey
        scale = np.maximum(below / depth, 0.06)
        x, z = (canvas.x[self.window] - ex) / scale + ex, ez * (1 - 1 / scale)
        self.part = canvas.cover(-below, 0.004)
        self.place = np.stack([x, np.full_like(x, ey + depth), z])
        self.along, self.across = (z, x) if middle is None else (x, z - middle)

    def lay(
        self, part: Floats, tint: Floats, normal: Floats, place: Floats, stuff: Material
    ) -> None:
        """Cover the ground by `part` with a surface."""
        normal = normal / np.linalg.norm(normal, axis=0)
        tint = np.broadcast_to(tint, place.shape)
        self.canvas.blend(self.window, self.part * part, tint, normal, place, stuff)

    def ballast(self) -> None:
        """Broken stone, grass away from the track."""
        along, across = self.along, self.across
        near, gap, which = lumps(across * 50, along * 50, 91)
        stone = (0.45 + 0.85 * which) * (0.25 + 0.75 * smoothstep(0.0, 0.16, gap))
        stone *= 1.15 - 0.5 * near
        rough_x, rough_z = (noise(across * 60, along * 60, seed) - 0.5 for seed in (93, 94))
        # Every stone lies its own way.
        dx, dz = rough_x + 1.3 * (which - 0.5), rough_z + 1.3 * ((which * 37) % 1 - 0.5)
        verge = np.abs(across) + 0.12 * cloud(across * 6, along * 6, 95)
        grass = smoothstep(0.42, 0.62, verge)
        tint = colour(BALLAST.albedo) * (1 - grass) + colour(GRASS) * grass
        up = np.stack([0.9 * dx, -np.ones_like(dx), 0.9 * dz])
        self.lay(np.ones_like(stone), tint * stone, up, self.place, BALLAST)

    def sleepers(self, half: float, passed: float = 0.0) -> None:
        """Wooden sleepers, `half` long each way, and the dark beside them.

        `passed` is how many of them have gone by an engine that runs to the right or towards the
        viewer.
        """
        step = self.along / SLEEPER_PITCH + passed
        offset = np.abs(step - np.rint(step)) * SLEEPER_PITCH
        pixel = 1.5 * SLEEPER_PITCH * np.hypot(*np.gradient(step)) + 1e-4
        within = np.clip((half - np.abs(self.across)) * 120, 0, 1)
        dark = np.clip((0.040 - offset) / pixel + 0.5, 0, 1) * within
        self.canvas.albedo[:, self.window[0]] *= 1 - 0.6 * dark * self.part
        seen = np.clip((0.031 - offset) / pixel + 0.5, 0, 1) * within
        grain = 0.5 + cloud(self.across * 9, self.along * 160, 97, 2)
        up = np.stack([0 * step, -np.ones_like(step), 0 * step])
        self.lay(seen, colour(SLEEPER.albedo) * grain, up, self.place, SLEEPER)

    def rails(self, half_gauge: float) -> None:
        """The two rails of a track that runs away: a bright worn head on a rusty foot."""
        pixel = np.abs(np.gradient(self.across, axis=1)) + 1e-5
        for side in (-1, 1):
            off = self.across - side * half_gauge
            for half, stuff, height in ((0.017, SLEEPER, 0.0), (0.0095, RAIL, 0.03)):
                seen = np.clip((half - np.abs(off)) / pixel + 0.5, 0, 1)
                bow = np.clip(off / half, -1, 1)
                normal = np.stack([0.5 * bow, -np.ones_like(bow), np.full_like(bow, 0.12)])
                raised = self.place - colour((0, height, 0))
                self.lay(seen, colour(stuff.albedo), normal, raised, stuff)
