"""Buttons, switches, and choices between a few things."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import (
    Action,
    Chooser,
    Pressable,
    activated,
    frame,
    pressed,
    ring,
)


class Button(Pressable):
    """Does something when pressed. One that cannot be used now says so in dim words."""

    def __init__(
        self,
        look: Theme,
        key: str,
        text: str,
        action: Action,
        *,
        help: str = "",  # noqa: A002
        usable: bool = True,
        chosen: bool = False,
    ) -> None:
        super().__init__(look, key, action, help)
        self.text, self.usable, self.chosen = text, usable, chosen
        self.focusable = usable

    def width(self) -> int:
        """The text and a margin."""
        return self.look.text_width(self.text) + 2 * self.look.px(12)

    def lines(self, width: int) -> tuple[str, ...]:
        """The text at this width."""
        return self.look.wrapped(self.text, "body", width - self.look.px(8))

    def height(self, width: int) -> int:
        """A line more for each that the text takes."""
        return self.look.control + (len(self.lines(width)) - 1) * self.look.line_height()

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A raised field with the text in its middle."""
        ground, edge, colour = "button", "edge", "text"
        if not self.usable:
            ground, edge, colour = "panel", "rule", "quiet"
        elif self.chosen:
            ground, colour = "chosen", "on_chosen"
        frame(surface, self.look, self.rect, ground, edge, focused)
        lines, high = self.lines(self.rect.width), self.look.line_height()
        top = self.rect.centery - len(lines) * high // 2
        for number, line in enumerate(lines):
            area = Rect(self.rect.left, top + number * high, self.rect.width, high)
            self.look.put(surface, line, area, colour, align=0.5)


class Switch(Button):
    """Something that is on or off; it says which in words and by the side its knob is on."""

    def __init__(
        self,
        look: Theme,
        key: str,
        text: str,
        on: bool,
        action: Action,
        *,
        help: str = "",  # noqa: A002
        words: tuple[str, str] = ("off", "on"),
        usable: bool = True,
    ) -> None:
        super().__init__(look, key, f"{text} {words[on]}", action, help=help, usable=usable)
        self.on = on
        self._widest = max(look.text_width(f"{text} {word}") for word in words)

    def width(self) -> int:
        """Room for the longer of its words and the track."""
        return self._widest + self._track.width + 3 * self.look.px(9)

    @property
    def _track(self) -> Rect:
        high = self.look.px(14)
        return Rect(self.rect.left + self.look.px(9), self.rect.centery - high // 2, 2 * high, high)

    def height(self, width: int) -> int:
        """One line: its words are short."""
        return self.look.control

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A track with its knob on the left or on the right, and the text."""
        track = self._track
        frame(surface, self.look, self.rect, "button", focused=focused)
        radius = track.height // 2
        colour = RGB["chosen" if self.on else "field"]
        pygame.draw.rect(surface, colour, track, border_radius=radius)
        pygame.draw.rect(surface, RGB["chosen" if self.on else "edge"], track, 1, radius)
        knob = (track.right - radius if self.on else track.left + radius, track.centery)
        pygame.draw.circle(
            surface, RGB["on_chosen" if self.on else "edge"], knob, radius - self.look.px(3)
        )
        left = track.right + self.look.px(9)
        words = Rect(left, self.rect.top, self.rect.right - left, self.rect.height)
        self.look.put(surface, self.text, words, "text" if self.usable else "quiet")


class Choice(Chooser):
    """A few things of which one is chosen; a dot marks it. Left and right choose."""

    cells: Sequence[tuple[str, Rect]] = ()

    def _cell_width(self, text: str) -> int:
        return self.look.text_width(text) + self.look.px(32)

    def width(self) -> int:
        """All side by side."""
        return sum(self._cell_width(text) for text in self.options.values())

    def _columns(self, width: int) -> int:
        """Cells side by side: all, or as many of the widest as there is room for."""
        if self.width() <= width:
            return len(self.options)
        widest = max(self._cell_width(text) for text in self.options.values())
        most = max(1, min(len(self.options) - 1, width // widest))
        lines = -(-len(self.options) // most)
        return -(-len(self.options) // lines)  # no line much shorter than the others

    def height(self, width: int) -> int:
        """As many lines as it takes."""
        return -(-len(self.options) // self._columns(width)) * self.look.control

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """One line of cells as wide as their words, or several lines of even columns."""
        super().lay_out(rect, clip)
        columns = self._columns(rect.width)
        even = columns < len(self.options)
        self.cells = []
        left = rect.left
        for number, (name, text) in enumerate(self.options.items()):
            line, column = divmod(number, columns)
            if even:
                left = rect.left + rect.width * column // columns
                own = rect.left + rect.width * (column + 1) // columns - left
            else:
                own = self._cell_width(text)
            top = rect.top + line * self.look.control
            self.cells.append((name, Rect(left, top, own, self.look.control)))
            left += own

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """One field with a cell for each."""
        for name, cell in self.cells:
            on = name == self.chosen
            frame(surface, self.look, cell, "chosen" if on else "button")
            centre = (cell.left + self.look.px(13), cell.centery)
            colour = RGB["on_chosen" if on else "edge"]
            pygame.draw.circle(surface, colour, centre, self.look.px(5), max(1, self.look.px(1)))
            if on:
                pygame.draw.circle(surface, colour, centre, self.look.px(2.6))
            left = cell.left + self.look.px(22)
            words = Rect(left, cell.top, cell.right - left, cell.height)
            self.look.put(surface, self.options[name], words, "on_chosen" if on else "text")
        if focused:
            for name, cell in self.cells:
                if name == self.chosen or self.chosen not in self.options:
                    ring(surface, self.look, cell)

    def handle(self, event: Event) -> bool:
        """A press on a cell, or an arrow key."""
        for name, cell in self.cells:
            if pressed(event, cell):
                self.choose(name)
                return True
        return super().handle(event) or activated(event)
