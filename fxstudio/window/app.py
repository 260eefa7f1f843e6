"""The window itself: opens it, puts the parts together, passes events on, draws what changed."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable
from dataclasses import replace

import pygame
from pygame.event import Event

from fxstudio.effect.files import shipped
from fxstudio.errors import InputError
from fxstudio.film import FlashError
from fxstudio.window.bars import notices, status, toolbar
from fxstudio.window.decoder_panel import decoder_panel, values_panel
from fxstudio.window.effect_panel import effect_panel, lamp_panel
from fxstudio.window.file_sheet import FileSheet
from fxstudio.window.film_sheet import FilmSheet
from fxstudio.window.jobs import Film, Job, calmer_film_job, film_job
from fxstudio.window.layout import Column, Dock, Panel, Part, Scroll, Space, Split
from fxstudio.window.lists import Picker
from fxstudio.window.page import Page
from fxstudio.window.sheets import Answer, Options, Question, keys_text
from fxstudio.window.stage import Stage
from fxstudio.window.still import take_still
from fxstudio.window.studio import CAUTION, Studio
from fxstudio.window.theme import PERCENTS, Look

SIZE = (1280, 820)
SMALLEST, ROUND_IT = 400, 80
"""The window is never smaller than this when it opens, and leaves this much of the screen."""

NARROW = 1000
"""Below this width, at 100 %, the right side stands below the left one."""

LEFT_SHARE = 0.58
"""Share of the width that the picture's side has."""

MOST_FOR_BARS = 0.3
"""The bar above scrolls with the rest where it would take more than this share of the room."""

BAR = 14
"""Width of a scroll bar with its margins, in pixels at 100 %."""

LOOK_AT_FILE_S = 0.5
"""How often the file is looked at."""

NAP_S = 0.03
"""How long a paused window sleeps before it looks for events."""


class App:
    """The studio in a window."""

    def __init__(self, studio: Studio, size: tuple[int, int] | None = None) -> None:
        self.studio = studio
        self.surface = open_window(size)
        self.page = Page(self.build)
        self.stage = Stage(studio, self.ask_about_flashing)
        self.running = True
        self._built_for: tuple | None = None
        self._looked_s = 0.0
        self._line_drawn = ""
        pygame.key.set_repeat(350, 45)
        pygame.key.start_text_input()
        self.refresh()

    # Building -----------------------------------------------------------------------------

    def build(self, look: Look, size: tuple[int, int]) -> Part:
        """All parts for a window of this size."""
        width, height = size
        top: Part = Column([toolbar(look, self), *notices(look, self.studio)])
        bottom = status(look, self)
        bar, gap = look.px(BAR), look.gap
        room = height - bottom.height(width)
        fixed = top.height(width) <= room * MOST_FOR_BARS
        if fixed:
            room -= top.height(width)
        right = [
            effect_panel(look, self.studio, self.open_list),
            lamp_panel(look, self.studio, self.open_list),
            decoder_panel(look, self.studio, self.open_list, self.open_description),
            values_panel(look, self.studio),
        ]
        if fixed and width >= look.px(NARROW):
            own = int(width * LEFT_SHARE)
            left = self.stage.parts(look, own - bar - 2 * gap, room - 2 * gap)
            sides = (
                Scroll("left", Panel(left, gap, "page"), bar),
                Scroll("right", Panel(Column(right, gap), gap, "page"), bar),
            )
            return Dock(top, Split(*sides, LEFT_SHARE), bottom)
        left = self.stage.parts(look, width - bar - 2 * gap, room * 3 // 4)
        stacked = Panel(Column([left, *right], gap), gap, "page")
        if fixed:
            return Dock(top, Scroll("page", stacked, bar), bottom)
        return Dock(Space(), Scroll("page", Column([top, stacked]), bar), bottom)

    def refresh(self) -> None:
        """Build anew if anything changed that the page shows."""
        self.surface = pygame.display.get_surface()
        size, look = self.surface.get_size(), self.page.look
        wanted = (self.studio.revision, size, self.studio.text_percent)
        if wanted != self._built_for:
            if look.percent != self.studio.text_percent:
                self.page.look = Look(self.studio.text_percent)
            self.page.rebuild(size)
            self._built_for = wanted
            pygame.display.set_caption(
                f"{self.studio.effect.title}{' *' if self.studio.document.unsaved else ''}"
                " - fxstudio"
            )

    def rebuild(self) -> None:
        """Build anew at the next occasion."""
        self.studio.revision += 1
        self.refresh()

    # Events -------------------------------------------------------------------------------

    def take(self, event: Event) -> None:
        """Take one event."""
        if event.type == pygame.QUIT:
            self.quit()
        elif event.type == pygame.KEYDOWN and self._shortcut(event):
            pass
        elif self.page.handle(event):
            if event.type == pygame.MOUSEBUTTONUP:
                self.studio.document.settle()
        elif event.type in (pygame.VIDEOEXPOSE, pygame.WINDOWSIZECHANGED):
            self.page.stale = True
        self.refresh()

    def _shortcut(self, event: Event) -> bool:
        if not event.mod & (pygame.KMOD_CTRL | pygame.KMOD_META):
            return False
        shift = event.mod & pygame.KMOD_SHIFT
        actions: dict[int, Callable[[], object]] = {
            pygame.K_n: self.new,
            pygame.K_o: self.open,
            pygame.K_s: self.save_as if shift else self.save,
            pygame.K_z: self.studio.redo if shift else self.studio.undo,
            pygame.K_y: self.studio.redo,
            pygame.K_q: self.quit,
            pygame.K_p: lambda: self.studio.pause(not self.studio.playback.paused),
            pygame.K_PLUS: lambda: self.text_size(1),
            pygame.K_EQUALS: lambda: self.text_size(1),
            pygame.K_KP_PLUS: lambda: self.text_size(1),
            pygame.K_MINUS: lambda: self.text_size(-1),
            pygame.K_KP_MINUS: lambda: self.text_size(-1),
        }
        if event.key not in actions:
            return False
        if not self.page.sheets:  # a question must be answered first
            if self.page.focused is not None:
                self.page.focused.blur()
            actions[event.key]()
        return True

    # What a person can do -----------------------------------------------------------------

    def text_size(self, step: int) -> None:
        """Larger or smaller text."""
        at = PERCENTS.index(self.studio.text_percent) + step
        self.studio.text_percent = PERCENTS[max(0, min(len(PERCENTS) - 1, at))]

    def open_list(self, picker: Picker) -> None:
        """Show the options of a picker."""
        self.page.open(Options(picker, self.page.close), "options")

    def ask(self, title: str, text: str, *answers: Answer, escape: int = -1) -> None:
        """Ask something."""
        self.page.open(Question(title, text, answers, self.page.close, escape), "answer 0")

    def ask_about_flashing(self) -> None:
        """Turn the calm view off, once the caution has been read."""
        studio = self.studio

        def read() -> None:
            studio.caution_read = True
            studio.set_calm(False)

        if studio.caution_read:
            studio.set_calm(False)
        else:
            self.ask(
                "Flashing light",
                "\n".join(CAUTION),
                Answer("Keep the calm view", lambda: None, chosen=True),
                Answer("I have read this: show the true flicker", read),
                escape=0,
            )

    def unless_unsaved(self, action: Callable[[], object]) -> None:
        """Do something that would lose unsaved changes, but ask first."""
        if self.page.focused is not None:
            self.page.focused.blur()
        if not self.studio.document.unsaved:
            action()
            return
        self.ask(
            "Save the changes?",
            f"'{self.studio.effect.title}' has changes that are not saved "
            f"({self.studio.document.name}).",
            Answer("Save", lambda: self.save(then=action), chosen=True),
            Answer("Do not save", action),
            Answer("Back", lambda: None),
        )

    def quit(self) -> None:
        """Close the window."""

        def stop() -> None:
            self.running = False

        while self.page.sheets:
            self.page.close()
        self.unless_unsaved(stop)

    def new(self) -> None:
        """Begin a new effect."""
        self.unless_unsaved(self.studio.new)

    def open(self) -> None:
        """Choose a file and open it."""

        def choose() -> None:
            sheet = FileSheet(
                "Open an effect", "Open", self.studio.folder, "", ".toml", self.studio.open,
                self.page.close, self.rebuild, shipped=shipped(),
            )  # fmt: skip
            self.page.open(sheet, "files")

        self.unless_unsaved(choose)

    def open_description(self) -> None:
        """Choose a decoder description."""
        sheet = FileSheet(
            "Open a decoder description", "Use it", self.studio.folder, "", ".toml",
            lambda path: self.studio.choose_decoder(str(path)), self.page.close, self.rebuild,
        )  # fmt: skip
        self.page.open(sheet, "files")

    def save(self, then: Callable[[], object] = lambda: None) -> None:
        """Save to the effect's own file; ask for a name if it has none of its own."""
        document = self.studio.document
        if document.path is None or document.is_shipped:
            self.save_as(then)
        elif self.studio.save():
            then()

    def save_as(self, then: Callable[[], object] = lambda: None) -> None:
        """Ask for a name and save under it."""

        def take(path: object) -> bool:
            if self.studio.save(path):
                self.page.close()
                then()
            return False  # closed already, or to be shown again with the error

        studio = self.studio
        note = (
            "Effects that come with fxstudio stay as they are; this makes one of your own."
            if studio.document.is_shipped
            else ""
        )
        sheet = FileSheet(
            "Save the effect as", "Save", studio.folder, f"{studio.stem}.toml", ".toml", take,
            self.page.close, self.rebuild, saving=True, note=note,
        )  # fmt: skip
        self.page.open(sheet, "file name")

    def film(self) -> None:
        """Film the present view."""
        if self.studio.job is None:
            sheet = FilmSheet(self.studio, self.page.close, self.rebuild, self.start_film)
            self.page.open(sheet, "film start")

    def start_film(self, wanted: Film) -> None:
        """Film; ask what to do if it would flash too much."""

        def start(job: Job) -> None:
            self.studio.job = job
            self.studio.say("Filming goes on beside your work; you can use the window meanwhile.")

        def refused(error: FlashError) -> None:
            self.ask(
                "This film would flash too much",
                "\n".join([*map(str, error.verdict.failures), f"Safe is {error.allowed}."]),
                Answer("Do not film it", lambda: None, chosen=True),
                Answer("Film a calmer version", lambda: start(calmer_film_job(wanted))),
                Answer(
                    "Film it as it is; I will warn viewers",
                    lambda: start(film_job(replace(wanted, accept_flashes=True))),
                ),
                escape=0,
            )

        job = film_job(wanted)
        job.refused = refused
        start(job)

    def still(self) -> None:
        """Take a still picture of the present view."""
        if self.studio.job is None:
            take_still(self.studio)

    def show_keys(self) -> None:
        """Show the keys."""
        self.ask("Keys", keys_text(), Answer("Back", lambda: None))

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
        if now_s - self._looked_s > LOOK_AT_FILE_S:
            self._looked_s = now_s
            self.studio.look_at_file()

    def draw(self) -> None:
        """Draw what changed."""
        self._line_drawn = self.status_line
        if self.page.stale:
            self.page.draw(self.surface)
            pygame.display.flip()
        else:
            pygame.display.update(self.page.draw_live(self.surface))

    @property
    def status_line(self) -> str:
        """A passing message, or the help of the control one is at."""
        at = self.page.hovered or self.page.focused
        return self.studio.passing_message or (at.help if at is not None else "")

    @property
    def idle(self) -> bool:
        """Whether nothing changes until the person does something."""
        studio = self.studio
        drawn = studio.seen_projector.settled and studio.seen_projector.renderer() is not None
        return studio.playback.paused and studio.job is None and drawn

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
        finally:
            if self.studio.job is not None:
                self.studio.job.stop()
                self.studio.job.wait(5)
            pygame.display.quit()

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


def open_window(size: tuple[int, int] | None) -> pygame.Surface:
    """Open the window, as large as the screen lets it be; raises InputError without a display."""
    try:
        pygame.display.init()
        pygame.font.init()
        if pygame.display.get_driver() == "x11":
            # Only what changed is then sent to the screen, not the whole window each time.
            os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
        if size is None:
            screen = pygame.display.get_desktop_sizes()[0]
            size = tuple(
                min(own, max(SMALLEST, most - ROUND_IT))
                for own, most in zip(SIZE, screen, strict=True)
            )
        surface = pygame.display.set_mode(size, pygame.RESIZABLE)
    except pygame.error as error:
        raise InputError(
            f"no window can be opened ({error})",
            remedy="run it on a computer with a screen, or over a connection that shows windows; "
            "`fxstudio film` and `fxstudio values` need no screen",
        ) from error
    pygame.display.set_caption("fxstudio")
    return surface
