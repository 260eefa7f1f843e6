"""Colours to choose from, each with its number or code in words."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.colour import rgb_to_hex
from fxstudio.effect.model import Colour
from fxstudio.window.toolkit.theme import RGB, Look
from fxstudio.window.toolkit.widget import Widget, arrow, pressed, ring

Value = float | str

WAYS = {"wavelength_nm": "Wavelength", "temperature_k": "Temperature", "hex": "Screen colour"}
"""The ways to give a colour, with their names in the window."""

OFFERED: dict[str, tuple[Value, ...]] = {
    "wavelength_nm": (470, 505, 525, 570, 590, 605, 615, 630),
    "temperature_k": (1200, 1500, 1900, 2400, 2700, 3500, 5000, 7000),
    "hex": (
        "#ff2a00", "#ff6a00", "#ff9a2e", "#ffc46b", "#ffe9c9", "#ffffff", "#5bff6a", "#4f7bff",
    ),
}  # fmt: skip
"""Colours offered for each way; a choice of usual LEDs and lamps, common practice."""


class Swatches(Widget):
    """Patches of colour in rows, each with its value below. Arrows and clicks choose."""

    focusable = True

    def __init__(
        self, look: Look, key: str, way: str, value: Value,
        choose: Callable[[Value], object], help: str = "",  # noqa: A002
    ) -> None:  # fmt: skip
        super().__init__(look, key, help)
        self.way, self.value, self.choose = way, value, choose
        self.values = OFFERED[way]
        self.colours = [pygame.Color(rgb_to_hex(Colour(**{way: v}).rgb)) for v in self.values]

    @property
    def _cell(self) -> tuple[int, int]:
        words = max(self.look.text_width(str(value), "small") for value in self.values)
        wide = words + self.look.px(8)
        return wide, self.look.px(24) + self.look.line_height("small") + self.look.px(8)

    def _across(self, width: int) -> int:
        """How many stand in a row: a number that makes the rows even, if there is one."""
        most = max(1, min(len(self.values), width // self._cell[0]))
        return next((n for n in (8, 4, 2, 1) if n <= most), most)

    def width(self) -> int:
        """All in one row."""
        return self._cell[0] * len(self.values)

    def height(self, width: int) -> int:
        """As many rows as it takes."""
        return -(-len(self.values) // self._across(width)) * self._cell[1]

    def cells(self) -> list[Rect]:
        """The place of each."""
        across = self._across(self.rect.width)
        wide, high = self.rect.width // across, self._cell[1]
        return [
            Rect(
                self.rect.left + n % across * wide,
                self.rect.top + n // across * high,
                wide - self.look.px(4),
                high - self.look.px(4),
            )
            for n in range(len(self.values))
        ]

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """The chosen one has a bright frame and a bar below its value."""
        for value, colour, cell in zip(self.values, self.colours, self.cells(), strict=True):
            patch = Rect(cell.left, cell.top, cell.width, self.look.px(24))
            pygame.draw.rect(surface, colour, patch, border_radius=self.look.px(3))
            pygame.draw.rect(surface, RGB["edge"], patch, 1, self.look.px(3))
            words = Rect(cell.left, patch.bottom, cell.width, cell.bottom - patch.bottom)
            on = value == self.value
            self.look.put(
                surface, str(value), words, "chosen" if on else "quiet", "small", align=0.5
            )
            if on:
                pygame.draw.rect(
                    surface, RGB["chosen"], patch.inflate(4, 4), self.look.edge, self.look.px(4)
                )
                bar = Rect(cell.left, cell.bottom - self.look.edge, cell.width, self.look.edge)
                pygame.draw.rect(surface, RGB["chosen"], bar)
            if focused and (on or (self.value not in self.values and value == self.values[0])):
                ring(surface, self.look, cell)

    def handle(self, event: Event) -> bool:
        """Choose."""
        for value, cell in zip(self.values, self.cells(), strict=True):
            if pressed(event, cell):
                self.choose(value)
                return True
        if step := arrow(event):
            if self.value in self.values:
                at = self.values.index(self.value) + step
            else:
                at = 0 if step > 0 else len(self.values) - 1
            at = max(0, min(len(self.values) - 1, at))
            if self.values[at] != self.value:
                self.choose(self.values[at])
            return True
        return False
