"""Describing a decoder from its leaflet: question and answers, and how they are understood."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from pygame import Rect

from fxstudio.decoder.interview.delivered_look import (
    delivered_look,
    delivered_words,
    draws_what_is_not_known,
)
from fxstudio.decoder.interview.interview import Interview
from fxstudio.decoder.interview.notebook import answers_text, read_answers
from fxstudio.editing.projector import Projector
from fxstudio.editing.studio import Studio
from fxstudio.errors import FxError, shorten
from fxstudio.whole_files import replacing
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.lists import List
from fxstudio.window.toolkit.form import heading
from fxstudio.window.toolkit.frames import Either, Panel, Scroll, Sized, Split
from fxstudio.window.toolkit.layout import Column, Flow
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text
from fxstudio.window.views import Picture, Shown

WIDEST, SIDE_BY_SIDE = 1180, 820
"""Width of the page, and from which width on its two halves stand side by side, at 100 %."""

LEFT_SHARE = 0.54
HIGHEST_PICTURE = 260

LONGEST_ANSWER = 2000

ANSWER_KEY, SAVE_KEY = "interview answer", "interview save"
"""Keys of the widgets that have the focus while there is a question, and at the end."""

FILE_NAME = "my_decoder.toml"
"""What the description is called unless another name is chosen."""


class InterviewSheet:
    """The present question on the left, with the answers so far; on the right what they mean.

    rebuild : builds the page anew and goes to the line for the answer
    save : called with the text of the finished description
    """

    anchor: Rect | None = None

    def __init__(
        self,
        studio: Studio,
        close: Callable[[], object],
        rebuild: Callable[[], object],
        save: Callable[[str], object],
    ) -> None:
        """Raises FxError if answers of an earlier sitting cannot be read."""
        self.studio, self.close, self.rebuild, self.save = studio, close, rebuild, save
        self.kept = kept_answers(studio.folder)
        self.interview = Interview(read_answers(self.kept) if self.kept.exists() else ())
        self.typed, self.problem = "", ""
        self._projector = Projector(studio.artist)
        self._as_wished = ""
        self._load()

    # The page ---------------------------------------------------------------------------------

    def build(self, look: Theme) -> Part:
        """Both halves, side by side where there is room."""
        inner = look.px(WIDEST) - 2 * look.pad - look.px(10)
        asked, meant = self._asked(look), self._meant(look)
        beside = Split(
            Panel(Column(asked, look.gap), look.pad),
            Panel(Column(meant, look.gap), look.pad, "page"),
            int(inner * LEFT_SHARE),
        )
        below = Column([*beside.parts], look.gap)
        halves = Either(beside, below, look.px(SIDE_BY_SIDE))
        whole = Column([heading(look, "Describe a decoder from its leaflet"), halves], look.gap)
        page = Scroll("interview", Panel(whole, look.pad, "page"), look.px(10))
        return Sized(page, look.px(WIDEST))

    def _asked(self, look: Theme) -> list[Part]:
        question = self.interview.question
        if question is None:
            return [*self._end(look), *self._answers(look)]
        default = self.interview.default
        rows: list[Part] = [
            Text(look, question.words, "chosen"),
            *(Text(look, f"· {way}", "quiet", "small") for way in question.told_ways),
            Entry(
                look,
                ANSWER_KEY,
                self.typed,
                self._type,
                typed=self._type,
                longest=LONGEST_ANSWER,
                done=self.answer,
                help="Type the answer, or paste the sentence of the leaflet, and press Enter.",
            ),
        ]
        if self.problem:
            rows += [Text(look, line, "warning", "small") for line in self.problem.splitlines()]
        buttons = [Button(look, "interview take", "Answer", self.answer, chosen=not default)]
        if default:
            words = shorten(default, 30)
            take = partial(self.answer_with, default)
            buttons.append(Button(look, "interview default", words, take, chosen=True))
        if question.may_be_unknown and default != "not known":
            silent = partial(self.answer_with, "not known")
            buttons.append(Button(look, "interview not known", "Not known", silent))
        return [*rows, Flow([*buttons, *self._ways_out(look)], look.gap), *self._answers(look)]

    def _ways_out(self, look: Theme) -> list[Button]:
        back = Button(
            look,
            "interview back",
            "Question before",
            self.back,
            usable=bool(self.interview.so_far()),
        )
        later = Button(
            look,
            "interview close",
            "Go on later",
            self.cancel,
            help=f"The answers are kept in {self.kept.name}.",
        )
        return [back, later]

    def _end(self, look: Theme) -> list[Part]:
        words = "All is answered. The description passes every check."
        save = Button(look, SAVE_KEY, "Save it …", self._save, chosen=True)
        return [Text(look, words, "chosen"), Flow([save, *self._ways_out(look)], look.gap)]

    def _answers(self, look: Theme) -> list[Part]:
        """What is answered; choosing one asks it again."""
        given = self.interview.so_far()
        if not given:
            return []
        rows = {
            str(number): f"{number}  {row.question.splitlines()[-1]}  {shorten(row.answer, 60)}"
            for number, row in enumerate(given, start=1)
        }
        return [
            Text(look, "Answered; choose one to change it, all others stay:", "quiet", "small"),
            List(
                look,
                "interview answers",
                rows,
                str(len(rows)),
                self._change,
                most=7,
                at_once=False,
                help="Enter, or a second click, asks the question again.",
            ),
        ]

    def _meant(self, look: Theme) -> list[Part]:
        """Worked examples, what the outputs do, and the picture."""
        question, leaflet = self.interview.question, self.interview.leaflet
        examples = (question and question.examples) or self.interview.examples()
        rows: list[Part] = [Text(look, "So it is understood", "chosen")]
        if not examples:
            words = "Worked examples stand here once a sentence of the leaflet is described."
            rows.append(Text(look, words, "quiet", "small"))
        rows += [Text(look, words, "text", "small") for words in examples]
        if leaflet is None:
            return rows
        rows.append(Text(look, "As delivered, as far as it is described", "chosen"))
        rows += [Text(look, words, "text", "small") for words in delivered_words(leaflet)]
        return [*rows, Picture(look, self._frames, 1, look.px(HIGHEST_PICTURE))]

    def _frames(self) -> list[Shown]:
        studio = self.studio
        caption = f"{studio.effect.title}, on it as delivered{self._as_wished}"
        now_s = studio.playback.time_s
        frame = self._projector.frame(now_s, studio.viewed_s, studio.calm)
        return [Shown(caption, frame)]

    # What a person does -----------------------------------------------------------------------

    def _type(self, text: str) -> None:
        self.typed = text

    def answer(self) -> None:
        """Answer with what is typed."""
        self.answer_with(self.typed)

    def answer_with(self, text: str) -> None:
        """Answer; a complaint stands below what was typed."""
        try:
            self.interview.answer(text)
        except FxError as error:
            self.typed, self.problem = text, str(error)
            self.rebuild()
        else:
            self._went_on()

    def back(self, number: int | None = None) -> None:
        """Ask the question before once more, or the one with a number."""
        try:
            self.interview.back(number)
        except FxError as error:
            self.problem = str(error)
            self.rebuild()
        else:
            self._went_on()

    def _change(self, row: str) -> None:
        self.back(int(row))

    def _went_on(self) -> None:
        self.typed = self.problem = ""
        try:
            self._keep()
        except FxError as error:
            self.problem = str(error)
        self._load()
        self.rebuild()

    def _keep(self) -> None:
        """Write all answers at once; raises WriteError."""
        kept = self.interview.kept()
        if kept:
            with replacing(self.kept) as file:
                file.write(answers_text(kept).encode())
        else:
            self.kept.unlink(missing_ok=True)

    def _load(self) -> None:
        if self.interview.leaflet is not None:
            seen = delivered_look(self.studio.effect, self.interview.leaflet)
            self._projector.load(seen, self.studio.playback.drive)
            silent = draws_what_is_not_known(self.studio.effect, self.interview.leaflet)
            self._as_wished = "; what is not known as wished" if silent else ""

    def _save(self) -> None:
        self.save(self.interview.text())

    def cancel(self) -> None:
        """Go on another day."""
        self.close()


def kept_answers(folder: Path) -> Path:
    """The file of the answers of an interview that is not finished, as the command has it."""
    return (folder / FILE_NAME).with_suffix(".unfinished.toml")
