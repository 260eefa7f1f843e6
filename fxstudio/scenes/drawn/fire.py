"""A coal fire: the incandescent bed and the tongues of flame above it, as emission maps.

The lamps that stand for them do not move, so neither does the fire: the detail lies in the maps
and only their strength and mixture change. Cooler parts are redder: less green and blue.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fxstudio.arrays import Floats

from .shapes import cloud, lumps, single, smoothstep


def warm(heat: Floats, cool: float = 0.55) -> Floats:
    """Emission [3, h, w] for `heat` 0 up: the light of a white lamp seen through fire and soot.

    Cooler parts are redder down to `cool` of the green, hot cores a little yellower, so that
    the whole keeps about the lamp's own colour.
    """
    hot = np.clip(heat / 1.2, 0, 1)
    return np.stack([heat, heat * (cool + (1.2 - cool) * hot), heat * (0.3 * cool + 0.7 * hot)])


@dataclass(frozen=True)
class Bed:
    """A bed of coals seen at a low angle: flat, running back from its near edge.

    `across` -1..1 and `down` 0 (far edge) .. 1 (near edge) are screen positions on it.
    """

    coals: float = 3.6
    horizon: float = -0.85
    seed: int = 1

    def heat(self, across: Floats, down: Floats) -> Floats:
        """Heat of the bed: hot lumps with dull joints, dull lumps with hot joints."""
        depth = 1 / np.maximum(down - self.horizon, 0.12)
        x, y = across * depth * self.coals * 1.5, depth * self.coals * 3.4
        bend_x = cloud(x * 1.3, y * 1.3, self.seed + 5, 2) - 0.5
        bend_y = cloud(x * 1.3, y * 1.3, self.seed + 6, 2) - 0.5
        x, y = x + 0.55 * bend_x, y + 0.55 * bend_y
        drift = cloud(x * 0.45, y * 0.45, self.seed + 9, 2)
        crust = cloud(x * 2.6, y * 2.6, self.seed + 11, 3)
        near, gap, which = lumps(x, y, self.seed)
        near2, gap2, which2 = lumps(x * 2.3 + 0.8 * crust, y * 2.3, self.seed + 40)
        small = which < 0.45  # a third of the lumps have broken into smaller ones
        near, which = np.where(small, near2, near), np.where(small, 0.5 * (which + which2), which)
        gap = np.minimum(gap, np.where(small, 0.6 * gap2, 1)) + 0.14 * (crust - 0.5)
        live = smoothstep(0.25, 0.85, 0.65 * which + 0.80 * drift - 0.22)
        rounding = np.clip(1.2 - 1.15 * near, 0.12, 1)
        lump = (0.07 + 1.1 * live) * rounding * (0.15 + 1.3 * crust**1.5)
        joint = smoothstep(0.05 + 0.28 * drift, 0.0, gap) * (0.05 + 1.5 * drift**1.5)
        return single((lump + joint) * np.exp(-0.7 * across**2))


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
    Tongue(-0.66, 0.74, 0.27, 0.16, 0.07, 0.1),
    Tongue(-0.24, 1.02, 0.27, 0.12, 0.09, 0.6),
    Tongue(0.22, 1.16, 0.29, -0.08, 0.09, 0.2),
    Tongue(0.64, 0.80, 0.26, -0.18, 0.07, 0.8),
)
MIDDLE_TONGUES = (
    Tongue(-0.80, 0.42, 0.12, 0.14, 0.06, 0.3),
    Tongue(-0.50, 0.80, 0.15, 0.13, 0.09, 0.9),
    Tongue(-0.10, 1.00, 0.17, 0.16, 0.10, 0.45),
    Tongue(0.30, 0.84, 0.14, -0.02, 0.09, 0.0),
    Tongue(0.55, 0.62, 0.13, -0.14, 0.08, 0.55),
    Tongue(0.82, 0.36, 0.10, -0.14, 0.05, 0.7),
)
FRONT_TONGUES = (
    Tongue(-0.64, 0.34, 0.13, 0.10, 0.06, 0.15),
    Tongue(-0.33, 0.66, 0.13, 0.07, 0.09, 0.75),
    Tongue(0.02, 0.50, 0.15, 0.08, 0.08, 0.35),
    Tongue(0.16, 0.78, 0.12, -0.08, 0.10, 0.60),
    Tongue(0.50, 0.44, 0.14, -0.10, 0.08, 0.95),
)
LAYERS = (
    (BACK_TONGUES, 0.32, 0.95, 0.0),
    (MIDDLE_TONGUES, 0.50, 0.75, -0.04),
    (FRONT_TONGUES, 0.62, 0.85, -0.12),
)
"""Tongues, strength, softness and foot of each layer, from the back to the front."""


def tongue_heat(tongue: Tongue, across: Floats, up: Floats, soft: float) -> Floats:
    """Heat 0..1 of one tongue; `across` and `up` in half widths of the fire."""
    t = up / tongue.height
    inside = np.clip(t, 0, 1)
    sway = np.sin(2 * np.pi * (0.9 * inside + tongue.phase))
    middle = tongue.foot + tongue.lean * inside**2 + tongue.wave * sway * inside
    width = tongue.width * (1 - inside) ** 0.8 * (0.75 + 0.55 * np.sin(np.pi * inside**0.8))
    across_share = 1 - np.abs(across - middle) / np.maximum(width, 1e-3)
    sheet = smoothstep(0, soft, across_share)
    core = smoothstep(0.15, 1.0, across_share)
    body = (0.35 + 0.75 * core) * (1.10 - 0.60 * inside)
    heat: Floats = sheet * body * smoothstep(-0.12, 0.38, t) * smoothstep(1.0, 0.65, t)
    return heat


def flame_heat(across: Floats, up: Floats, seed: int = 4) -> Floats:
    """Heat of all tongues together, foot of the fire at `up` = 0."""
    lift = np.clip(up, 0, 1.5)
    curl = cloud(across * 3.2, up * 2.2 + 3, seed) - 0.5
    lick = cloud(across * 9, up * 5, seed + 3) - 0.5
    x = across + lift * (0.26 * curl + 0.07 * lick)
    y = up + 0.16 * lift * (cloud(across * 5, up * 2.5, seed + 7) - 0.5)
    total = np.zeros_like(across)
    for layer, strength, soft, foot in LAYERS:
        heat = np.maximum.reduce([tongue_heat(tongue, x, y - foot, soft) for tongue in layer])
        total += strength * heat
    sheet = smoothstep(-0.22, 0.02, up) * np.exp(-((np.maximum(up, 0) / 0.20) ** 2))
    total += 0.42 * sheet * cloud(x * 5, up * 3, seed + 21) * np.exp(-0.9 * across**2)
    wisps = 0.78 + 0.44 * cloud(across * 8 + 2 * curl, up * 2.4, seed + 13)
    return single(total * wisps)
