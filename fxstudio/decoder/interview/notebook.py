"""Answers of an interview kept as they are given, so that one can go on another day."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

import tomlkit
from pydantic import Field

from fxstudio.documents.models import FileModel
from fxstudio.documents.reading import ANSWERS, read_model
from fxstudio.errors import InputError

BACK = "back"
"""What is typed to be asked the question before once more."""

HEADER = """\
Answers so far: the same command goes on after the last of them. Change an answer here, or delete
the last ones to be asked again; delete the file to begin anew."""


class Answer(FileModel):
    """One question and what was typed."""

    question: str = Field(..., description="What was asked.")
    answer: str = Field(..., description="What was typed.")


class Unfinished(FileModel):
    """A file of answers."""

    answers: Annotated[tuple[Answer, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="Questions and answers in the order in which they were asked."
    )


class Back(Exception):  # noqa: N818 - it is no error
    """The person wants to be asked once more; `answers` are those that still hold."""

    def __init__(self, answers: list[Answer]) -> None:
        super().__init__()
        self.answers = answers


@dataclass
class Notebook:
    """Stands between an interview and the person who answers.

    ask, tell, complain : the person; see `Interview`
    keep : called with all answers so far, after each new one
    old : answers of an earlier sitting, given again without a word as long as the questions are
        the same
    """

    ask: Callable[[str, str, str], str]
    tell: Callable[[str, str], None]
    complain: Callable[[Any], None]
    keep: Callable[[list[Answer]], None]
    old: list[Answer] = field(default_factory=list)
    given: list[Answer] = field(default_factory=list)
    _heading: tuple[str, str] | None = None

    def answer(self, words: str, allowed: str, default: str) -> str:
        """The old answer to a question or, if there is none, the person's.

        Raises `Back` if that is `BACK`: a new interview with the answers it holds then comes to
        the question before.
        """
        if self.old and self.old[0].question == words:
            self.given.append(self.old.pop(0))
        else:
            self.old.clear()
            if self._heading:
                self.tell(*self._heading)
                self._heading = None
            while (typed := self.ask(words, allowed, default)).strip().lower() == BACK:
                self._go_back(words)
            self.given.append(Answer(question=words, answer=typed))
            self.keep(self.given)
        return self.given[-1].answer

    def _go_back(self, words: str) -> None:
        """Raise `Back` with all answers ahead of those to this question and the one before."""
        left = _without_last(self.given, words)
        if not left:
            self.complain(InputError("this is the first question", remedy="answer it"))
            return
        raise Back(_without_last(left, left[-1].question))

    def head(self, title: str, text: str) -> None:
        """A section begins: told at once, or ahead of its first new question."""
        if self.old:
            self._heading = title, text
        else:
            self._heading = None
            self.tell(title, text)

    def refuse(self, error: Any) -> None:
        """An answer cannot be used: told unless it was told in an earlier sitting."""
        if not self.old:
            self.complain(error)


def _without_last(answers: list[Answer], question: str) -> list[Answer]:
    """The answers without those to `question` at their end: refused ones and the last."""
    count = len(answers)
    while count and answers[count - 1].question == question:
        count -= 1
    return answers[:count]


def read_answers(path: Path) -> list[Answer]:
    """The answers in a file; raises ReadError or InputError."""
    return list(read_model(Unfinished, path, ANSWERS).answers)


def answers_text(answers: Iterable[Answer]) -> str:
    """A file of answers."""
    document = tomlkit.document()
    for line in HEADER.splitlines():
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    rows = tomlkit.aot()
    for answer in answers:
        table = tomlkit.table()
        table.update(answer.model_dump())
        rows.append(table)
    document.add("answers", rows)
    return tomlkit.dumps(document)
