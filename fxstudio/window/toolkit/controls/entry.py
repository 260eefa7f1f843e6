"""A line of text to type."""

from __future__ import annotations

import re
from collections.abc import Callable

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.clipboard import copy, paste
from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Widget, frame, with_ctrl

SECOND_CLICK_MS = 400
MOST_LETTERS = 200
"""Longest time from one click to the next that belongs to it; common practice."""

WORD = re.compile(r"\w+|\W")


class Entry(Widget):
    """A line of text. Enter or leaving it takes the text, Escape puts the old one back.

    Shift with the keys that move the cursor selects, as dragging does; two clicks select a word,
    three all of it. What is typed takes the place of what is selected.

    typed : called with the text at each change of it
    done : called after Enter
    """

    focusable = True

    def __init__(
        self,
        look: Theme,
        key: str,
        text: str,
        take: Callable[[str], object],
        *,
        help: str = "",  # noqa: A002
        longest: int | None = None,
        typed: Callable[[str], object] | None = None,
        done: Callable[[], object] = lambda: None,
    ) -> None:
        super().__init__(look, key, help)
        self.text, self.take, self.longest, self.typed = text, take, longest or MOST_LETTERS, typed
        self.done = done
        self.draft = text
        self.cursor = self.mark = len(text)
        self._clicks = self._shift = 0
        self._clicked = -SECOND_CLICK_MS, 0

    def adopt(self, old: Widget) -> None:
        """Go on with what is being typed."""
        assert isinstance(old, Entry)
        if old.draft != old.text:
            self.draft = old.draft
        if self.draft == old.draft:
            self.cursor, self.mark = old.cursor, old.mark
        self._clicks, self._clicked, self._shift = old._clicks, old._clicked, old._shift

    @property
    def selection(self) -> tuple[int, int]:
        """Where what is selected begins and ends."""
        return min(self.cursor, self.mark), max(self.cursor, self.mark)

    def width(self) -> int:
        """Room for some words."""
        return self.look.px(180)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A sunken field; a bar where the next letter goes."""
        frame(surface, self.look, self.rect, "field", focused=focused)
        inside = self.rect.inflate(-2 * self.look.px(8), 0)
        before = self.look.text_width(self.draft[: self.cursor])
        shift = self._shift = max(0, before - inside.width + 2) if focused else 0
        old = surface.get_clip()
        surface.set_clip(inside.clip(old))
        drawn = self.look.drawn(self.draft, "text", "body")
        high = self.look.line_height()
        if focused and self.cursor != self.mark:
            begin, end = (self.look.text_width(self.draft[:at]) for at in self.selection)
            ground = Rect(inside.left + begin - shift, 0, end - begin, high)
            ground.centery = inside.centery
            pygame.draw.rect(surface, RGB["fill"], ground)
        surface.blit(drawn, (inside.left - shift, inside.centery - drawn.get_height() // 2))
        surface.set_clip(old)
        if focused:
            bar = Rect(
                inside.left + before - shift, inside.centery - high // 2, self.look.edge, high
            )
            pygame.draw.rect(surface, RGB["focus"], bar)

    def handle(self, event: Event) -> bool:
        """Typing, the usual keys, and the mouse."""
        if event.type == pygame.TEXTINPUT:
            self._insert(event.text)
            return True
        if event.type == pygame.MOUSEBUTTONDOWN:
            self._click(event)
            return True
        if event.type == pygame.MOUSEMOTION and self._clicks == 1:
            self.cursor = self._nearest(event.pos[0])
            return True
        return event.type == pygame.KEYDOWN and self._press(event)

    def _press(self, event: Event) -> bool:
        """Take a key; whether it means something here."""
        if with_ctrl(event) and event.key in EDITS:
            EDITS[event.key](self)
        elif event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
            self.blur()
            self.done()
        elif event.key == pygame.K_ESCAPE and self.draft != self.text:
            self.draft = self.text
            self.cursor = self.mark = len(self.draft)
        elif event.key in (pygame.K_BACKSPACE, pygame.K_DELETE):
            self._remove(self.cursor + (1 if event.key == pygame.K_DELETE else -1))
        elif (to := self._moved(event)) is not None:
            self.cursor = max(0, min(len(self.draft), to))
            if not event.mod & pygame.KMOD_SHIFT:
                self.mark = self.cursor
        else:
            return bool(event.key == pygame.K_SPACE)  # its letter follows as text
        return True

    def _moved(self, event: Event) -> int | None:
        """Where a key would move the cursor; None for any other key."""
        step = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1}.get(event.key, 0)
        if step and self.cursor != self.mark and not event.mod & pygame.KMOD_SHIFT:
            return self.selection[step > 0]
        if step and with_ctrl(event):
            return self._word(self.cursor - (step < 0))[step > 0]
        if step:
            return self.cursor + step
        return {pygame.K_HOME: 0, pygame.K_END: len(self.draft)}.get(event.key)

    def blur(self) -> None:
        """Take the text."""
        if self.draft != self.text:
            draft, self.draft = self.draft, self.text  # what it became, the next page shows
            self.take(draft)

    def _click(self, event: Event) -> None:
        """Set the cursor; a second click at once selects the word, a third all."""
        now_ms, at = pygame.time.get_ticks(), self._nearest(event.pos[0])
        before_ms, left = self._clicked
        again = now_ms - before_ms < SECOND_CLICK_MS
        again = again and abs(event.pos[0] - left) <= self.look.px(4)
        self._clicks = self._clicks % 3 + 1 if again else 1
        self._clicked = now_ms, event.pos[0]
        if self._clicks == 3:
            self._select(0, len(self.draft))
        elif self._clicks == 2:
            self._select(*self._word(at))
        else:
            self._select(at, at)

    def _word(self, at: int) -> tuple[int, int]:
        """Begin and end of the word, or the single sign, at a letter."""
        found = (word.span() for word in WORD.finditer(self.draft))
        last = len(self.draft), len(self.draft)
        return next((span for span in found if span[0] <= at < span[1]), last)

    def _select(self, begin: int, end: int) -> None:
        self.mark, self.cursor = begin, end

    def select_all(self) -> None:
        """Select all of the text."""
        self._select(0, len(self.draft))

    def copy(self) -> bool:
        """Put what is selected on the clipboard; whether that could be done."""
        begin, end = self.selection
        return begin < end and copy(self.draft[begin:end])

    def cut(self) -> None:
        """Move what is selected to the clipboard."""
        if self.copy():
            self._insert("")

    def paste(self) -> None:
        """Put the text on the clipboard in the place of what is selected."""
        self._insert(paste())

    def _insert(self, text: str) -> None:
        """Put text in the place of what is selected."""
        begin, end = self.selection
        before, after = self.draft[:begin], self.draft[end:]
        # Lines that are pasted stay apart.
        text = "".join(" " if letter in "\r\n\t" else letter for letter in text)
        text = "".join(letter for letter in text if letter.isprintable())
        text = text[: max(0, self.longest - len(before) - len(after))]
        self.draft = before + text + after
        self.cursor = self.mark = begin + len(text)
        if self.typed:
            self.typed(self.draft)

    def _remove(self, to: int) -> None:
        """Remove what is selected, or the letter from the cursor to `to`."""
        if self.cursor == self.mark:
            self.mark = max(0, min(len(self.draft), to))
        if self.cursor != self.mark:
            self._insert("")

    def _nearest(self, left: int) -> int:
        inside = left - self.rect.left - self.look.px(8) + self._shift
        return min(
            range(len(self.draft) + 1),
            key=lambda n: abs(self.look.text_width(self.draft[:n]) - inside),
        )


EDITS: dict[int, Callable[[Entry], object]] = {
    pygame.K_a: Entry.select_all,
    pygame.K_c: Entry.copy,
    pygame.K_x: Entry.cut,
    pygame.K_v: Entry.paste,
}
"""What keys do with Ctrl."""
