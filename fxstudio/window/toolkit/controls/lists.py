"""A list to choose from, and the button that opens one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.theme import RGB, Rgb, Theme
from fxstudio.window.toolkit.widget import Chooser, Widget, activated, arrow, frame, pressed

Choose = Callable[[str], object]

Patches = Mapping[str, Rgb]
"""The colour that stands before a row, by the row's name."""


def patched(
    surface: pygame.Surface, look: Theme, text: str, words: Rect, colour: str, patch: Rgb | None
) -> None:
    """A line of text, with a patch of colour before it if there is one."""
    if patch is not None:
        field = Rect(words.left, 0, look.px(30), look.line_height())
        field.centery = words.centery
        pygame.draw.rect(surface, patch, field, border_radius=look.px(3))
        pygame.draw.rect(surface, RGB["edge"], field, 1, look.px(3))
        shift = field.width + look.px(8)
        words = Rect(words.left + shift, words.top, words.width - shift, words.height)
    look.put(surface, text, words, colour)


class List(Widget):
    """Rows of text of which one is marked. Enter or a click on it chooses the marked row."""

    focusable = True

    def __init__(
        self,
        look: Theme,
        key: str,
        rows: Mapping[str, str],
        marked: str,
        choose: Choose,
        *,
        most: int = 12,
        mark: Choose | None = None,
        at_once: bool = True,
        help: str = "",  # noqa: A002
        patches: Patches | None = None,
    ) -> None:
        super().__init__(look, key, help)
        self.rows, self.names = dict(rows), list(rows)
        self.at = self.names.index(marked) if marked in self.rows else 0
        self.choose, self.mark, self.at_once, self.most = choose, mark, at_once, most
        self.patches = patches or {}
        self.first = 0
        self._reveal()

    def adopt(self, old: Widget) -> None:
        """Keep the place in the list, if it is the same list."""
        assert isinstance(old, List)
        if old.names == self.names:
            self.at, self.first = old.at, old.first

    @property
    def shown(self) -> int:
        """Number of rows seen at once."""
        return max(1, min(self.most, len(self.names)))

    def width(self) -> int:
        """That of the longest row."""
        longest = max((self.look.text_width(text) for text in self.rows.values()), default=0)
        return longest + self.look.px(78 if self.patches else 40)

    def height(self, width: int) -> int:
        """All rows that are seen at once."""
        return self.shown * self._row

    @property
    def _row(self) -> int:
        return self.look.line_height() + self.look.px(10)

    def cells(self) -> list[tuple[int, Rect]]:
        """The rows that are seen: number and area."""
        cells = []
        for line, number in enumerate(range(self.first, len(self.names))[: self.shown]):
            top = self.rect.top + line * self._row
            cells.append((number, Rect(self.rect.left, top, self.rect.width, self._row)))
        return cells

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """A sunken field with the rows; a bar on the right if there are more."""
        frame(surface, self.look, self.rect, "field", focused=focused)
        pad = self.look.px(10)
        for number, cell in self.cells():
            on = number == self.at
            if on:
                pygame.draw.rect(surface, RGB["chosen"], cell.inflate(-4, -4))
            words = cell.inflate(-2 * pad, 0)
            name, colour = self.names[number], "on_chosen" if on else "text"
            patched(surface, self.look, self.rows[name], words, colour, self.patches.get(name))
        if len(self.names) > self.shown:
            room = self.rect.height - 4
            high = room * self.shown // len(self.names)
            top = self.rect.top + 2 + room * self.first // len(self.names)
            bar = Rect(self.rect.right - pad, top, pad // 2, high)
            pygame.draw.rect(surface, RGB["edge"], bar, border_radius=pad // 4)

    def handle(self, event: Event) -> bool:
        """Arrows, Page up and down, Home, End, a first letter, Enter, the mouse and its wheel."""
        for number, cell in self.cells():
            if pressed(event, cell):
                again = number == self.at
                self._go(number)
                if self.at_once or again:
                    self.choose(self.names[number])
                return True
        if event.type == pygame.MOUSEWHEEL:
            self.first = max(0, min(len(self.names) - self.shown, self.first - event.y))
            return True
        if not self.names or event.type != pygame.KEYDOWN:
            return False
        ways = {
            pygame.K_PAGEUP: -self.shown,
            pygame.K_PAGEDOWN: self.shown,
            pygame.K_HOME: -len(self.names),
            pygame.K_END: len(self.names),
        }
        if way := arrow(event) or ways.get(event.key, 0):
            self._go(self.at + way)
            return True
        if activated(event):
            self.choose(self.names[self.at])
            return True
        return self._find(event)

    def _find(self, event: Event) -> bool:
        letter = getattr(event, "unicode", "").lower()
        if not letter or event.mod & (pygame.KMOD_CTRL | pygame.KMOD_ALT | pygame.KMOD_META):
            return False
        order = [*range(self.at + 1, len(self.names)), *range(self.at + 1)]
        for number in order:
            if self.rows[self.names[number]].lower().startswith(letter):
                self._go(number)
                return True
        return False

    def _go(self, at: int) -> None:
        self.at = max(0, min(len(self.names) - 1, at))
        self._reveal()
        if self.mark:
            self.mark(self.names[self.at])

    def _reveal(self) -> None:
        self.first = max(self.at - self.shown + 1, min(self.first, self.at))


class Picker(Chooser):
    """Shows what is chosen; Space, Enter or a click opens the list, arrows choose at once."""

    def __init__(
        self,
        look: Theme,
        key: str,
        options: Mapping[str, str],
        chosen: str,
        choose: Choose,
        open_list: Callable[[Picker], object],
        help: str = "",  # noqa: A002
        opens: Collection[str] = (),
        patches: Patches | None = None,
    ) -> None:
        super().__init__(look, key, options, chosen, choose, help, opens)
        self.open_list, self.patches = open_list, patches or {}

    def width(self) -> int:
        """Room for the longest option."""
        longest = max((self.look.text_width(text) for text in self.options.values()), default=0)
        return longest + self.look.px(82 if self.patches else 44)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """The chosen one and a mark that more are below."""
        frame(surface, self.look, self.rect, "button", focused=focused)
        size = self.look.px(5)
        x, y = self.rect.right - self.look.px(16), self.rect.centery
        points = [(x - size, y - size // 2), (x + size, y - size // 2), (x, y + size - 1)]
        pygame.draw.polygon(surface, RGB["edge"], points)
        words = self.rect.inflate(-self.look.px(20), 0)
        words.width -= self.look.px(18)
        text, patch = self.options.get(self.chosen, self.chosen), self.patches.get(self.chosen)
        patched(surface, self.look, text, words, "text", patch)

    def handle(self, event: Event) -> bool:
        """Open the list, or go to the next option."""
        if pressed(event, self.rect) or activated(event):
            self.open_list(self)
            return True
        return super().handle(event)
