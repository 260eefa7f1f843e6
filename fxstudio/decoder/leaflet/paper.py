"""A description printed back as a leaflet, in plain words, to hold against the paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from fxstudio.decoder.leaflet.cells import Cell, CellPart, is_silent
from fxstudio.decoder.leaflet.evaluator import runs_text
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.models import field_facts
from fxstudio.effect.keys import key_words

MOST_ROWS: Final = 16
"""A table of more codes than this shows the ends and some between."""


FIND_OUT: Final = "Count its changes in ten seconds, or compare it with films."


@dataclass(frozen=True)
class Paragraph:
    """What a leaflet says of one number that the decoder keeps.

    heading : which CVs, and of whom
    sum : how the value is made up; empty if it is one code
    tables : of each part its title, and rows of codes and what they say
    delivered : values as delivered
    examples : worked values: the value, its sum, and what it says
    """

    heading: str
    sum: str
    tables: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    delivered: str
    examples: tuple[tuple[int, str, str], ...]


def paragraphs(leaflet: Leaflet) -> Iterator[Paragraph]:
    """Each row of cells of a description as a paragraph; the standard's function map left out."""
    own = [cell for cell in leaflet.cells.values() if not cell.standard]
    for _, group in groupby(own, key=lambda cell: cell.row):
        yield _paragraph(list(group))


def not_known(leaflet: Leaflet) -> tuple[str, ...]:
    """What the leaflet leaves out, a sentence each, with how it can be found."""
    told: dict[str, None] = {}
    for cell, _, part in leaflet.parts():
        if is_silent(part):
            told[f"What the codes of {cell.cv} say: {part.title}. {FIND_OUT}"] = None
        if part.known == "guess":
            told[f"{part.title} in {cell.cv} is a guess. {FIND_OUT}"] = None
    said = {name for _, _, part in leaflet.parts() for name in part.names}
    if said & {"on_s", "off_s"}:
        said |= {"on_share"}
    for look in leaflet.looks.values():
        for name in sorted(look.unknown - said):
            told[f"{look.name}: {field_facts(look.pattern)[name].words}. Watch the lamp."] = None
        if look.flickers and look.rate_hz is None and "rate_hz" not in said:
            told[f"{look.name}: how fast it is. {FIND_OUT}"] = None
    return tuple(told)


def output_lines(leaflet: Leaflet) -> Iterator[tuple[str, str, str, str]]:
    """Of each output its number, name, wire and key, and what it may carry."""
    for output in leaflet.outputs:
        keys = ", ".join(
            "set by a CV" if switch.key is None else key_words(switch.key)
            for switch in leaflet.lit_by[output.number][:3]
        )
        more = " ..." if len(leaflet.lit_by[output.number]) > 3 else ""
        limit = f"{output.limit_ma:g} mA" if output.limit_ma else "not printed"
        name = output.title if not output.wire else f"{output.title}, {output.wire} wire"
        yield str(output.number), name, (keys or "none") + more, limit


def _paragraph(cells: Sequence[Cell]) -> Paragraph:
    first = cells[0]
    numbers = ", ".join(_named(cell, alone=len(cells) == 1) for cell in cells[:MOST_ROWS])
    parts = [part for part in first.parts if not part.others]
    tables = tuple((_heading(part, len(cells) > 1), tuple(_rows(part))) for part in parts)
    delivered = ", ".join(dict.fromkeys(str(cell.delivered) for cell in cells))
    examples = tuple(_examples(first)) if len(first.parts) > 1 else ()
    return Paragraph(numbers, _sum(first), tables, delivered, examples)


def _named(cell: Cell, alone: bool) -> str:
    """`CV114`, or with others of its kind `CV114 (white (output 1))`."""
    subjects = dict.fromkeys(
        part.title.rpartition(" of ")[2] for part in cell.parts if not part.others
    )
    return str(cell.cv) if alone or len(subjects) != 1 else f"{cell.cv} ({next(iter(subjects))})"


def _heading(part: CellPart, family: bool) -> str:
    """Its title; without of whom, where it stands for several alike."""
    return part.title.rpartition(" of ")[0] or part.title if family else part.title


def _sum(cell: Cell) -> str:
    if len(cell.parts) == 1 and cell.parts[0].times == 1 and not cell.offset:
        return ""
    told = [str(cell.offset)] if cell.offset else []
    for part in cell.parts:
        told.append(part.title if part.times == 1 else f"{part.times} x {part.title}")
    return "value = " + " + ".join(told)


def _rows(part: CellPart) -> Iterator[tuple[str, str]]:
    """Codes and what they say, runs that say the same as one row, some of many."""
    runs: list[tuple[list[int], str]] = []
    for code in part.codes:
        words = part.words(code)
        if runs and runs[-1][1] == words:
            runs[-1][0].append(code)
        else:
            runs.append(([code], words))
    if len(runs) > MOST_ROWS:
        step = (len(runs) - 1) / (MOST_ROWS // 2 - 1)
        runs = [runs[round(step * at)] for at in range(MOST_ROWS // 2)]
    for codes, words in runs:
        yield runs_text(codes), words


def _examples(cell: Cell) -> Iterator[tuple[int, str, str]]:
    """The delivered value and some others, with their sums in words."""
    values = sorted(cell.table)
    some = (cell.delivered, values[len(values) // 2], values[-1])
    for value in dict.fromkeys(some):
        words = ", ".join(
            f"{part.title}: {part.words(code)}" if len(cell.parts) > 3 else part.words(code)
            for part, code in cell.words(value)
        )
        yield value, cell.sum_words(cell.table[value]), words
