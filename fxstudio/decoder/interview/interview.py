"""The interview: the present question, its answer, and the way back. It prints and asks nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from fxstudio.decoder.interview.draft import Draft
from fxstudio.decoder.interview.notebook import Answer
from fxstudio.decoder.interview.questions import Question
from fxstudio.decoder.interview.text import leaflet_text
from fxstudio.decoder.interview.walk import Walk
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.errors import InputError


class Interview:
    """Questions that lead from a leaflet to a description that passes every check.

    answers : those of an earlier sitting; each is taken again where the same is asked

    `question` is what is asked now, None at the end.
    """

    def __init__(self, answers: Iterable[Answer] = ()) -> None:
        self._kept = {answer.at: answer for answer in answers}
        self._earlier: dict[str, str] = {}
        self._read: dict[str, Leaflet | InputError] = {}
        self._start()

    def _start(self) -> None:
        self._given: list[Answer] = []
        self._walk = Walk(Draft(read=self._read))
        self._run = self._walk.run()
        self.question: Question | None = next(self._run)
        self._play()

    def _play(self) -> None:
        """Give kept answers as long as they are to what is asked."""
        while self.question is not None:
            kept = self._kept.get(self.question.at)
            if kept is None or kept.question != self.question.asked:
                return
            try:
                value = self.question.read(kept.answer)
            except InputError:
                return
            self._given.append(kept)
            self._go_on(value)

    def _go_on(self, value: Any) -> None:
        try:
            self.question = self._run.send(value)
        except StopIteration:
            self.question = None

    @property
    def default(self) -> str:
        """What no text at all gives: the answer that was there before, or what is likely."""
        assert self.question is not None
        return self._earlier.get(self.question.at) or self.question.default

    def answer(self, text: str) -> None:
        """Answer the question; no text gives the default. Raises InputError, and asks it again."""
        question = self.question
        if question is None:
            raise InputError("all questions are answered", remedy="go back to change an answer")
        typed = " ".join(text.split()) or self.default
        if not typed:
            raise InputError("needs an answer", allowed="; or ".join(question.told_ways)).advising(
                "type it, or back to be asked the question before once more"
            )
        value = question.read(typed)
        answer = Answer(at=question.at, question=question.asked, answer=typed)
        self._kept[question.at] = answer
        self._given.append(answer)
        self._go_on(value)
        self._play()

    def back(self, number: int | None = None) -> None:
        """Ask a question once more: that with a number of `so_far`, or the one before.

        Answers after it stay where the same is asked. Raises InputError for one that is not there.
        """
        if not self._given:
            raise InputError("this is the first question", remedy="answer it")
        at = len(self._given) if number is None else number
        if not 1 <= at <= len(self._given):
            raise InputError(
                "is no answer so far",
                given=at,
                allowed=f"1 to {len(self._given)}",
                remedy="type list",
            )
        taken = self._given[at - 1]
        del self._kept[taken.at]
        self._earlier[taken.at] = taken.answer
        self._start()

    def so_far(self) -> tuple[Answer, ...]:
        """Questions and answers in their order."""
        return tuple(self._given)

    def kept(self) -> tuple[Answer, ...]:
        """All answers that another sitting can go on from, those after the present one too."""
        given = {answer.at: answer for answer in self._given}
        return tuple((given | {at: a for at, a in self._kept.items() if at not in given}).values())

    def examples(self) -> tuple[str, ...]:
        """Worked examples of what was described last."""
        return self._walk.examples

    @property
    def leaflet(self) -> Leaflet | None:
        """The description up to its last whole sentence; None before the first."""
        return self._walk.leaflet

    def text(self) -> str:
        """The description file; raises InputError before the last question is answered."""
        if self.question is not None:
            raise InputError("is not at its end", remedy="answer the questions that are left")
        return leaflet_text(self._walk.draft)


def way_back(text: str) -> int | bool | None:
    """What `back` and `back 12` ask for: None for one step, a number, or False for neither."""
    found = re.fullmatch(r"back(?:\s+(?:to\s+)?(\d{1,4}))?", " ".join(text.lower().split()))
    if not found:
        return False
    return int(found[1]) if found[1] else None
