"""What a person can do with the window as a whole, by button or by shortcut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from fxstudio.editing.calm_view import CAUTION
from fxstudio.editing.edits import brightest_field
from fxstudio.editing.jobs import Film, Job, calmer_film_job, film_job
from fxstudio.editing.studio import Studio
from fxstudio.effect.files import shipped_effects
from fxstudio.film.making import FlashError
from fxstudio.whole_files import replacing
from fxstudio.window.sheets.files import FileSheet, Wanted
from fxstudio.window.sheets.film import FilmSheet
from fxstudio.window.sheets.interview import (
    ANSWER_KEY,
    FILE_NAME,
    SAVE_KEY,
    InterviewSheet,
    kept_answers,
)
from fxstudio.window.sheets.questions import OptionsSheet, QuestionSheet, Reply, flash_words
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.page import Page
from fxstudio.window.toolkit.theme import PERCENTS
from fxstudio.window.views import lane_key

CALM_THE_WISH = (
    "For a calmer film, make the effect itself calmer, by hand or with `fxstudio calm`, and see "
    "what the decoder makes of it."
)


class Actions:
    """Files, films and questions.

    stop : closes the window
    """

    def __init__(self, studio: Studio, page: Page, stop: Callable[[], object]) -> None:
        self.studio, self.page, self.stop = studio, page, stop

    def rebuild(self) -> None:
        """Build the page anew."""
        self.page.rebuild(self.page.size)

    def pause_or_go_on(self) -> None:
        """Let the time stand still, or go on."""
        self.studio.pause(not self.studio.playback.paused)

    def text_size(self, step: int) -> None:
        """Larger or smaller text."""
        at = PERCENTS.index(self.studio.text_percent) + step
        self.studio.text_percent = PERCENTS[max(0, min(len(PERCENTS) - 1, at))]

    def open_list(self, picker: Picker) -> None:
        """Show the options of a picker."""
        self.page.open(OptionsSheet(picker, self.page.close), "options")

    def go_to(self, lamp: str | None) -> None:
        """Select a lamp and go to its settings; None: go to the shared rate."""
        if lamp:
            self.studio.select(lamp)
        self.rebuild()
        self.page.focus_on(self.page.find("lamp" if lamp else "effect.rate_hz"))

    def go_to_lane(self) -> None:
        """Go to the lane of the selected lamp."""
        self.page.focus_on(self.page.find(lane_key(self.studio.selected)))

    def go_to_brightness(self, lamp: str) -> None:
        """Select a lamp and go to its brightness."""
        self.studio.select(lamp)
        self.rebuild()
        self.page.focus_on(
            self.page.find(f"pattern.{brightest_field(type(self.studio.lamp.pattern))}")
        )

    def ask(self, title: str, text: str, *answers: Reply, escape: int = -1) -> None:
        """Ask something."""
        self.page.open(QuestionSheet(title, text, answers, self.page.close, escape), "answer 0")

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
                Reply("Keep the calm view", lambda: None, chosen=True),
                Reply("I have read this: show the true flicker", read),
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
            Reply("Save", lambda: self.save(then=action), chosen=True),
            Reply("Do not save", action),
            Reply("Back", lambda: None),
        )

    def quit(self) -> None:
        """Close the window."""
        while self.page.sheets:
            self.page.close()
        self.unless_unsaved(self.stop)

    def new(self) -> None:
        """Begin a new effect."""
        self.unless_unsaved(self.studio.new)

    def open(self) -> None:
        """Choose a file and open it."""

        def choose() -> None:
            studio = self.studio
            wanted = Wanted("Open an effect", "Open", studio.open, shipped=shipped_effects())
            self._choose(wanted, "files")

        self.unless_unsaved(choose)

    def open_description(self) -> None:
        """Choose a decoder description."""

        def use(path: Path) -> None:
            self.studio.use_decoder(str(path))

        self._choose(Wanted("Open a decoder description", "Use it", use), "files")

    def describe_decoder(self) -> None:
        """Answer questions from a leaflet, to get the description of a decoder."""
        page = self.page

        def to_the_answer() -> None:
            self.rebuild()
            keys = [leaf.key for leaf in page.all_leaves()]
            wanted = ANSWER_KEY if ANSWER_KEY in keys else SAVE_KEY
            page.focus_on(page.find(wanted))

        def open_sheet() -> None:
            sheet = InterviewSheet(self.studio, page.close, to_the_answer, self._save_description)
            page.open(sheet, ANSWER_KEY)

        self.studio.attempt(open_sheet)

    def _save_description(self, text: str) -> None:
        """Ask for a name and write a finished description there."""

        def write(path: Path) -> None:
            with replacing(path) as file:
                file.write(text.encode())
            kept_answers(self.studio.folder).unlink(missing_ok=True)
            self.studio.use_decoder(str(path))
            self.studio.say(f"{path.name} is the description of the decoder.")

        note = "A description of your own, to use and to change."
        wanted = Wanted(
            "Save the description as", "Save", write, FILE_NAME, True, note, self.page.close
        )
        self._choose(wanted, "file name")

    def _choose(self, wanted: Wanted, focus: str) -> None:
        sheet = FileSheet(wanted, self.studio.folder, self.page.close, self.rebuild)
        self.page.open(sheet, focus)

    def save(self, then: Callable[[], object] = lambda: None) -> None:
        """Save to the effect's own file; ask for a name if it has none of its own.

        Ask as well before what another program wrote there is replaced.
        """
        studio, document = self.studio, self.studio.document

        def write() -> None:
            studio.keep_mine()
            if studio.attempt(studio.save):
                then()

        if document.path is None or document.is_shipped:
            self.save_as(then)
            return
        studio.look_at_file()
        if document.outside is None and document.broken is None:
            write()
            return
        self.ask(
            "Another program changed the file",
            f"{document.name} has changed since it was opened here. "
            "Saving replaces what the other program wrote.",
            Reply("Back", lambda: None, chosen=True),
            Reply("Save and replace it", write),
            escape=0,
        )

    def save_as(self, then: Callable[[], object] = lambda: None) -> None:
        """Ask for a name and save under it."""
        studio = self.studio
        note = (
            "Effects that come with fxstudio stay as they are; this makes one of your own."
            if studio.document.is_shipped
            else ""
        )
        name = f"{studio.stem}.toml"
        wanted = Wanted("Save the effect as", "Save", studio.save, name, True, note, then)
        self._choose(wanted, "file name")

    def film(self) -> None:
        """Film the present view."""
        if self.studio.job is None:
            sheet = FilmSheet(self.studio, self.page.close, self.rebuild, self.start_film)
            self.page.open(sheet, "film start")

    def start_film(self, wanted: Film) -> None:
        """Film; ask what to do if it would flash too much."""
        by_decoder = self.studio.decoder.compiled is not None
        job = film_job(wanted)
        job.refused = lambda error: self._ask_about_film(wanted, error, by_decoder)
        self._start(job)

    def _start(self, job: Job) -> None:
        self.studio.job = job
        self.studio.say("The film is made in the background; you can go on working.")

    def _ask_about_film(self, wanted: Film, error: FlashError, by_decoder: bool) -> None:
        """A calmer version of what a decoder does may be what no decoder does: not offered."""
        verdict = error.verdict
        if verdict is None:
            self.studio.complain(error)
            return
        calmer = Reply(
            "Film a calmer version", lambda: self._start(calmer_film_job(wanted, verdict))
        )
        anyway = Reply(
            "Film it as it is; I will warn viewers",
            lambda: self._start(film_job(replace(wanted, accept_flashes=True))),
        )
        self.ask(
            "This film would flash too much",
            "\n".join([flash_words(verdict), *([CALM_THE_WISH] if by_decoder else [])]),
            Reply("Do not film it", lambda: None, chosen=True),
            *([] if by_decoder else [calmer]),
            anyway,
            escape=0,
        )

    def still(self) -> None:
        """Take a still picture of the present view."""
        if self.studio.job is None:
            self.studio.take_still()
