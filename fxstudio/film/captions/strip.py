"""A strip under the picture of a film, in few colours of its own.

It is drawn apart from the picture, so that its letters stay sharp, and what does not change in it
costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from fxstudio.arrays import Bytes
from fxstudio.style import font_file, rgb8

LEVELS = 4
"""Steps from a ground to the colour on it: letters with smooth edges need few."""
INKS = (
    ("text", "page"),
    ("quiet", "page"),
    ("chosen", "page"),
    ("warning", "page"),
    ("on_chosen", "chosen"),
)
"""Which colour stands on which ground; the ground of all is the first."""


SMALLEST_EM, WIDTH_PER_EM = 12, 30
"""Letters are a thirtieth of the width: as large on a telephone, whatever the size of the film."""
HEADING = 1.8
"""Height of the line of a heading in ems."""
SMALL = 0.8
"""Small letters to the others."""


@dataclass(frozen=True, eq=False)
class Strip:
    """What stands under the picture of a film.

    colours : uint8 [k, 3], sRGB
    height : in pixels; it is as wide as the picture
    numbers : the colour numbers, uint8 [height, width], of frame 0, 1 ...
    """

    colours: Bytes
    height: int
    numbers: Callable[[int], Bytes]


def ink_colours() -> Bytes:
    """The colours of `INKS`, uint8 [k, 3]: of each its ground, and in steps to the colour."""
    share = np.linspace(0, 1, LEVELS + 1)[:, None]
    steps = [(1 - share) * rgb8(ground) + share * np.array(rgb8(colour)) for colour, ground in INKS]
    colours: Bytes = np.rint(np.concatenate(steps)).astype(np.uint8)
    return colours


def on_top(strips: Sequence[Strip]) -> Strip | None:
    """One strip of several, the first on top; None of none."""
    if len(strips) < 2:
        return strips[0] if strips else None
    first = [0, *accumulate(len(strip.colours) for strip in strips)]

    def numbers(frame: int) -> Bytes:
        pairs = zip(strips, first, strict=False)
        return np.concatenate([strip.numbers(frame) + np.uint8(at) for strip, at in pairs])

    colours = np.concatenate([strip.colours for strip in strips])
    return Strip(colours, sum(strip.height for strip in strips), numbers)


def abreast(left: Strip, right: Strip) -> Strip:
    """One strip of two that stand side by side; the lower one goes on in ground below."""
    height = max(left.height, right.height)

    def numbers(frame: int) -> Bytes:
        halves = (left.numbers(frame), right.numbers(frame) + np.uint8(len(left.colours)))
        return np.concatenate(
            [
                np.pad(half, ((0, height - len(half)), (0, 0)), constant_values=ground)
                for half, ground in zip(halves, (0, len(left.colours)), strict=True)
            ],
            axis=1,
        )

    return Strip(np.concatenate([left.colours, right.colours]), height, numbers)


def each_once(strip: Strip) -> Strip:
    """The same strip with each of its colours once in its table."""
    colours, number = np.unique(strip.colours, axis=0, return_inverse=True)
    table: Bytes = number.reshape(-1).astype(np.uint8)

    def numbers(frame: int) -> Bytes:
        shown: Bytes = table[strip.numbers(frame)]
        return shown

    return Strip(colours, strip.height, numbers)


def heading_strip(text: str, width: int, em: int) -> Strip:
    """One line in the middle of `width`, letters `em` high, shortened if it is too long."""
    sheet = InkSheet(width, round(em * HEADING), em)
    shown = shortened(text, sheet.font, width - em)
    left = (width - sheet.font.getlength(shown)) / 2
    sheet.text(left, sheet.numbers.shape[0] / 2, shown, "text")
    return Strip(ink_colours(), len(sheet.numbers), lambda _: sheet.numbers)


def with_strip(picture: Bytes, strip: Strip | None, number: int) -> Bytes:
    """The picture [h, w, 3] of frame `number` with its strip, if it has one, under it."""
    if strip is None:
        return picture
    whole: Bytes = np.concatenate([picture, strip.colours[strip.numbers(number)]])
    return whole


def em_of(width: int) -> int:
    """How high letters are under a film `width` pixels wide, in pixels."""
    return max(SMALLEST_EM, round(width / WIDTH_PER_EM))


def small_em(em: int) -> int:
    """How high small letters are beside those of `em`."""
    return max(SMALLEST_EM, round(SMALL * em))


@lru_cache(maxsize=8)
def font_of(em: int) -> ImageFont.FreeTypeFont:
    """The tool's own font, `em` pixels high."""
    return ImageFont.truetype(font_file(), em)


class InkSheet:
    """Colour numbers [height, width] to draw on, all ground at first."""

    def __init__(self, width: int, height: int, em: int) -> None:
        self.numbers: Bytes = np.zeros((height, width), np.uint8)
        self.font = font_of(em)

    def text(
        self,
        x: float,
        middle: float,
        text: str,
        ink: str,
        font: ImageFont.FreeTypeFont | None = None,
    ) -> None:
        """Write `text` from x on, its capital letters about a middle line."""
        mask, font = self._mask(), font or self.font
        # From the middle of the capital letters down to their feet.
        drop = -font.getbbox("H", anchor="ls")[1] / 2
        ImageDraw.Draw(mask).text((x, middle + drop), text, 255, font, "ls")
        self._put(mask, ink)

    def box(self, x: float, middle: float, width: float, height: float, ink: str) -> None:
        """Fill a box with rounded corners from x on, about a middle line."""
        mask = self._mask()
        top = round(middle - height / 2)
        edges = (round(x), top, round(x + width) - 1, top + round(height) - 1)
        ImageDraw.Draw(mask).rounded_rectangle(edges, round(height / 5), 255)
        self._put(mask, ink)

    def _mask(self) -> Image.Image:
        return Image.new("L", self.numbers.shape[::-1])

    def _put(self, mask: Image.Image, ink: str) -> None:
        row = next(at for at, (colour, _) in enumerate(INKS) if colour == ink)
        level = np.rint(np.asarray(mask) / 255 * LEVELS).astype(np.uint8)
        self.numbers[level > 0] = row * (LEVELS + 1) + level[level > 0]


def shortened(text: str, font: ImageFont.FreeTypeFont, widest: float) -> str:
    """`text`, or as much of it as is no wider, with an ellipsis."""
    if font.getlength(text) <= widest:
        return text
    while text and font.getlength(f"{text}…") > widest:
        text = text[:-1]
    return f"{text.rstrip()}…"
