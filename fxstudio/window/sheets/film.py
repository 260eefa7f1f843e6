"""What to film, how, and where to put it: a row for each of the choices there are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from pygame import Rect

from fxstudio.cautions import for_steps
from fxstudio.editing.filming.wishes import NO_VIDEO
from fxstudio.editing.jobs import Film
from fxstudio.editing.paths import there
from fxstudio.editing.studio import Studio
from fxstudio.errors import FxError
from fxstudio.film.choices.table import FILM_CHOICES
from fxstudio.window.toolkit.controls.buttons import Button, Choice
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.form import heading, labelled
from fxstudio.window.toolkit.frames import Dock, Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow, Space
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

WIDEST = 680

OWN = "another"
"""What is chosen to type something that no word says."""

NO_NAME = "This is no name for a film."
NOT_EMPTY = "There is something of this name already: choose the name of a new folder."
TRYING = "Working out about how large the film will be …"

CAUTION = " ".join(["The film shows the true flicker, calm view or not.", *for_steps("looking")])


class FilmSheet:
    """All that can be chosen for a film of the present view, and about how large it will be."""

    anchor: Rect | None = None

    def __init__(
        self,
        studio: Studio,
        close: Callable[[], object],
        rebuild: Callable[[], object],
        film: Callable[[Film], object],
    ) -> None:
        self.studio, self.close, self.rebuild, self.film = studio, close, rebuild, film
        self.wishes = studio.wishes
        self.wishes.named = ""
        self.name = self._free_name()
        self._told: list[Path] = []
        self._tried: Film | None = None

    def _free_name(self) -> str:
        return self.wishes.name(self.studio.folder, self.studio.stem)

    @property
    def path(self) -> Path | None:
        """Where the film goes; None if what was typed is no name."""
        return self.wishes.path(self.studio.folder, self.name)

    @property
    def full(self) -> bool:
        """Whether a folder of pictures is wanted where there is something already."""
        path = self.path
        return self.wishes.pictures and path is not None and there(path, _holds_something)

    # The sheet --------------------------------------------------------------------------------

    def build(self, look: Theme) -> Part:
        """All choices; below them, always seen, what comes of them."""
        path, names = self.path, self.wishes.names(self.studio.playback)
        self._told = self.wishes.replaced(path) if path else []
        rows = [
            heading(look, "Film it"),
            Text(look, self._what(), widest=WIDEST),
            labelled(look, "file name", self._entry(look)),
            *self._where(look),
            *(part for name in names for part in self._row(look, name)),
            Text(look, CAUTION, "text", "body", WIDEST),
        ]
        film = self._film(Path(f"film{self.wishes.word('format')}"))
        self._try(film)
        usable = film is not None and path is not None and not self.full
        below = [self._size(look), self._buttons(look, usable)]
        scroll = Scroll("film sheet", Panel(Column(rows, look.gap), look.pad, "page"), look.px(10))
        whole = Dock(Space(), scroll, Panel(Column(below, look.gap), look.pad))
        return Sized(whole, look.px(WIDEST))

    def _what(self) -> str:
        """What the film will show, in words."""
        studio = self.studio
        what = (
            "What the decoder will do" if studio.decoder.compiled else "The effect as you wish it"
        )
        own = studio.playback.own
        drive = "the present travel, speed and keys all along"
        if self.wishes.value("tour"):
            drive = f"a tour of {self.wishes.toured(studio.seen).drive.length_s:g} s"
        elif own is not None:
            drive = f"its own drive of {own.length_s:g} s"
        return f"{what}, with {drive}."

    def _row(self, look: Theme, name: str) -> list[Part]:
        """The words of one choice; a line to type in, and what is wrong with what is typed."""
        row, word = FILM_CHOICES[name], self.wishes.word(name)
        words = self.wishes.words(name)
        missing = len(row.words) - len(words)
        typed = bool(row.typed) and word not in words
        if row.typed:
            words[OWN] = OWN
        chosen = OWN if typed else word
        choose = partial(self._choose, name)
        control: Part = Choice(look, f"film {name}", words, chosen, choose, row.help)
        if typed:
            entry = Entry(look, f"film {name} typed", word, choose, typed=choose, help=row.help)
            control = Column([control, entry], look.px(2))
        parts: list[Part] = [labelled(look, row.label or name, control)]
        if problem := self.wishes.problem(name):
            parts.append(Text(look, problem, "warning", widest=WIDEST))
        elif missing:
            parts.append(Text(look, NO_VIDEO, "quiet", "small", WIDEST))
        return parts

    def _entry(self, look: Theme) -> Widget:
        return Entry(
            look,
            "film name",
            self.name,
            self._call,
            typed=self._call,
            done=self.start,
            help="The name of the film; its ending chooses the format.",
        )

    def _where(self, look: Theme) -> list[Part]:
        """The folder, and what will be replaced there; or that the name is none."""
        path = self.path
        if path is None:
            return [Text(look, NO_NAME, "warning")]
        where: list[Part] = [Text(look, f"In {path.parent}", "quiet", "small", WIDEST)]
        if self.full:
            where.append(Text(look, NOT_EMPTY, "warning", widest=WIDEST))
        for each in self._told:
            words = f"{each.name} is there already and will be replaced."
            where.append(Text(look, words, "warning", widest=WIDEST))
        return where

    def _size(self, look: Theme) -> Part | None:
        """About how large the film will be, or why it cannot be made."""
        trial = self.studio.trial
        if trial is None:
            return None
        if not trial.done:
            return Text(look, TRYING, "quiet", widest=WIDEST)
        colour = "text" if trial.error is None else "warning"
        return Text(look, trial.message, colour, widest=WIDEST)

    def _buttons(self, look: Theme, usable: bool) -> Part:
        text = "Film and replace" if self._told else "Film"
        start = Button(look, "film start", text, self.start, usable=usable, chosen=True)
        return Flow([start, Button(look, "film cancel", "Back", self.cancel)], look.gap)

    # What a person does -----------------------------------------------------------------------

    def _choose(self, name: str, word: str) -> None:
        if word == OWN:
            word = FILM_CHOICES[name].typed
        self.wishes.choose(name, word)
        if name == "format":
            self.name = self._free_name()
        self.rebuild()

    def _call(self, name: str) -> None:
        self.wishes.call(name)
        self.name = name
        self.rebuild()

    def _film(self, path: Path) -> Film | None:
        """The film that is wanted; None as long as something is wrong."""
        studio = self.studio
        try:
            return self.wishes.film(studio.effect, studio.decoder, studio.playback, path)
        except FxError:  # told beside what was typed
            return None

    def _try(self, film: Film | None) -> None:
        """Find out how large it will be, unless that is known or being found out."""
        tried = film and replace(film, poster=None)
        if tried != self._tried:
            self._tried = tried
            self.studio.try_size(tried)

    def start(self) -> None:
        """Begin to film and give the window back."""
        path = self.path
        film = self._film(path) if path else None
        if film is None or self.full:
            return
        if self.wishes.replaced(film.path) != self._told:  # it came to be there meanwhile
            self.rebuild()
            return
        self.cancel()
        self.film(film)

    def cancel(self) -> None:
        """Film nothing."""
        self.studio.try_size(None)
        self.close()


def _holds_something(folder: Path) -> bool:
    return folder.exists() and not (folder.is_dir() and not any(folder.iterdir()))
