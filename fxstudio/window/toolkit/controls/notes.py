"""Notes that lead somewhere, and tables."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Action, Pressable, Widget, frame


class Note(Pressable):
    """A title and some lines; pressing it does something, such as showing the lamp concerned."""

    def __init__(
        self,
        look: Theme,
        key: str,
        title: str,
        lines: Sequence[str],
        action: Action,
        help: str = "",  # noqa: A002
    ) -> None:
        super().__init__(look, key, action, help)
        self.title, self.texts = title, lines

    def _lines(self, width: int) -> list[tuple[str, str, str]]:
        """Text, colour and style of every line."""
        inside = width - 2 * self.look.px(10)
        rows = [(line, "warning", "body") for line in self.look.wrapped(self.title, "body", inside)]
        for text in self.texts:
            rows += [(line, "text", "small") for line in self.look.wrapped(text, "small", inside)]
        return rows

    def width(self) -> int:
        """A handy width."""
        return self.look.px(300)

    def height(self, width: int) -> int:
        """All lines and a margin."""
        lines = sum(self.look.lines_height(1, style) for _, _, style in self._lines(width))
        return lines + 2 * self.look.px(6)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A field with the lines."""
        frame(surface, self.look, self.rect, "panel", focused=focused)
        top = self.rect.top + self.look.px(6)
        for text, colour, style in self._lines(self.rect.width):
            high = self.look.lines_height(1, style)
            line = Rect(self.rect.left + self.look.px(10), top, self.rect.width, high)
            self.look.put(surface, text, line, colour, style)
            top += high


class Table(Widget):
    """Rows and columns of text. The last column takes the rest of the width and wraps; where
    that would be little, it stands below the others. The first column names the row.

    bright : for each row, whether it stands out
    """

    def __init__(
        self,
        look: Theme,
        headings: Sequence[tuple[str, str]],
        rows: Sequence[Sequence[str]],
        bright: Sequence[bool],
    ) -> None:
        super().__init__(look)
        self.headings, self.bright = headings, bright
        self.rows = [[name for name, _ in headings], *rows]

    def _cells(self, width: int) -> list[list[tuple[Rect, tuple[str, ...]]]]:
        """For each row its cells: area, and lines of text."""
        look, gap = self.look, self.look.px(12)
        *narrow, _ = zip(*self.rows, strict=True)
        wide = [max(look.text_width(text, "small") for text in column) for column in narrow]
        rest = width - sum(wide) - gap * len(wide)
        below = rest < look.px(180)
        wide[0] = min(wide[0], max(look.px(60), wide[0] + rest)) if below else wide[0]
        table, top = [], 0
        for row in self.rows:
            cells, left = [], 0
            for text, own in zip(row, wide, strict=False):
                lines = look.wrapped(text, "small", own)
                cells.append((Rect(left, top, own, self._high(lines)), lines))
                left += own + gap
            own = width - gap if below else rest
            lines = look.wrapped(row[-1], "small", own)
            first = max(cell.bottom for cell, _ in cells) if below else top
            area = Rect(gap if below else left, first, own, self._high(lines))
            cells.append((area, lines))
            top = max(cell.bottom for cell, _ in cells) + look.px(7)
            table.append(cells)
        return table

    def _high(self, lines: Sequence[str]) -> int:
        return self.look.lines_height(len(lines), "small")

    def width(self) -> int:
        """A handy width."""
        return self.look.px(420)

    def height(self, width: int) -> int:
        """All rows."""
        return max(cell.bottom for cell, _ in self._cells(width)[-1]) + self.look.px(3)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A rule below each row; rows that do not stand out are quiet."""
        line = self.look.lines_height(1, "small")
        for number, cells in enumerate(self._cells(self.rect.width)):
            colour = "chosen" if number == 0 else "text" if self.bright[number - 1] else "quiet"
            sides = ["left", *(side for _, side in self.headings[1:])]
            for (cell, lines), side in zip(cells, sides, strict=True):
                for index, text in enumerate(lines):
                    area = Rect(cell.left, cell.top + index * line, cell.width, line)
                    self.look.put(
                        surface,
                        text,
                        area.move(self.rect.topleft),
                        colour,
                        "small",
                        float(side == "right"),
                    )
            y = self.rect.top + max(cell.bottom for cell, _ in cells) + self.look.px(3)
            pygame.draw.line(surface, RGB["rule"], (self.rect.left, y), (self.rect.right - 1, y))
