"""A line of text to type."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.clipboard import paste
from fxstudio.window.toolkit.theme import RGB, Look
from fxstudio.window.toolkit.widget import Widget, frame, with_ctrl


class Entry(Widget):
    """A line of text. Enter or leaving it takes the text, Escape puts the old one back."""

    focusable = True

    def __init__(
        self, look: Look, key: str, text: str, take: Callable[[str], object], *,
        help: str = "", longest: int = 200, typed: Callable[[str], object] | None = None,  # noqa: A002
    ) -> None:  # fmt: skip
        super().__init__(look, key, help)
        self.text, self.take, self.longest, self.typed = text, take, longest, typed
        self.draft = text
        self.cursor = len(text)
        self.active = False

    def adopt(self, old: Widget) -> None:
        """Go on with what is being typed."""
        assert isinstance(old, Entry)
        self.active = old.active
        if old.draft != old.text:
            self.draft = old.draft
        self.cursor = min(old.cursor, len(self.draft)) if self.active else len(self.draft)

    def width(self) -> int:
        """Room for some words."""
        return self.look.px(180)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A sunken field; a bar where the next letter goes."""
        frame(surface, self.look, self.rect, "field", focused=focused)
        inside = self.rect.inflate(-2 * self.look.px(8), 0)
        before = self.look.text_width(self.draft[: self.cursor])
        shift = max(0, before - inside.width + 2) if focused else 0
        old = surface.get_clip()
        surface.set_clip(inside.clip(old))
        drawn = self.look.drawn(self.draft, "text", "body")
        surface.blit(drawn, (inside.left - shift, inside.centery - drawn.get_height() // 2))
        surface.set_clip(old)
        if focused:
            high = self.look.line_height()
            left = inside.left + before - shift
            bar = Rect(left, inside.centery - high // 2, self.look.edge, high)
            pygame.draw.rect(surface, RGB["focus"], bar)

    def handle(self, event: Event) -> bool:
        """Typing, and the usual keys."""
        if event.type == pygame.TEXTINPUT:
            self._insert(event.text)
            return True
        if event.type == pygame.MOUSEBUTTONDOWN:
            self.cursor = self._nearest(event.pos[0])
            return True
        if event.type != pygame.KEYDOWN:
            return False
        if with_ctrl(event):
            if event.key == pygame.K_v:
                self._insert(paste())
                return True
            return False
        keys = {
            pygame.K_LEFT: lambda: self._move(self.cursor - 1),
            pygame.K_RIGHT: lambda: self._move(self.cursor + 1),
            pygame.K_HOME: lambda: self._move(0),
            pygame.K_END: lambda: self._move(len(self.draft)),
            pygame.K_BACKSPACE: lambda: self._remove(self.cursor - 1),
            pygame.K_DELETE: lambda: self._remove(self.cursor),
            pygame.K_RETURN: self.blur,
            pygame.K_KP_ENTER: self.blur,
        }
        if event.key == pygame.K_ESCAPE and self.draft != self.text:
            self.draft = self.text
            self.cursor = len(self.draft)
            return True
        if event.key in keys:
            keys[event.key]()
            return True
        return event.key == pygame.K_SPACE  # its letter follows as text

    def blur(self) -> None:
        """Take the text."""
        draft = self.draft
        if draft != self.text:
            self.text = draft
            self.take(draft)

    def _insert(self, text: str) -> None:
        text = "".join(letter for letter in text if letter.isprintable())
        text = text[: self.longest - len(self.draft)]
        self.draft = self.draft[: self.cursor] + text + self.draft[self.cursor :]
        self.cursor += len(text)
        self._tell()

    def _remove(self, at: int) -> None:
        if 0 <= at < len(self.draft):
            self.draft = self.draft[:at] + self.draft[at + 1 :]
            self.cursor = at
            self._tell()

    def _tell(self) -> None:
        if self.typed:
            self.typed(self.draft)

    def _move(self, to: int) -> None:
        self.cursor = max(0, min(len(self.draft), to))

    def _nearest(self, left: int) -> int:
        inside = left - self.rect.left - self.look.px(8)
        return min(
            range(len(self.draft) + 1),
            key=lambda n: abs(self.look.text_width(self.draft[:n]) - inside),
        )
