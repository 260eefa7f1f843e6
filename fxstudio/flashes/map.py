"""A picture of where a film flashes."""

from __future__ import annotations

import numpy as np

from fxstudio.arrays import Bytes

from ..colour import luminance, srgb8, srgb_decode
from .count import MOST_FLASHES
from .verdict import Verdict

SOME, MANY, FRAME = (70, 130, 255), (255, 140, 0), (255, 255, 255)
"""Blue for up to three flashes a second, orange for more, white around what is too many. Blue
and orange are told apart with every kind of colour vision."""

LEGEND = "blue flashes up to 3 times in a second, orange more; white frames what is too much"

BACKDROP = 0.5
"""How much of the picture's own light is left below."""


def draw_flash_map(verdict: Verdict, frame: Bytes) -> Bytes:
    """Where a film flashes, [h, w, 3], drawn over one of its frames [h, w, 3]."""
    grey = srgb8(BACKDROP * luminance(srgb_decode(frame / 255)))
    picture = np.repeat(grey[..., None], 3, axis=2)
    flashes = verdict.most
    for colour, where in (
        (SOME, (flashes > 0) & (flashes <= MOST_FLASHES)),
        (MANY, flashes > MOST_FLASHES),
    ):
        picture[where] = picture[where] // 4 + np.array(colour, np.uint8) // 4 * 3
    for finding in verdict.failures:
        if finding.box is None:
            continue
        x, y, w, h = finding.box
        right, bottom = x + w - 1, y + h - 1
        picture[[y, bottom], x : right + 1] = FRAME
        picture[y : bottom + 1, [x, right]] = FRAME
    return picture
