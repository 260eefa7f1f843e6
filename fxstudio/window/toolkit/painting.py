"""Drawing a part of the page with all that is in it."""

from __future__ import annotations

from collections.abc import Iterable

import pygame
from pygame import Rect

from fxstudio.window.toolkit.frames import scrolls
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import RGB, Theme
from fxstudio.window.toolkit.widget import Ground, Widget


def draw_grounds(
    surface: pygame.Surface, look: Theme, grounds: Iterable[Ground], within: Rect
) -> None:
    """What lies below the widgets, inside a rectangle."""
    for rect, clip, ground in grounds:
        if rect.colliderect(within):
            surface.set_clip(clip.clip(within))
            pygame.draw.rect(surface, RGB[ground], rect, border_radius=look.px(6))


def draw_part(surface: pygame.Surface, look: Theme, part: Part, focused: Widget | None) -> None:
    """A part with its grounds, widgets and scroll bars."""
    draw_grounds(surface, look, part.grounds(), surface.get_rect())
    last = None
    for leaf in part.leaves():
        if not leaf.rect.colliderect(leaf.clip):
            continue
        if leaf is focused:
            last = leaf  # its ring lies over its neighbours
            continue
        surface.set_clip(leaf.clip)
        leaf.draw(surface, False)
    if last is not None:
        surface.set_clip(last.clip)
        last.draw(surface, True)
    for scroll in scrolls(part):
        surface.set_clip(None)
        if thumb := scroll.thumb():
            pygame.draw.rect(surface, RGB["edge"], thumb, border_radius=thumb.width // 2)


def draw_sheet(
    surface: pygame.Surface, look: Theme, part: Part, rect: Rect, focused: Widget | None
) -> None:
    """A part on top of the page, with an edge round it."""
    surface.set_clip(None)
    edge = look.edge
    pygame.draw.rect(surface, RGB["page"], rect.inflate(4 * edge, 4 * edge))
    pygame.draw.rect(surface, RGB["edge"], rect.inflate(2 * edge, 2 * edge), edge)
    draw_part(surface, look, part, focused)
