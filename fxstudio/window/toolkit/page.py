"""The page: widgets laid out in the window, the focus, and what lies on top of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Protocol

import pygame
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.frames import Scroll, above, scrolls
from fxstudio.window.toolkit.painting import draw_grounds, draw_part, draw_sheet
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Ground, Widget

NOWHERE = "-"
"""What has the focus before anything has it; no widget's key."""

VEIL = 130
"""How dark the page below a question is, 0 to 255."""


class Sheet(Protocol):
    """Something on top of the page: a question, a list. It takes all events while it is there."""

    anchor: Rect | None
    """Where it opens below; None: in the middle of the window."""

    def build(self, look: Theme) -> Part:
        """Its content."""

    def cancel(self) -> None:
        """The person wants it gone."""


class Page:
    """Lays out, draws and passes events to the widget they are meant for.

    build : called for the parts of the page at a look and a window size
    """

    def __init__(self, build: Callable[[Theme, tuple[int, int]], Part]) -> None:
        self._build = build
        self.look = Theme()
        self.size = (0, 0)
        self.root: Part | None = None
        self.sheets: list[Sheet] = []
        self._tops: list[tuple[Part, Rect]] = []
        self._focus: list[str] = [NOWHERE]
        self._offsets: dict[str, int] = {}
        self._held: Widget | None = None
        self._leaves: list[Widget] = []
        self._top_leaves: list[Widget] = []
        self._grounds: list[Ground] = []
        self.hovered: Widget | None = None
        self.stale = True

    # Building -----------------------------------------------------------------------------

    def rebuild(self, size: tuple[int, int]) -> None:
        """Build everything anew; widgets go on from those of the same key."""
        old = {leaf.key: leaf for leaf in self.all_leaves() if leaf.key}
        order = [widget.key for widget in self._order()]
        for scroll in self.scrolls():
            self._offsets[scroll.key] = scroll.offset
        self.size = size
        whole = Rect((0, 0), size)
        self.root = self._build(self.look, size)
        self._tops = []
        self._lay_out(self.root, whole)
        for sheet in self.sheets:
            part = sheet.build(self.look)
            rect = above(part, sheet.anchor, self.size, self.look.gap)
            self._tops.append((part, rect))
            self._lay_out(part, rect)
        # The tree is walked once; a frame has no time for it.
        self._leaves = [leaf for part in self._parts() for leaf in part.leaves()]
        self._top_leaves = list(self.top.leaves()) if self.top else []
        for leaf in self._leaves:
            before = old.get(leaf.key)
            if before is not None and type(before) is type(leaf):
                leaf.adopt(before)
                if before is self._held:
                    self._held = leaf
        at = self.hovered.key if self.hovered else None
        self.hovered = next((leaf for leaf in self._top_leaves if leaf.key == at), None)
        if self.focused is None and self._focus[-1] in order:
            # What had the focus is gone: it goes to the one before, not to the top of the page.
            left = {widget.key for widget in self._order()}
            earlier = reversed(order[: order.index(self._focus[-1])])
            self._focus[-1] = next((key for key in earlier if key in left), NOWHERE)
        self.stale = True

    def _lay_out(self, part: Part, rect: Rect) -> None:
        for scroll in scrolls(part):
            scroll.offset = self._offsets.get(scroll.key, 0)
        part.lay_out(rect, rect)

    # Parts --------------------------------------------------------------------------------

    def _parts(self) -> Iterator[Part]:
        if self.root is not None:
            yield self.root
        for part, _ in self._tops:
            yield part

    @property
    def top(self) -> Part | None:
        """What takes the events: the uppermost sheet, or the page."""
        return self._tops[-1][0] if self._tops else self.root

    def all_leaves(self) -> list[Widget]:
        """All widgets, those of sheets as well."""
        return self._leaves

    def scrolls(self) -> Iterator[Scroll]:
        """All scrolling boxes, the outer ones first."""
        for part in self._parts():
            yield from scrolls(part)

    def find(self, key: str) -> Widget:
        """The widget of this key; raises KeyError."""
        for leaf in self.all_leaves():
            if leaf.key == key:
                return leaf
        raise KeyError(key)

    # Sheets -------------------------------------------------------------------------------

    def open(self, sheet: Sheet, focus: str = NOWHERE) -> None:
        """Put a sheet on top; the focus goes to the widget of this key, or the first one."""
        self._leave()
        self.sheets.append(sheet)
        self._focus.append(focus)
        self.rebuild(self.size)
        if self.focused:
            self.focus_on(self.focused)  # scrolls to it
        else:
            self.move_focus(1)

    def close(self) -> None:
        """Take the uppermost sheet away; the focus goes back to where it was."""
        if self.sheets:
            self.sheets.pop()
            self._focus.pop()
            self._held = None
            self.rebuild(self.size)

    # Focus --------------------------------------------------------------------------------

    @property
    def focused(self) -> Widget | None:
        """The widget that has the focus."""
        wanted = self._focus[-1]
        return next((w for w in self._top_leaves if w.focusable and w.key == wanted), None)

    def focus_on(self, widget: Widget) -> None:
        """Give a widget the focus and scroll so that it is seen."""
        if widget is not self.focused:
            self._leave()
            self._focus[-1] = widget.key
        for scroll in self.scrolls():
            if any(leaf.key == widget.key for leaf in scroll.leaves()):
                scroll.reveal(self.find(widget.key).rect)
                self._offsets[scroll.key] = scroll.offset
        self.stale = True

    def _leave(self) -> None:
        if self.focused is not None:
            self.focused.blur()

    def _order(self) -> list[Widget]:
        """The widgets at which Tab stops."""
        return [widget for widget in self._top_leaves if widget.focusable and widget.key]

    def move_focus(self, step: int) -> None:
        """To the next widget, or to the one before."""
        order = self._order()
        if not order:
            return
        keys = [w.key for w in order]
        if self._focus[-1] in keys:
            at = (keys.index(self._focus[-1]) + step) % len(order)
        else:
            at = 0 if step > 0 else -1
        self.focus_on(order[at])

    # Events -------------------------------------------------------------------------------

    def handle(self, event: Event) -> bool:
        """Pass an event on; whether anything took it."""
        if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEMOTION):
            taken = self._mouse(event)
        elif event.type == pygame.MOUSEWHEEL:
            taken = self._wheel(event)
        else:
            taken = self._key(event)
        self.stale = self.stale or taken
        return taken

    def _mouse(self, event: Event) -> bool:
        if event.type == pygame.MOUSEBUTTONDOWN and event.button > 3:
            return False  # the wheel, told a second time
        if self._held is not None:
            held = self._held
            if event.type == pygame.MOUSEBUTTONUP:
                self._held = None
            return held.handle(event)
        under = self._under(event.pos)
        if event.type == pygame.MOUSEMOTION:
            changed = under is not self.hovered
            self.hovered = under
            return changed
        if event.type != pygame.MOUSEBUTTONDOWN:
            return False
        if under is None:
            if self._tops and not self._tops[-1][1].collidepoint(event.pos):
                if self.sheets[-1].anchor is not None:  # a list closes; a question stays
                    self.sheets[-1].cancel()
                return True
            self._leave()
            return True
        if under.focusable:
            self.focus_on(under)
            under = next((w for w in self.all_leaves() if w.key == under.key), under)
        self._held = under
        return under.handle(event)

    def _under(self, point: tuple[int, int]) -> Widget | None:
        hits = [
            leaf
            for leaf in self._top_leaves
            if leaf.key and leaf.rect.collidepoint(point) and leaf.clip.collidepoint(point)
        ]
        return hits[-1] if hits else None

    def _wheel(self, event: Event) -> bool:
        point = pygame.mouse.get_pos()
        under = self._under(point)
        if under is not None and under.handle(event):
            return True
        for scroll in scrolls(self.top):
            if scroll.rect.collidepoint(point) and scroll.scroll(-event.y * self.look.px(60)):
                self.hovered = self._under(point)
                return True
        return False

    def _key(self, event: Event) -> bool:
        if self.focused is not None and self.focused.handle(event):
            return True
        if event.type != pygame.KEYDOWN:
            return False
        if event.key == pygame.K_TAB:
            self.move_focus(-1 if event.mod & pygame.KMOD_SHIFT else 1)
            return True
        if event.key == pygame.K_ESCAPE and self.sheets:
            self.sheets[-1].cancel()
            return True
        way = {pygame.K_PAGEDOWN: 1, pygame.K_PAGEUP: -1}.get(event.key, 0)
        if way:
            found = list(scrolls(self.top))
            holding = [each for each in found if self.focused in list(each.leaves())]
            for scroll in holding or found:
                if scroll.scroll(way * scroll.rect.height * 3 // 4):
                    return True
        return False

    # Drawing ------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        """All of it."""
        surface.set_clip(None)
        surface.fill(RGB["page"])
        if self.root is not None:
            self._grounds = list(self.root.grounds())
            draw_part(surface, self.look, self.root, self.focused)
        self._veil(surface, Rect((0, 0), self.size))
        for part, rect in self._tops:
            draw_sheet(surface, self.look, part, rect, self.focused)
        surface.set_clip(None)
        self.stale = False

    def draw_live(self, surface: pygame.Surface) -> list[Rect]:
        """Only what changes by itself; the rectangles that changed."""
        changed = []
        focused = self.focused
        for leaf in self._leaves:
            if leaf.live and (seen := leaf.rect.clip(leaf.clip)):
                # Else the veil would darken again and again what the widget leaves free.
                surface.set_clip(seen)
                surface.fill(RGB["page"])
                draw_grounds(surface, self.look, self._grounds, seen)
                surface.set_clip(seen)
                leaf.draw(surface, leaf is focused)
                self._veil(surface, seen)
                changed.append(seen)
        for part, rect in self._tops:
            if rect.inflate(8, 8).collidelist(changed) >= 0:
                draw_sheet(surface, self.look, part, rect, self.focused)
                changed.append(rect.inflate(8, 8))
        surface.set_clip(None)
        return changed

    def _veil(self, surface: pygame.Surface, rect: Rect) -> None:
        """Dim what lies below a question."""
        if rect.width > 0 and rect.height > 0 and any(s.anchor is None for s in self.sheets):
            veil = pygame.Surface(rect.size)
            veil.set_alpha(VEIL)
            surface.blit(veil, rect)
