"""What to film and where to put it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
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
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Text

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

    def build(self, look: Look) -> Part:
        """All choices."""
        own = self.studio.playback.own
        what = "What the decoder will do" if self.studio.compiled else "The effect as you wish it"
        drive = (
            f"its own drive of {own.length_s:g} s"
            if own
            else "the present travel, speed and keys all along"
        )
        path = self.path
        replaces = self._told = path is not None and there(path)
        if path is None:
            where = [Text(look, NO_NAME, "warning")]
        else:
            where = [Text(look, f"In {path.parent}", "quiet", "small", WIDEST)]
        if path is not None and replaces:
            where.append(
                Text(look, f"{path.name} is there already and will be replaced.", "warning",
                     widest=WIDEST)
            )  # fmt: skip

        def choice(key: str, options: tuple[str, ...], name: str, unit: str) -> Part:
            return Choice(
                look, key, {each: f"{each}{unit}" for each in options}, getattr(self, name),
                lambda new: self._set(name, new),
            )  # fmt: skip

        parts: list[Part | None] = [
            heading(look, "Film it"),
            Text(look, f"{what}, with {drive}, as a GIF that loops.", widest=WIDEST),
            labelled(look, "size", choice("film size", SIZES, "size", "")),
            labelled(look, "frames a second", choice("film rate", RATES, "rate", "")),
            None if own else labelled(look, "length", choice("film s", LENGTHS, "length", " s")),
            labelled(
                look, "file name",
                Entry(look, "film name", self.name, lambda text: self._set("name", text),
                      typed=lambda text: self._set("name", text), done=self.start),
            ),
            *where,
            Text(look, CAUTION, "text", "body", WIDEST),
            Flow(
                [
                    Button(look, "film start", "Film and replace" if replaces else "Film",
                           self.start, usable=path is not None, chosen=True),
                    Button(look, "film cancel", "Back", self.close),
                ],
                look.gap,
            ),
        ]  # fmt: skip
        whole = Panel(Column([part for part in parts if part], look.gap), look.pad, "page")
        return Sized(Scroll("film sheet", whole, look.px(10)), look.px(WIDEST))

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
