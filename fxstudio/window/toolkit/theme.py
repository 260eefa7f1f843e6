"""Fonts and distances, and where which colour stands: how the window looks."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import pygame

from fxstudio.style import COLOURS, font_file, rgb8

Rgb = tuple[int, int, int]

TEXT_ON: tuple[tuple[str, str], ...] = (
    ("text", "page"),
    ("text", "panel"),
    ("text", "field"),
    ("text", "button"),
    ("text", "pressed"),
    ("quiet", "page"),
    ("quiet", "panel"),
    ("quiet", "field"),
    ("on_chosen", "chosen"),
    ("chosen", "page"),
    ("chosen", "panel"),
    ("warning", "page"),
    ("warning", "panel"),
)
"""Which text colour stands on which ground."""

EDGE_ON: tuple[tuple[str, str], ...] = (
    ("edge", "page"),
    ("edge", "panel"),
    ("edge", "field"),
    ("chosen", "panel"),
    ("chosen", "page"),
    ("chosen", "button"),
    ("chosen", "field"),
    ("focus", "page"),
    ("focus", "panel"),
    ("focus", "button"),
    ("focus", "field"),
    ("trace", "field"),
    ("wish", "field"),
)
"""Which edge, mark or line that carries meaning stands on which ground."""

PERCENTS = (100, 125, 150, 175, 200)
"""Text sizes a person can choose, in percent."""

SIZES = {"body": 14, "small": 12, "heading": 17, "title": 19}
"""Sizes of the text styles in pixels an em at 100 %."""

GAP, PAD, EDGE, LINE = 8, 12, 2, 5
"""Distances in pixels at 100 %: between things, inside a panel, an edge, between lines."""


RGB: dict[str, Rgb] = {name: rgb8(name) for name in COLOURS}


def drawable(text: str) -> str:
    """`text` without what no font can draw: NUL, and bytes of file names that are not UTF-8."""
    return text.replace("\0", "\ufffd").encode("utf-8", "replace").decode()


class Theme:
    """The look at one text size: fonts, distances and drawn text."""

    def __init__(self, percent: int = 100) -> None:
        self.percent = percent
        self.gap, self.pad, self.line = (self.px(size) for size in (GAP, PAD, LINE))
        self.edge = max(EDGE, round(EDGE * percent / 150))
        self.fonts = {
            style: pygame.font.Font(font_file(), self.px(size)) for style, size in SIZES.items()
        }
        self.drawn = lru_cache(maxsize=1500)(self._draw)
        self.wrapped = lru_cache(maxsize=500)(self._wrap)
        self.text_width = lru_cache(maxsize=5000)(self._text_width)

    def px(self, size: float) -> int:
        """A size given for 100 %, in pixels of this look."""
        return max(1, round(size * self.percent / 100))

    @property
    def control(self) -> int:
        """Height of a control."""
        return self.line_height("body") + 2 * self.px(7)

    def line_height(self, style: str = "body") -> int:
        """Height of one line of text."""
        return self.fonts[style].get_height()

    def _text_width(self, text: str, style: str = "body") -> int:
        """Width of one line of text."""
        return self.fonts[style].size(drawable(text))[0]

    def _draw(self, text: str, colour: str, style: str) -> pygame.Surface:
        return self.fonts[style].render(drawable(text), True, RGB[colour])

    def _wrap(self, text: str, style: str, width: int) -> tuple[str, ...]:
        return tuple(
            line
            for paragraph in text.split("\n")
            for line in self._wrap_line(paragraph, style, width)
        )

    def _wrap_line(self, text: str, style: str, width: int) -> Iterable[str]:
        line = ""
        for word in text.split(" "):
            longer = f"{line} {word}" if line else word
            if not line or self.text_width(longer, style) <= width:
                line = longer
            else:
                yield line
                line = word
            while self.text_width(line, style) > width and len(line) > 1:  # a path, say
                fits = len(line) - 1
                while fits > 1 and self.text_width(line[:fits], style) > width:
                    fits -= 1
                yield line[:fits]
                line = line[fits:]
        yield line

    def cut(self, text: str, width: int, style: str = "body") -> str:
        """`text`, shortened with an ellipsis if it is wider than `width`."""
        if self.text_width(text, style) <= width:
            return text
        while text and self.text_width(text + "…", style) > width:
            text = text[:-1]
        return text.rstrip() + "…"

    def put(
        self,
        surface: pygame.Surface,
        text: str,
        rect: pygame.Rect,
        colour: str = "text",
        style: str = "body",
        align: float = 0.0,
    ) -> None:
        """One line of text in the middle of `rect`'s height; `align` 0 left, 1 right."""
        drawn = self.drawn(self.cut(text, rect.width, style), colour, style)
        left = rect.left + round(align * (rect.width - drawn.get_width()))
        surface.blit(drawn, (left, rect.top + (rect.height - drawn.get_height()) // 2))

    def put_lines(
        self,
        surface: pygame.Surface,
        lines: Iterable[str],
        rect: pygame.Rect,
        colour: str = "text",
        style: str = "body",
    ) -> None:
        """Lines of text from the top of `rect`."""
        top = rect.top
        for line in lines:
            surface.blit(self.drawn(line, colour, style), (rect.left, top))
            top += self.line_height(style) + self.px(LINE) // 2

    def lines_height(self, count: int, style: str = "body") -> int:
        """Height of `count` lines put by `put_lines`."""
        return count * (self.line_height(style) + self.px(LINE) // 2)
