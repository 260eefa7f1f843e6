"""What to film and where to put it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from pygame import Rect

from fxstudio.cautions import for_steps
from fxstudio.editing.jobs import Film
from fxstudio.editing.paths import free_path, there, typed_path
from fxstudio.editing.studio import Studio
from fxstudio.film.take import Shot
from fxstudio.window.toolkit.controls.buttons import Button, Choice
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.form import heading, labelled
from fxstudio.window.toolkit.frames import Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

WIDEST = 600

SIZES = ("360x240", "480x320", "720x480", "960x640")
RATES = ("20", "25", "50")
LENGTHS = ("3", "6", "12")

NO_NAME = "This is no name for a file."

CAUTION = " ".join(["The film shows the true flicker, calm view or not.", *for_steps("looking")])


class FilmSheet:
    """Size, frames a second, length and name of a film of the present view."""

    anchor: Rect | None = None

    def __init__(
        self,
        studio: Studio,
        close: Callable[[], object],
        rebuild: Callable[[], object],
        film: Callable[[Film], object],
    ) -> None:
        self.studio, self.close, self.rebuild, self.film = studio, close, rebuild, film
        self.size, self.rate, self.length = "480x320", "25", "6"
        self.name = free_path(studio.folder, studio.stem, ".gif").name
        self._told = False

    @property
    def path(self) -> Path | None:
        """Where the film goes; None if what was typed is no name."""
        return typed_path(self.studio.folder, self.name, ".gif")

    def build(self, look: Theme) -> Part:
        """All choices."""
        self._told = self.path is not None and there(self.path)
        rows = [
            heading(look, "Film it"),
            Text(look, self._what(), widest=WIDEST),
            labelled(look, "size", self._choice(look, "film size", SIZES, "size")),
            labelled(look, "frames a second", self._choice(look, "film rate", RATES, "rate")),
            self._length(look),
            labelled(look, "file name", self._entry(look)),
            *self._where(look),
            Text(look, CAUTION, "text", "body", WIDEST),
            self._buttons(look),
        ]
        whole = Panel(Column(rows, look.gap), look.pad, "page")
        return Sized(Scroll("film sheet", whole, look.px(10)), look.px(WIDEST))

    def _what(self) -> str:
        """What the film will show, in words."""
        what = (
            "What the decoder will do"
            if self.studio.decoder.compiled
            else "The effect as you wish it"
        )
        own = self.studio.playback.own
        drive = "the present travel, speed and keys all along"
        if own is not None:
            drive = f"its own drive of {own.length_s:g} s"
        return f"{what}, with {drive}, as a GIF that loops."

    def _choice(
        self, look: Theme, key: str, options: Sequence[str], name: str, unit: str = ""
    ) -> Widget:
        texts = {each: f"{each}{unit}" for each in options}
        return Choice(look, key, texts, getattr(self, name), partial(self._set, name))

    def _length(self, look: Theme) -> Part | None:
        if self.studio.playback.own is not None:
            return None
        return labelled(look, "length", self._choice(look, "film s", LENGTHS, "length", " s"))

    def _entry(self, look: Theme) -> Widget:
        take = partial(self._set, "name")
        return Entry(look, "film name", self.name, take, typed=take, done=self.start)

    def _where(self, look: Theme) -> list[Part]:
        """The folder, and what will be replaced there; or that the name is none."""
        path = self.path
        if path is None:
            return [Text(look, NO_NAME, "warning")]
        where: list[Part] = [Text(look, f"In {path.parent}", "quiet", "small", WIDEST)]
        if self._told:
            words = f"{path.name} is there already and will be replaced."
            where.append(Text(look, words, "warning", widest=WIDEST))
        return where

    def _buttons(self, look: Theme) -> Part:
        text = "Film and replace" if self._told else "Film"
        usable = self.path is not None
        start = Button(look, "film start", text, self.start, usable=usable, chosen=True)
        return Flow([start, Button(look, "film cancel", "Back", self.close)], look.gap)

    def _set(self, name: str, value: str) -> None:
        setattr(self, name, value)
        self.rebuild()

    def start(self) -> None:
        """Begin to film and give the window back."""
        studio, path = self.studio, self.path
        if path is None:
            return
        if there(path) and not self._told:  # it came to be there meanwhile
            self.rebuild()
            return
        width, height = map(int, self.size.split("x"))
        shot = replace(Shot(), width=width, height=height, fps=float(self.rate))
        drive = studio.playback.to_film(float(self.length))
        self.close()
        self.film(Film(studio.seen, path, drive, shot))

    def cancel(self) -> None:
        """Film nothing."""
        self.close()
