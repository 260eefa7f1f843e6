"""What all widgets share, and the plain ones that only show text."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.theme import RGB, Theme

Action = Callable[[], object]

Ground = tuple[Rect, Rect, str]
"""A ground to fill: its area, what of it is seen, and its colour."""


class Widget:
    """One thing to see or use.

    key : names it; the widget that takes its place when the page is built anew has the same
    focusable : whether Tab stops at it
    live : whether it is drawn again for every frame
    help : what it is for, shown while it has the focus or the mouse is on it
    """

    focusable = False
    live = False

    def __init__(self, look: Theme, key: str = "", help: str = "") -> None:  # noqa: A002
        self.look, self.key, self.help = look, key, help
        self.rect = self.clip = Rect(0, 0, 0, 0)

    def width(self) -> int:
        """Width it would like."""
        return 0

    def height(self, width: int) -> int:
        """Height it needs at `width`."""
        return self.look.control

    def lay_out(self, rect: Rect, clip: Rect) -> None:
        """Take this rectangle."""
        self.rect, self.clip = rect, clip

    def leaves(self) -> Iterator[Widget]:
        """Itself."""
        yield self

    def grounds(self) -> Iterator[Ground]:
        """None."""
        return iter(())

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """Draw it in its rectangle."""

    def handle(self, event: Event) -> bool:
        """Take an event; whether it was meant for this widget."""
        return False

    def adopt(self, old: Widget) -> None:
        """Go on from the widget whose place it takes."""

    def blur(self) -> None:
        """The focus goes elsewhere."""


def frame(
    surface: pygame.Surface,
    look: Theme,
    rect: Rect,
    ground: str,
    edge: str | None = "edge",
    focused: bool = False,
) -> None:
    """A control's ground and edge, and the ring that shows the focus."""
    radius = look.px(4)
    pygame.draw.rect(surface, RGB[ground], rect, border_radius=radius)
    if edge:
        width = max(1, look.edge // 2)
        pygame.draw.rect(surface, RGB[edge], rect, width, border_radius=radius)
    if focused:
        ring(surface, look, rect)


def ring(surface: pygame.Surface, look: Theme, rect: Rect) -> None:
    """The ring that shows the focus."""
    pygame.draw.rect(
        surface, RGB["focus"], rect.inflate(2, 2), look.edge + 1, border_radius=look.px(5)
    )


def pressed(event: Event, rect: Rect) -> bool:
    """Whether the main mouse button went down in `rect`."""
    return (
        event.type == pygame.MOUSEBUTTONDOWN and event.button == 1 and rect.collidepoint(event.pos)
    )


def with_ctrl(event: Event) -> bool:
    """Whether a key was pressed with Ctrl or Command; AltGr, which writes letters, is neither."""
    alt = event.mod & (pygame.KMOD_ALT | pygame.KMOD_MODE)
    return bool(event.mod & (pygame.KMOD_CTRL | pygame.KMOD_META)) and not alt


def activated(event: Event) -> bool:
    """Whether a key was pressed that works a control: Space or Enter."""
    return event.type == pygame.KEYDOWN and event.key in (
        pygame.K_SPACE,
        pygame.K_RETURN,
        pygame.K_KP_ENTER,
    )


def arrow(event: Event) -> int:
    """-1 for left or up, 1 for right or down, 0 for any other event."""
    if event.type != pygame.KEYDOWN:
        return 0
    return {pygame.K_LEFT: -1, pygame.K_UP: -1, pygame.K_RIGHT: 1, pygame.K_DOWN: 1}.get(
        event.key, 0
    )


class Pressable(Widget):
    """Something to press: with the mouse, Space or Enter."""

    focusable = True

    def __init__(self, look: Theme, key: str, action: Action, help: str = "") -> None:  # noqa: A002
        super().__init__(look, key, help)
        self.action = action

    def handle(self, event: Event) -> bool:
        """Do what it is for."""
        if self.focusable and (pressed(event, self.rect) or activated(event)):
            self.action()
            return True
        return False


class Draggable(Widget):
    """Something to drag in: each drag is a gesture of its own, the keys together are one.

    `drag` takes a point, `go` a key.
    """

    focusable = True

    def __init__(self, look: Theme, key: str, help: str = "") -> None:  # noqa: A002
        super().__init__(look, key, help)
        self.dragging, self.gestures = False, 0

    def adopt(self, old: Widget) -> None:
        """Go on with a drag."""
        assert isinstance(old, Draggable)
        self.dragging, self.gestures = old.dragging, old.gestures

    def grabbed(self, event: Event) -> bool:
        """Whether a drag begins here."""
        return pressed(event, self.rect)

    def drag(self, point: tuple[int, int], gesture: str) -> None:
        """Go to a point."""

    def go(self, pressed_key: int, gesture: str) -> bool:
        """Go as far as a key goes; whether it is one that goes anywhere."""
        return False

    def handle(self, event: Event) -> bool:
        """Press, drag, or go on with the keys."""
        if self.grabbed(event):
            self.dragging, self.gestures = True, self.gestures + 1
            self.drag(event.pos, f"{self.key} {self.gestures}")
            return True
        if event.type == pygame.MOUSEMOTION and self.dragging:
            self.drag(event.pos, f"{self.key} {self.gestures}")
            return True
        if event.type == pygame.MOUSEBUTTONUP and self.dragging:
            self.dragging = False
            return True
        return event.type == pygame.KEYDOWN and self.go(event.key, f"{self.key} keys")


class Chooser(Widget):
    """Something that has one of its options chosen; the arrow keys choose the next.

    opens : options that open something; arrows pass over them
    """

    focusable = True

    def __init__(
        self,
        look: Theme,
        key: str,
        options: Mapping[str, str],
        chosen: str,
        choose: Callable[[str], object],
        help: str = "",  # noqa: A002
        opens: Collection[str] = (),
    ) -> None:
        super().__init__(look, key, help)
        self.options, self.chosen, self.choose = dict(options), chosen, choose
        self.opens = opens

    def handle(self, event: Event) -> bool:
        """Go to the next option; to the first if none is chosen."""
        step = arrow(event)
        names = [name for name in self.options if name not in self.opens]
        if step and names:
            at = names.index(self.chosen) + step if self.chosen in names else 0
            name = names[max(0, min(len(names) - 1, at))]
            if name != self.chosen:
                self.choose(name)
        return bool(step)


class Text(Widget):
    """Lines of text that wrap."""

    def __init__(
        self, look: Theme, text: str, colour: str = "text", style: str = "body", widest: int = 0
    ) -> None:
        super().__init__(look)
        self.text, self.colour, self.style, self.widest = text, colour, style, widest

    def width(self) -> int:
        """On one line."""
        longest = max(self.look.text_width(line, self.style) for line in self.text.split("\n"))
        return min(longest, self.look.px(self.widest)) if self.widest else longest

    def lines(self, width: int) -> tuple[str, ...]:
        """The text at this width."""
        return self.look.wrapped(self.text, self.style, max(1, width))

    def height(self, width: int) -> int:
        """All lines."""
        return self.look.lines_height(len(self.lines(width)), self.style)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """Line by line."""
        self.look.put_lines(
            surface, self.lines(self.rect.width), self.rect, self.colour, self.style
        )


class Live(Widget):
    """Text that changes by itself, a few times a second at most.

    ground : colour of what it stands on
    lines_below : width in pixels at 100 % below which it has two lines
    """

    live = True

    def __init__(
        self,
        look: Theme,
        key: str,
        text: Callable[[], str],
        width: int,
        ground: str,
        colour: str = "quiet",
        lines_below: int = 0,
    ) -> None:
        super().__init__(look, key)
        self.text, self._width, self.ground = text, look.px(width), ground
        self.colour, self.lines_below = colour, look.px(lines_below) if lines_below else 0

    def width(self) -> int:
        """As given."""
        return self._width

    def _count(self, width: int) -> int:
        return 2 if width < self.lines_below else 1

    def height(self, width: int) -> int:
        """One line or two."""
        return self.look.lines_height(self._count(width)) + self.look.px(2)

    def draw(self, surface: pygame.Surface, focused: bool) -> None:
        """The text on its ground."""
        surface.fill(RGB[self.ground], self.rect)
        if self._count(self.rect.width) == 1:
            self.look.put(surface, self.text(), self.rect, self.colour)
            return
        first, *rest = self.look.wrapped(self.text(), "body", self.rect.width)
        lines = [first, self.look.cut(" ".join(rest), self.rect.width)]
        self.look.put_lines(surface, lines, self.rect, self.colour)
