"""What counts as a change towards a flash: one relation between colours for each rule."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Bools, Bytes, Floats

from ..colour import LUMINANCE, srgb_decode

GENERAL_STEP = 0.1
"""Change of relative luminance that counts. Source: WCAG 2.x, "general flash"."""

BRIGHT = 0.8
"""Changes between two states as bright as this do not count. Source: as above."""

SATURATED = 0.8
"""Share of red in the linear light of a saturated red. Source: WCAG 2.x, "red flash"."""

RED_STEP = 20.0
"""Change of (R - G - B) x 320 that counts. Source: WCAG 2.0 and 2.1, "red flash"."""

CHROMATICITY_STEP = 0.2
"""Change in CIE 1976 u'v' that counts. Source: WCAG 2.2, "red flash"."""

RGB_TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
"""Linear sRGB to XYZ. Source: "Understanding SC 2.3.1" of WCAG 2.2; digits from memory."""


@dataclass(frozen=True)
class Rule:
    """One rule: its name, and `rises(colours)`.

    `rises` takes sRGB 0..255 [k, 3] and gives bool [k, k]: whether going from colour a to
    colour b is a change of the rule, brighter or redder; the way back is its opposite.
    """

    name: str
    rises: Callable[[Bytes], Bools]


def general_rises(colours: ArrayLike) -> Bools:
    """Relative luminance up by 0.1 or more from below 0.8. Source: WCAG 2.x."""
    light = srgb_decode(np.asarray(colours) / 255) @ LUMINANCE
    rises: Bools = (light[None] - light[:, None] >= GENERAL_STEP) & (light[:, None] < BRIGHT)
    return rises


def saturated_red(colours: ArrayLike) -> Bools:
    """Whether red is 0.8 or more of the linear light, [k]; black is not. Source: WCAG 2.x."""
    linear = srgb_decode(np.asarray(colours) / 255)
    total = linear.sum(axis=-1)
    red: Bools = (linear[..., 0] >= SATURATED * total) & (total > 0)
    return red


def redness(colours: ArrayLike) -> Floats:
    """(R - G - B) x 320 of linear light, at least 0, [k]. Source: WCAG 2.0 and 2.1."""
    linear = srgb_decode(np.asarray(colours) / 255)
    return np.maximum(linear @ [320.0, -320.0, -320.0], 0.0)


def red_rises_20(colours: ArrayLike) -> Bools:
    """`redness` up by more than 20, either state saturated. Source: WCAG 2.0 and 2.1."""
    value, red = redness(colours), saturated_red(colours)
    rises: Bools = (value[None] - value[:, None] > RED_STEP) & (red[None] | red[:, None])
    return rises


def chromaticity_uv(colours: ArrayLike) -> Floats:
    """CIE 1976 u'v' [..., 2] of sRGB 0..255 [..., 3]; not a number for black, which has none."""
    x, y, z = np.moveaxis(srgb_decode(np.asarray(colours) / 255) @ RGB_TO_XYZ.T, -1, 0)
    with np.errstate(invalid="ignore"):
        uv: Floats = np.stack([4 * x, 9 * y], axis=-1) / (x + 15 * y + 3 * z)[..., None]
    return uv


def red_rises_22(colours: ArrayLike) -> Bools:
    """Towards a saturated red from more than 0.2 away in u'v'. Source: WCAG 2.2.

    WCAG leaves open how far black is from a red: the formula divides nought by nought. Colours
    as near to black as one likes lie more than 0.2 from any red, so black does too; to take it
    for some one colour, such as white, would let reds pass that are near to that.
    """
    uv = chromaticity_uv(colours)
    apart = np.linalg.norm(uv[:, None] - uv[None], axis=-1)
    rises: Bools = ~(apart <= CHROMATICITY_STEP) & saturated_red(colours)[None]
    return rises


RULES: tuple[Rule, ...] = (
    Rule("general flashes (WCAG 2.x)", general_rises),
    Rule("red flashes (WCAG 2.0 and 2.1)", red_rises_20),
    Rule("red flashes (WCAG 2.2)", red_rises_22),
)
"""All rules, in the order in which they are reported."""
