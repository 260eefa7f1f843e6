"""The picture, the lanes and the progress bar: what moves by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.arrays import Bools, Bytes, Floats
from fxstudio.colour import rgb_to_hex
from fxstudio.editing.traces import Traces
from fxstudio.effect.model import Lamp
from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Action, Pressable, Widget, frame, ring

WORDS_WIDTH, TRACE_WIDTH = 236, 240
"""Widths in pixels at 100 % of a lane's words and, at least, of the trace beside them."""

TRACE_HEIGHT = 30
"""Height in pixels at 100 % of a trace below the words."""

LEAST_WIDTH = 200
"""Width in pixels at 100 % of pictures side by side; narrower, they stand one below the other."""

ASPECT = 1.5
"""Width over height of a picture."""


@dataclass(frozen=True)
class Shown:
    """One picture to show: its caption, and its frame [h, w, 3] or None while it is drawn."""

    caption: str
    frame: Bytes | None


class Picture(Widget):
    """One picture, or two side by side or one below the other, each with a caption above it."""

    live = True

    def __init__(
        self, look: Theme, frames: Callable[[], list[Shown]], count: int, highest: int
    ) -> None:
        super().__init__(look, "picture")
        self.frames, self.count, self.highest = frames, count, highest
        self._scaled: dict[int, tuple[Bytes, pygame.Surface]] = {}

    def adopt(self, old: Widget) -> None:
        """Keep what is scaled already."""
        assert isinstance(old, Picture)
        self._scaled = old._scaled

    @property
    def caption_height(self) -> int:
        """Room above each picture."""
        return self.look.line_height() + self.look.px(8)

    def width(self) -> int:
        """As much as there is."""
        return self.look.px(480)

    def _columns(self, width: int) -> int:
        """How many stand side by side: all, or one where that would leave little of each."""
        return self.count if width >= self.count * self.look.px(LEAST_WIDTH) else 1

    def height(self, width: int) -> int:
        """The pictures in their own shape, within what there is room for."""
        columns, gap = self._columns(width), self.look.gap
        rows = self.count // columns
        own = (width - (columns - 1) * gap) / columns
        each = round(own / ASPECT) + self.caption_height
        return min(self.highest, rows * each + (rows - 1) * gap)

    def cells(self) -> list[tuple[Rect, Rect]]:
        """Caption and picture rectangles."""
        columns, gap, top = self._columns(self.rect.width), self.look.gap, self.caption_height
        rows = self.count // columns
        own = (self.rect.width - (columns - 1) * gap) // columns
        room = (self.rect.height - (rows - 1) * gap) // rows - top
        wide = max(1, min(own, round(room * ASPECT)))  # a window may be smaller than a caption
        high = max(1, round(wide / ASPECT))
        left = self.rect.left + (self.rect.width - columns * wide - (columns - 1) * gap) // 2
        cells = []
        for number in range(self.count):
            row, column = divmod(number, columns)
            x, y = left + column * (wide + gap), self.rect.top + row * (top + high + gap)
            caption = Rect(x, y, wide if columns > 1 else self.rect.right - x, top)
            cells.append((caption, Rect(x, y + top, wide, high)))
        return cells

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """Captions and pictures, scaled smoothly."""
        for number, (shown, (caption, area)) in enumerate(
            zip(self.frames(), self.cells(), strict=False)
        ):
            surface.fill(RGB["page"], caption)
            self.look.put(surface, shown.caption, caption, "quiet")
            if shown.frame is None:
                surface.fill(RGB["field"], area)
                self.look.put(surface, "Drawing the scene …", area, align=0.5)
                continue
            surface.blit(self._fitted(number, shown.frame, area.size), area)

    def _fitted(self, number: int, frame: Bytes, size: tuple[int, int]) -> pygame.Surface:
        high, wide = frame.shape[:2]
        image = pygame.image.frombuffer(frame.data, (wide, high), "RGB")
        if size == (wide, high):
            return image
        before, held = self._scaled.get(number, (None, None))
        if held is None or held.get_size() != size:
            before, held = None, pygame.Surface(size, 0, 32)
        if before is not frame:
            # Scaling four bytes a pixel is faster than three.
            pygame.transform.smoothscale(image.convert(held), size, held)
            self._scaled[number] = frame, held
        return held


def lane_key(lamp: str) -> str:
    """What the lane of a lamp is found by."""
    return f"lane {lamp}"


class Lane(Pressable):
    """One lamp: its colour, its name, what it does now, and its last seconds.

    Space or a click selects it; Enter goes to its controls as well.
    """

    live = True

    def __init__(
        self,
        look: Theme,
        name: str,
        lamp: Lamp,
        chosen: bool,
        traces: Traces,
        select: Action,
        adjust: Action,
    ) -> None:
        words = f"Space shows {name} in the panel Lamp; Enter goes to its brightness there."
        super().__init__(look, lane_key(name), select, words)
        self.adjust = adjust
        self.name, self.chosen, self.traces = name, chosen, traces
        self.swatch = pygame.Color(rgb_to_hex(lamp.colour.rgb))

    def handle(self, event: Event) -> bool:
        """Select the lamp, or go to its controls."""
        if event.type == pygame.KEYDOWN and event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
            self.adjust()
            return True
        return super().handle(event)

    @property
    def _words_height(self) -> int:
        return self.look.lines_height(1) + self.look.lines_height(1, "small")

    def _beside(self, width: int) -> bool:
        """Whether the trace stands beside the words, not below them."""
        return width >= self.look.px(WORDS_WIDTH + TRACE_WIDTH)

    def height(self, width: int) -> int:
        """Two lines of words, and the trace below them where there is no room beside them."""
        trace = 0 if self._beside(width) else self.look.px(TRACE_HEIGHT + 4)
        return self._words_height + trace + self.look.px(8)

    def areas(self) -> tuple[Rect, Rect]:
        """Where the words and the trace go."""
        inside = self.rect.inflate(-2 * self.look.px(8), -2 * self.look.px(4))
        words, trace = Rect(inside), Rect(inside)
        if self._beside(self.rect.width):
            words.width = self.look.px(WORDS_WIDTH)
            trace.width, trace.left = inside.right - words.right, words.right
        else:
            words.height = self._words_height
            trace.height, trace.bottom = self.look.px(TRACE_HEIGHT), inside.bottom
        return words, trace

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """The words and a field whose right edge is the present."""
        look, rect = self.look, self.rect
        words, trace = self.areas()
        pygame.draw.rect(surface, RGB["panel"], rect)
        if self.chosen:
            mark = Rect(rect.left, rect.top, look.px(4), rect.height)
            pygame.draw.rect(surface, RGB["chosen"], mark)
        line = look.lines_height(1)
        dot = Rect(0, 0, look.px(14), look.px(14))
        dot.midleft = words.left + look.px(4), words.top + line // 2
        pygame.draw.rect(surface, self.swatch, dot, border_radius=look.px(3))
        pygame.draw.rect(surface, RGB["edge"], dot, 1, look.px(3))
        name = Rect(words.left + look.px(26), words.top, words.width - look.px(30), line)
        look.put(surface, self.name, name)
        state = Rect(dot.left, name.bottom, words.width - look.px(8), look.lines_height(1, "small"))
        look.put(surface, self.traces.words(self.name), state, "quiet", "small")
        self._draw_trace(surface, trace)
        if focused:
            ring(surface, look, rect.inflate(-4, -4))

    def _draw_trace(self, surface: pygame.Surface, field: Rect) -> None:
        frame(surface, self.look, field, "field", "rule")
        inside = field.inflate(-4, -6)
        middle = inside.top + inside.height // 2
        pygame.draw.line(surface, RGB["rule"], (inside.left, middle), (inside.right - 1, middle))
        trace = self.traces.of(self.name)
        if trace is None:
            return
        shares = self.traces.shares
        x = inside.left + shares * (inside.width - 1)
        bottom = inside.bottom - 1

        def points(light: Floats) -> list[tuple[float, float]]:
            y = bottom - light * (inside.height - 1)
            found: list[tuple[float, float]] = np.stack([x, y], axis=1).tolist()
            return found

        old = surface.get_clip()
        surface.set_clip(inside.clip(old))
        line = points(trace.light)
        pygame.draw.polygon(surface, RGB["fill"], [(x[0], bottom), *line, (x[-1], bottom)])
        if trace.wish is not None:
            pygame.draw.lines(surface, RGB["wish"], False, points(trace.wish))
        pygame.draw.lines(surface, RGB["trace"], False, line, self.look.edge)
        self._draw_gate(surface, x, trace.lit, bottom)
        surface.set_clip(old)

    def _draw_gate(self, surface: pygame.Surface, x: Floats, lit: Bools, bottom: int) -> None:
        """A dashed base line where key or travel keep the lamp dark."""
        edges = np.flatnonzero(np.diff(np.concatenate([[True], lit, [True]]).astype(int)))
        dash = self.look.px(6)
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            begin, end = int(x[first]), int(x[min(last, len(x) - 1)])
            for left in range(begin - begin % (2 * dash), end, 2 * dash):
                start, stop = max(left, begin), min(left + dash, end)
                pygame.draw.line(
                    surface, RGB["edge"], (start, bottom), (stop, bottom), self.look.edge
                )


class ProgressBar(Widget):
    """How far a job has come, in a bar and in words."""

    live = True

    def __init__(self, look: Theme, title: str, share: Callable[[], float]) -> None:
        super().__init__(look, "progress")
        self.title, self.share = title, share

    def width(self) -> int:
        """A handy length."""
        return self.look.px(300)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """The bar fills from the left."""
        share = self.share()
        frame(surface, self.look, self.rect, "field")
        done = self.rect.inflate(-4, -4)
        done.width = round(done.width * share)
        pygame.draw.rect(surface, RGB["fill"], done, border_radius=self.look.px(3))
        words = self.rect.inflate(-self.look.px(20), 0)
        self.look.put(surface, f"{self.title}: {100 * share:.0f} %", words)
