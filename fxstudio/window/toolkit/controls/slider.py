"""A slider with its value in words."""

from __future__ import annotations

import math
from collections.abc import Callable

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Draggable, ring

Change = Callable[[float, str], object]

FROM_ZERO = 3
"""Power by which a wide range that begins at 0 grows."""

STEPS = 100
"""Steps over the whole range with the arrow keys, where no step is given."""


WAYS = {
    pygame.K_LEFT: -1,
    pygame.K_DOWN: -1,
    pygame.K_RIGHT: 1,
    pygame.K_UP: 1,
    pygame.K_PAGEDOWN: -10,
    pygame.K_PAGEUP: 10,
    pygame.K_HOME: -(10**6),
    pygame.K_END: 10**6,
}
"""How many steps each key goes."""


class Slider(Draggable):
    """A number in a range.

    change : called with the new value and the name of the gesture it belongs to
    text : writes a value in words
    step : the value is a multiple of it; None for any
    wide : whether the range is so wide that equal ways mean equal ratios; from 0, where no
        ratio can begin, small values still have most of the way
    """

    def __init__(
        self,
        look: Theme,
        key: str,
        value: float,
        low: float,
        high: float,
        change: Change,
        text: Callable[[float], str],
        *,
        step: float | None = None,
        wide: bool = False,
        help: str = "",  # noqa: A002
        widest: str = "",
    ) -> None:
        super().__init__(look, key, help)
        self.value, self.low, self.high = value, low, high
        self.change, self.text, self.step, self.wide = change, text, step, wide
        self._words = max(look.text_width(text(v)) for v in (low, high, value)) + look.px(8)
        self._words = max(self._words, look.text_width(widest) if widest else 0)

    def width(self) -> int:
        """A handy length and the value."""
        return self.look.px(150) + self._words

    @property
    def track(self) -> Rect:
        """What the knob runs along."""
        margin = self.look.px(9)
        words = min(self._words, self.rect.width // 2)
        return Rect(
            self.rect.left + margin,
            self.rect.centery - self.look.px(2),
            max(10, self.rect.width - words - 2 * margin),
            self.look.px(4),
        )

    def share(self, value: float) -> float:
        """Where on the track a value is, 0..1."""
        value = min(self.high, max(self.low, value))
        if self.wide and self.low > 0:
            return math.log(value / self.low) / math.log(self.high / self.low)
        share = (value - self.low) / (self.high - self.low)
        return share ** (1 / FROM_ZERO) if self.wide else share

    def at(self, share: float) -> float:
        """The value at a place on the track, rounded to its step or to what a person can use."""
        share = min(1.0, max(0.0, share))
        if self.wide and self.low > 0:
            value = self.low * (self.high / self.low) ** share
        else:
            value = self.low + share ** (FROM_ZERO if self.wide else 1) * (self.high - self.low)
        if self.step:
            value = round(value / self.step) * self.step
        value = float(f"{value:.3g}") if self.step is None else float(f"{value:.8g}")
        return min(self.high, max(self.low, value))

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """Track, knob and value."""
        track = self.track
        radius = track.height // 2
        pygame.draw.rect(surface, RGB["field"], track.inflate(2, 2), border_radius=radius)
        pygame.draw.rect(surface, RGB["edge"], track.inflate(2, 2), 1, radius)
        knob = (track.left + round(self.share(self.value) * track.width), track.centery)
        done = Rect(track.left, track.top, knob[0] - track.left, track.height)
        pygame.draw.rect(surface, RGB["chosen"], done, border_radius=radius)
        size = self.look.px(8)
        pygame.draw.circle(surface, RGB["chosen"], knob, size)
        pygame.draw.circle(surface, RGB["panel"], knob, size, max(1, self.look.px(1)))
        if focused:
            around = 2 * size + 2
            area = Rect(knob[0] - size - 1, knob[1] - size - 1, around, around)
            ring(surface, self.look, area)
        left = track.right + self.look.px(14)
        words = Rect(left, self.rect.top, self.rect.right - left, self.rect.height)
        self.look.put(surface, self.text(self.value), words)

    def grabbed(self, event: Event) -> bool:
        """On the track or near its end, not on the words."""
        return super().grabbed(event) and event.pos[0] <= self.track.right + 20

    def drag(self, point: tuple[int, int], gesture: str) -> None:
        """Move the knob to a point."""
        track = self.track
        self._set(self.at((point[0] - track.left) / track.width), gesture)

    def go(self, pressed_key: int, gesture: str) -> bool:
        """Arrow keys, Page up and down, Home and End."""
        if pressed_key not in WAYS:
            return False
        self._set(self._moved(WAYS[pressed_key]), gesture)
        return True

    def _moved(self, steps: int) -> float:
        if self.step:
            moved = self.value + steps * max(self.step, (self.high - self.low) / 1000)
            share = min(1.0, max(0.0, self.share(min(self.high, max(self.low, moved)))))
        else:
            share = min(1.0, max(0.0, self.share(self.value) + steps / STEPS))
        return self.at(share)

    def _set(self, value: float, gesture: str) -> None:
        if value != self.value:
            self.value = value
            self.change(value, gesture)
