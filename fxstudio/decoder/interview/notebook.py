"""Answers of an interview kept as they are given, so that one can go on another day."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import tomlkit
from pydantic import Field

from fxstudio.documents.models import FileModel
from fxstudio.documents.reading import ANSWERS, read_model

HEADER = """\
Answers so far: the same command goes on after the last of them. Change an answer here, or delete
one to be asked again; delete the file to begin anew."""


class Answer(FileModel):
    """One question and what was typed."""

    at: str = Field(..., description="The place of the question, the same each time.")
    question: str = Field(..., description="What was asked.")
    answer: str = Field(..., description="What was typed.")


class Unfinished(FileModel):
    """A file of answers."""

    answers: Annotated[tuple[Answer, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="Questions and answers in the order in which they were asked."
    )


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
