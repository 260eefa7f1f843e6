"""A write plan as rows for a table, and as a text to print and tick off."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from fxstudio.cautions import CAUTIONS
from fxstudio.decoder.compromise import Compromise
from fxstudio.decoder.plan import Plan, Step

HEADINGS = (
    ("no.", "right"),
    ("CV", "left"),
    ("decimal", "right"),
    ("binary", "right"),
    ("hex", "right"),
    ("was", "right"),
    ("why", "left"),
    ("then you see", "left"),
)
"""Title and alignment of each column."""

UNKNOWN = "?"
NOTHING_TO_WRITE = "Nothing needs to be written: the decoder holds all of it already."
WIDTH = 78


def step_rows(steps: Iterable[Step]) -> list[tuple[str, ...]]:
    """One row of text for each write, in the columns of `HEADINGS`."""
    return [
        (
            str(number),
            str(step.cv),
            str(step.value),
            step.binary,
            step.hexadecimal,
            UNKNOWN if step.before is None else str(step.before),
            step.why,
            step.seen,
        )
        for number, step in enumerate(steps, start=1)
    ]


def plan_text(title: str, decoder: str, plan: Plan, compromises: Iterable[Compromise] = ()) -> str:
    """The plan as plain text for paper: cautions in their places, a box for each write."""
    return "\n".join(_lines(title, decoder, plan, list(compromises))) + "\n"


def _lines(title: str, decoder: str, plan: Plan, compromises: list[Compromise]) -> Iterator[str]:
    yield from (title, f"on {decoder}", "")
    if not plan.steps:
        yield NOTHING_TO_WRITE
    else:
        yield from _bullets("Before you write", CAUTIONS["before writing"])
        yield from _bullets("On the main", CAUTIONS["writing on the main"])
        yield from _bullets("Take note", plan.notes)
        yield from step_lines("Write, in this order", plan.steps)
        yield from _bullets("Afterwards", CAUTIONS["after writing"])
    yield from _bullets("What the decoder cannot do", map(str, compromises))
    if plan.steps:
        yield from step_lines("Restore list: back to what it held before", plan.restore)


def _bullets(heading: str, texts: Iterable[str]) -> Iterator[str]:
    texts = list(texts)
    if texts:
        yield heading
        for text in texts:
            yield from _wrapped("  - ", text)
        yield ""


def step_lines(heading: str, steps: Iterable[Step]) -> Iterator[str]:
    """A heading and a box to tick for each write, no line longer than `WIDTH`."""
    yield heading
    for number, cv, decimal, binary, hexadecimal, before, why, seen in step_rows(steps):
        yield ""
        yield f"  [ ] {number:>2}.  {cv} = {decimal}   {binary}   {hexadecimal}   was {before}"
        yield from _wrapped("           why:   ", why)
        yield from _wrapped("           then:  ", seen)
    yield ""


def _wrapped(start: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=start, subsequent_indent=" " * len(start),
        break_long_words=False,
    )  # fmt: skip
