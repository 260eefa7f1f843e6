"""A field of all hues to drag in."""

from __future__ import annotations

from collections.abc import Callable
from colorsys import hsv_to_rgb, rgb_to_hsv
from functools import lru_cache

import numpy as np
import pygame
from pygame import Rect

from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Draggable, Widget, frame, ring

HUE_STEP, STRENGTH_STEP = 1 / 72, 1 / 20
"""Steps with the arrow keys: five degrees of hue, a twentieth from white to full colour."""


WAYS = {
    pygame.K_LEFT: (-HUE_STEP, 0.0),
    pygame.K_RIGHT: (HUE_STEP, 0.0),
    pygame.K_UP: (0.0, -STRENGTH_STEP),
    pygame.K_DOWN: (0.0, STRENGTH_STEP),
}
"""How far each key goes: hue, strength."""


class Hues(Draggable):
    """Hue from side to side, from white at the top to full colour at the bottom.

    value : `#rrggbb`
    change : called with the new value and the name of the gesture it belongs to
    """

    def __init__(
        self,
        look: Theme,
        key: str,
        value: str,
        change: Callable[[str, str], object],
        help: str = "",  # noqa: A002
    ) -> None:
        super().__init__(look, key, help)
        self.value, self.change = value, change
        self.hue, self.strength, _ = rgb_to_hsv(*(part / 255 for part in bytes.fromhex(value[1:])))

    def adopt(self, old: Widget) -> None:
        """Go on with a drag; white has no hue of its own, so the hue is kept as well."""
        super().adopt(old)
        assert isinstance(old, Hues)
        if old.value == self.value:
            self.hue, self.strength = old.hue, old.strength

    def width(self) -> int:
        """A handy length."""
        return self.look.px(240)

    def height(self, width: int) -> int:
        """High enough to aim."""
        return self.look.px(96)

    @property
    def _inside(self) -> Rect:
        return self.rect.inflate(-2 * self.look.px(6), -2 * self.look.px(6))

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """All colours, and a ring at the present one."""
        frame(surface, self.look, self.rect, "field", focused=focused)
        inside = self._inside
        surface.blit(_all_hues(*inside.size), inside)
        point = (
            inside.left + round(self.hue * (inside.width - 1)),
            inside.top + round(self.strength * (inside.height - 1)),
        )
        size = self.look.px(6)
        pygame.draw.circle(surface, RGB["field"], point, size + self.look.edge, self.look.edge + 1)
        pygame.draw.circle(surface, RGB["text"], point, size, self.look.edge)
        if focused:
            around = Rect(0, 0, 2 * size + 6, 2 * size + 6)
            around.center = point
            ring(surface, self.look, around)

    def drag(self, point: tuple[int, int], gesture: str) -> None:
        """Take the colour at a point."""
        inside = self._inside
        hue = (point[0] - inside.left) / max(1, inside.width - 1)
        strength = (point[1] - inside.top) / max(1, inside.height - 1)
        self._set(min(1.0, max(0.0, hue)), strength, gesture)

    def go(self, pressed_key: int, gesture: str) -> bool:
        """The arrow keys."""
        if pressed_key not in WAYS:
            return False
        hue, strength = WAYS[pressed_key]
        self._set((self.hue + hue) % 1.0, self.strength + strength, gesture)
        return True

    def _set(self, hue: float, strength: float, gesture: str) -> None:
        self.hue, self.strength = hue, min(1.0, max(0.0, strength))
        value = "#" + bytes(round(255 * part) for part in hsv_to_rgb(hue, self.strength, 1)).hex()
        if value != self.value:
            self.value = value
            self.change(value, gesture)


@lru_cache(maxsize=4)
def _all_hues(width: int, height: int) -> pygame.Surface:
    """Every hue at full value, as sRGB. Source: the usual hexagonal hue; common practice."""
    hue = np.linspace(0, 6, max(1, width))[None, :, None]
    strength = np.linspace(0, 1, max(1, height))[:, None, None]
    full = np.clip(np.abs((hue + np.array([0, 4, 2])) % 6 - 3) - 1, 0, 1)
    pixels = np.rint(255 * (1 - strength * (1 - full))).astype(np.uint8)
    return pygame.image.frombuffer(pixels.tobytes(), (pixels.shape[1], pixels.shape[0]), "RGB")
