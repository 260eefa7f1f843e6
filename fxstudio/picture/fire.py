"""A coal fire: the incandescent bed and the tongues of flame above it, as emission maps.

The lamps that stand for them do not move, so neither does the fire: the detail lies in the maps
and only their strength and mixture change. Cooler parts are redder: less green and blue.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .shapes import Array, cloud, lumps, smoothstep


def warm(heat: Array) -> Array:
    """Emission [3, h, w] for `heat` 0 up: the light of a white lamp seen through fire and soot."""
    hot = np.clip(heat, 0, 1)
    return np.stack([heat, heat * (0.42 + 0.58 * hot), heat * (0.16 + 0.64 * hot * hot)])


@dataclass(frozen=True)
class Bed:
    """A bed of coals seen at a low angle: flat, running back from its near edge.

    `across` -1..1 and `down` 0 (far edge) .. 1 (near edge) are screen positions on it.
    """

    coals: float = 5.5
    horizon: float = -0.40
    seed: int = 1

    def heat(self, across: Array, down: Array) -> tuple[Array, Array]:
        """Heat of the bed, and its dull relief 0..1 for light from elsewhere."""
        depth = 1 / np.maximum(down - self.horizon, 0.12)
        x, y = across * depth * self.coals * 0.62, depth * self.coals * 1.15
        wobble_x, wobble_y = (
            cloud(x * 1.7, y * 1.7, self.seed + 5),
            cloud(x * 1.7, y * 1.7, self.seed + 6),
        )
        near, gap, which = lumps(x + 0.5 * wobble_x, y + 0.5 * wobble_y, self.seed)
        drift = cloud(x * 0.45, y * 0.45, self.seed + 9)
        crust = cloud(x * 4, y * 4, self.seed + 11)
        crack = smoothstep(0.34, 0.0, gap)
        glow = smoothstep(0.25, 0.85, 0.62 * which + 0.55 * drift - 0.12 * crust)
        top = np.clip(1 - near, 0, 1)
        middle = np.exp(-1.1 * across**2)
        heat = (
            1.5 * crack**1.5 * (0.35 + drift) + glow * (0.25 + 0.6 * crust + 0.35 * top)
        ) * middle
        return heat.astype(np.float32), (top * (0.4 + 0.6 * which)).astype(np.float32)


@dataclass(frozen=True)
class Tongue:
    """One tongue of flame: foot and height in units of the fire's half width, lean, waviness."""

    foot: float
    height: float
    width: float
    lean: float = 0.0
    wave: float = 0.05
    phase: float = 0.0


BACK_TONGUES = (
    Tongue(-0.62, 0.75, 0.30, 0.14, 0.06, 0.1),
    Tongue(-0.22, 1.05, 0.34, 0.08, 0.07, 0.6),
    Tongue(0.20, 1.15, 0.36, -0.06, 0.07, 0.2),
    Tongue(0.60, 0.80, 0.30, -0.14, 0.06, 0.8),
)
MIDDLE_TONGUES = (
    Tongue(-0.74, 0.46, 0.15, 0.12, 0.05, 0.3),
    Tongue(-0.46, 0.82, 0.19, 0.10, 0.07, 0.9),
    Tongue(-0.08, 1.02, 0.21, 0.12, 0.08, 0.45),
    Tongue(0.26, 0.90, 0.18, -0.03, 0.07, 0.0),
    Tongue(0.52, 0.66, 0.17, -0.10, 0.06, 0.55),
    Tongue(0.78, 0.40, 0.13, -0.12, 0.05, 0.7),
)
FRONT_TONGUES = (
    Tongue(-0.58, 0.40, 0.10, 0.07, 0.05, 0.15),
    Tongue(-0.27, 0.64, 0.12, 0.05, 0.06, 0.75),
    Tongue(0.07, 0.72, 0.13, -0.05, 0.07, 0.35),
    Tongue(0.40, 0.52, 0.11, -0.07, 0.06, 0.95),
    Tongue(0.66, 0.30, 0.08, -0.05, 0.04, 0.5),
)
LAYERS = ((BACK_TONGUES, 0.42, 0.9), (MIDDLE_TONGUES, 0.62, 0.6), (FRONT_TONGUES, 0.95, 0.5))
"""Tongues, strength and softness of each layer, from the back to the front."""


def tongue_heat(tongue: Tongue, across: Array, up: Array, soft: float) -> Array:
    """Heat 0..1 of one tongue; `across` and `up` in half widths of the fire."""
    t = up / tongue.height
    inside = np.clip(t, 0, 1)
    sway = np.sin(2 * np.pi * (0.9 * inside + tongue.phase))
    middle = tongue.foot + tongue.lean * inside**2 + tongue.wave * sway * inside
    width = tongue.width * (1 - inside) ** 0.8 * (0.75 + 0.55 * np.sin(np.pi * inside**0.8))
    across_share = 1 - np.abs(across - middle) / np.maximum(width, 1e-3)
    sheet = smoothstep(0, soft, across_share)
    core = smoothstep(0.15, 1.0, across_share)
    body = (0.5 + 0.5 * core) * (1.15 - 0.65 * inside)
    return sheet * body * smoothstep(-0.08, 0.14, t) * smoothstep(1.0, 0.72, t)


def flame_heat(across: Array, up: Array, seed: int = 4) -> Array:
    """Heat of all tongues together, foot of the fire at `up` = 0."""
    lift = np.clip(up, 0, 1.5)
    curl = cloud(across * 3.2, up * 2.2 + 3, seed) - 0.5
    lick = cloud(across * 9, up * 5, seed + 3) - 0.5
    x = across + lift * (0.26 * curl + 0.07 * lick)
    y = up + 0.16 * lift * (cloud(across * 5, up * 2.5, seed + 7) - 0.5)
    total = np.zeros_like(across)
    for layer, strength, soft in LAYERS:
        heat = np.maximum.reduce([tongue_heat(tongue, x, y, soft) for tongue in layer])
        total += strength * heat
    wisps = 0.78 + 0.44 * cloud(across * 8 + 2 * curl, up * 2.4, seed + 13)
    return (total * wisps).astype(np.float32)
