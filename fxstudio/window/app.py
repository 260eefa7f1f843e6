"""The window itself: opens it, puts the parts together, passes events on, draws what changed."""

from __future__ import annotations

import os
import time
from collections.abc import Iterable

import pygame
from pygame.event import Event

from fxstudio.editing.studio import Studio
from fxstudio.errors import InputError
from fxstudio.window.actions import Actions
from fxstudio.window.bars import notices, status, toolbar
from fxstudio.window.panels.decoder import decoder_panel, values_panel
from fxstudio.window.panels.effect import effect_panel
from fxstudio.window.panels.lamp import lamp_panel
from fxstudio.window.shortcuts import press
from fxstudio.window.stage import Stage
from fxstudio.window.toolkit.frames import Dock, Panel, Scroll, Split
from fxstudio.window.toolkit.layout import Column, Space
from fxstudio.window.toolkit.page import Page
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme, drawable

SIZE = (1280, 820)
SMALLEST, ROUND_IT = 400, 80
"""The window is never smaller than this when it opens, and leaves this much of the screen."""

NARROW = 1000
"""Below this width, at 100 %, the right side stands below the left one."""

RIGHT_SHARE, RIGHT_LEAST = 0.36, 430
"""Share of the width that the right side has, and its least width in pixels at 100 %."""

STACKED_PICTURE = 0.6
"""Most of the room that the picture takes where everything stands in one column."""

MOST_FOR_BARS = 0.3
"""The bar above goes below the picture where it would take more than this share of the room."""

HINT = "Point at a control, or go to it with Tab, to read what it is for."
"""What stands below while nothing else is to be said."""

BAR = 14
"""Width of a scroll bar with its margins, in pixels at 100 %."""

LOOK_AT_FILE_S = 0.5
"""How often the file is looked at."""

NAP_S = 0.03
"""How long a paused window sleeps before it looks for events."""


class RescuedError(Exception):
    """The window ended by a fault; its text says where the unsaved changes are."""


class App:
    """The studio in a window."""

    def __init__(self, studio: Studio, size: tuple[int, int] | None = None) -> None:
        self.studio = studio
        self.surface = open_window(size)
        self.page = Page(self.build)
        self.actions = Actions(studio, self.page, self.stop)
        self.stage = Stage(studio, self.actions.ask_about_flashing, self.actions.go_to_brightness)
        self.running = True
        self.minimised = False
        self._built_for: tuple[object, ...] | None = None
        self.looked_s = 0.0
        self._line_drawn = ""
        pygame.key.set_repeat(350, 45)
        pygame.key.start_text_input()
        self.refresh()

    def stop(self) -> None:
        """Let `run` end."""
        self.running = False

    # Building -----------------------------------------------------------------------------

    def build(self, look: Theme, size: tuple[int, int]) -> Part:
        """All parts for a window of this size: in two columns, in one, or with the tools in it."""
        width, height = size
        tools = toolbar(look, self.studio, self.actions)
        found = notices(look, self.studio)
        top = Column([tools, *found])
        bottom = status(look, self.studio, lambda: self.status_line)
        room = height - bottom.height(width)
        fixed = top.height(width) <= room * MOST_FOR_BARS
        if fixed and width >= look.px(NARROW):
            return Dock(top, self._two_columns(look, width, room - top.height(width)), bottom)
        if fixed:
            picture, below = self._one_column(look, room - top.height(width))
            column: Part = self._page(look, picture, *below)
        else:
            picture, below = self._one_column(look, room)
            column = Column([*found, self._page(look, picture), tools, self._page(look, *below)])
        return Dock(top if fixed else Space(), Scroll("page", column, look.px(BAR)), bottom)

    def _two_columns(self, look: Theme, width: int, room: int) -> Part:
        """The picture and what belongs to it on the left, all settings on the right."""
        bar, gap = look.px(BAR), look.gap
        own = width - max(look.px(RIGHT_LEAST), int(width * RIGHT_SHARE))
        below = self.stage.below(look)
        picture = self.stage.picture(look, room - below.height(own - bar - 2 * gap) - 3 * gap)
        left = Scroll("left", self._page(look, picture, below), bar)
        right = Scroll("right", self._page(look, *self._settings(look)), bar)
        return Split(left, right, own)

    def _one_column(self, look: Theme, room: int) -> tuple[Part, list[Part | None]]:
        """The picture, and all that stands below it."""
        picture = self.stage.picture(look, int(room * STACKED_PICTURE))
        return picture, [self.stage.below(look), *self._settings(look)]

    def _settings(self, look: Theme) -> list[Part | None]:
        studio, actions = self.studio, self.actions
        return [
            effect_panel(look, studio, actions.open_list),
            lamp_panel(look, studio, actions.open_list),
            decoder_panel(look, studio, actions),
            values_panel(look, studio),
        ]

    @staticmethod
    def _page(look: Theme, *parts: Part | None) -> Part:
        return Panel(Column(parts, look.gap), look.gap, "page")

    def refresh(self) -> None:
        """Build anew if anything changed that the page shows."""
        self.surface = pygame.display.get_surface()
        size, studio = self.surface.get_size(), self.studio
        wanted = (size, studio.shown)
        if wanted != self._built_for:
            if self.page.look.percent != studio.text_percent:
                self.page.look = Theme(studio.text_percent)
            self.page.rebuild(size)
            self._built_for = wanted
            star = " *" if studio.document.unsaved else ""
            pygame.display.set_caption(drawable(f"{studio.effect.title}{star} - fxstudio"))

    # Events -------------------------------------------------------------------------------

    def take(self, event: Event) -> None:
        """Take one event."""
        if event.type == pygame.QUIT:
            self.actions.quit()
        elif event.type == pygame.KEYDOWN and press(self.actions, event):
            pass
        elif self.page.handle(event):
            if event.type == pygame.MOUSEBUTTONUP:
                self.studio.document.settle()
        elif event.type in (pygame.WINDOWMINIMIZED, pygame.WINDOWRESTORED):
            self.minimised = event.type == pygame.WINDOWMINIMIZED
            self.page.stale = True
        elif event.type in (pygame.VIDEOEXPOSE, pygame.WINDOWSIZECHANGED):
            self.page.stale = True
        self.refresh()

    # Running ------------------------------------------------------------------------------

    def step(self, events: Iterable[Event], seconds: float) -> None:
        """Take events, let time pass, draw."""
        for event in last_motions(list(events)):
            self.take(event)
        self.studio.tick(seconds)
        self.look_at_file()
        self.refresh()
        self.draw()

    def look_at_file(self) -> None:
        """See now and then whether another program has changed the file."""
        now_s = time.monotonic()
        if now_s - self.looked_s > LOOK_AT_FILE_S:
            self.looked_s = now_s
            self.studio.look_at_file()

    def draw(self) -> None:
        """Draw what changed."""
        self._line_drawn = self.status_line
        if self.minimised:
            return
        if self.page.stale:
            self.page.draw(self.surface)
            pygame.display.flip()
        else:
            pygame.display.update(self.page.draw_live(self.surface))

    @property
    def status_line(self) -> str:
        """A passing message, the help of the control one is at, or how to get it."""
        at = self.page.hovered, self.page.focused
        helps = [widget.help for widget in at if widget is not None and widget.help]
        return self.studio.message.passing or (helps[0] if helps else HINT)

    @property
    def idle(self) -> bool:
        """Whether nothing changes until the person does something."""
        studio = self.studio
        shown = [studio.seen_projector, *([studio.wish_projector] if studio.beside else [])]
        drawn = all(one.settled and one.renderer() is not None for one in shown)
        return studio.playback.paused and not studio.busy and drawn

    def run(self) -> None:
        """Until the person closes it."""
        clock = pygame.time.Clock()
        try:
            while self.running:
                first = []
                if self.idle and not self.page.stale:
                    first = self.wait()
                    clock.tick()
                seconds = clock.tick(self.studio.fps) / 1000
                self.step([*first, *pygame.event.get()], seconds)
        except Exception as error:
            saved_as = self.studio.document.rescue(self.studio.folder)
            if saved_as is None:
                raise
            raise RescuedError(f"{error!r}; your unsaved changes are in {saved_as}") from error
        finally:
            job = self.studio.job
            self.studio.try_size(None)
            if job is not None:
                job.stop()
            pygame.display.quit()
            if job is not None:
                job.wait()  # however long it takes: ended by force it could leave half a file

    def wait(self) -> list[Event]:
        """Do nothing until an event comes, the file changes or a message has passed."""
        while True:
            time.sleep(NAP_S)  # waiting by pygame looks a thousand times a second
            if events := pygame.event.get():
                return events
            self.look_at_file()
            self.refresh()
            if self.page.stale or self._line_drawn != self.status_line:
                return []


def last_motions(events: list[Event]) -> list[Event]:
    """Of movements of the mouse that follow each other, the last one alone."""
    following = [*events[1:], pygame.event.Event(pygame.NOEVENT)]
    return [
        event
        for event, after in zip(events, following, strict=False)
        if not event.type == after.type == pygame.MOUSEMOTION
    ]


UNSEEN = ("offscreen", "dummy", "evdev")
"""What SDL falls back to without a screen: a window that nobody sees or can close."""


def open_window(size: tuple[int, int] | None) -> pygame.Surface:
    """Open the window, as large as the screen lets it be; raises InputError without a display."""
    try:
        pygame.display.init()
        pygame.font.init()
        driver = pygame.display.get_driver()
        if driver in UNSEEN and os.environ.get("SDL_VIDEODRIVER") != driver:
            raise pygame.error("no screen was found")
        if driver == "x11":
            # Only what changed is then sent to the screen, not the whole window each time.
            os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
        surface = pygame.display.set_mode(size or _size_for_screen(), pygame.RESIZABLE)
    except pygame.error as error:
        raise InputError(f"no window can be opened ({error})").advising(
            "run it on a computer with a screen, or over a connection that shows windows; "
            "`fxstudio film` and `fxstudio values` need no screen"
        ) from error
    pygame.display.set_caption("fxstudio")
    return surface


def _size_for_screen() -> tuple[int, int]:
    width, height = pygame.display.get_desktop_sizes()[0]
    return _within(SIZE[0], width), _within(SIZE[1], height)


def _within(own: int, screen: int) -> int:
    return min(own, max(SMALLEST, screen - ROUND_IT))
