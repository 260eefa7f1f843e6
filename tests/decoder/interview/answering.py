"""Interviews by lists of answers that are kept in text files."""

from __future__ import annotations

from pathlib import Path

from fxstudio.decoder.interview.interview import Interview

FOLDER = Path(__file__).parent / "leaflets"


def answers_in(name: str) -> list[str]:
    """The answers of a leaflet: one a line; a line that begins with # is none."""
    lines = (FOLDER / f"{name}.txt").read_text("utf-8").splitlines()
    return [line for line in lines if not line.startswith("#")]


def answered(answers: list[str]) -> Interview:
    """An interview after these answers; raises InputError for one that cannot be used."""
    interview = Interview()
    for text in answers:
        interview.answer(text)
    return interview
