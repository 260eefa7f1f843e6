"""The window itself: opens it, passes events on, and draws what changed."""

from __future__ import annotations

import time
from collections.abc import Iterable

import pygame
from pygame.event import Event

from fxstudio.errors import InputError
from fxstudio.window.layout import Panel, Part, Scroll
from fxstudio.window.page import Page
from fxstudio.window.stage import Stage
from fxstudio.window.studio import Studio
from fxstudio.window.theme import Look

SIZE = (1280, 820)
SMALLEST = (480, 400)
NARROW = 1000
"""Below this width, at 100 %, the right side stands below the left one."""

LEFT_SHARE = 0.6

LOOK_AT_FILE_S = 0.5
"""How often the file is looked at."""


class App:
    """The studio in a window."""

    def __init__(self, studio: Studio, size: tuple[int, int] = SIZE) -> None:
        self.studio = studio
        self.surface = open_window(size)
        self.page = Page(self.build)
        self.stage = Stage(studio, lambda: None)
        self.running = True
        self._built_for: tuple | None = None
        self._looked_s = 0.0
        pygame.key.set_repeat(350, 45)

    # Building

    def build(self, look: Look, size: tuple[int, int]) -> Part:
        """All parts for a window of this size."""
        left = self.stage.parts(look, size[0] - 40, size[1] - 100)
        return Scroll("all", Panel(left, look.pad, "page"), look.px(16))

    # Running

    def step(self, events: Iterable[Event], seconds: float) -> None:
        """Take events, let time pass and draw."""
        for event in events:
            self.take(event)
        studio = self.studio
        studio.tick(seconds)
        now = time.monotonic()
        if now - self._looked_s > LOOK_AT_FILE_S:
            self._looked_s = now
            studio.look_at_file()
        self._refresh()

    def take(self, event: Event) -> None:
        if event.type == pygame.QUIT:
            self.running = False
        elif self.page.handle(event):
            self._rebuild_if_needed()

    def _rebuild_if_needed(self) -> None:
        size = self.surface.get_size()
        wanted = (self.studio.revision, size, self.studio.text_percent)
        if wanted != self._built_for:
            if self.page.look.percent != self.studio.text_percent:
                self.page.look = Look(self.studio.text_percent)
            self.page.rebuild(size)
            self._built_for = wanted

    def _refresh(self) -> None:
        self.surface = pygame.display.get_surface()
        self._rebuild_if_needed()
        if self.page.stale:
            self.page.draw(self.surface)
            pygame.display.flip()
        else:
            pygame.display.update(self.page.draw_live(self.surface))

    def run(self) -> None:
        """Until the person closes it."""
        clock = pygame.time.Clock()
        while self.running:
            seconds = clock.tick(self.studio.fps) / 1000
            self.step(pygame.event.get(), seconds)
        pygame.display.quit()


def open_window(size: tuple[int, int]) -> pygame.Surface:
    """Open the window; raises InputError if there is no display."""
    try:
        pygame.display.init()
        pygame.font.init()
        surface = pygame.display.set_mode(size, pygame.RESIZABLE)
    except pygame.error as error:
        raise InputError(
            f"no window can be opened ({error})",
            remedy="run it on a computer with a screen, or over a connection that shows windows; "
            "`fxstudio film` and `fxstudio values` need no screen",
        ) from error
    pygame.display.set_caption("fxstudio")
    return surface
