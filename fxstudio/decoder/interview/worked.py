"""Worked examples: what a value of the description so far means, in plain words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from fxstudio.decoder.leaflet.cells import Cell, Statement, Who
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import property_words

MOST_EXAMPLES: Final = 3


def own_cells(leaflet: Leaflet) -> list[Cell]:
    """The cells that its rows give, in order, without those of the standard."""
    return [cell for cell in leaflet.cells.values() if not cell.standard]


def examples_of(leaflet: Leaflet, cells: Sequence[Cell], whose: Sequence[str]) -> tuple[str, ...]:
    """Three values in words: one as delivered first, each of another cell where there are some.

    whose : of each cell, whom it serves
    """
    told: dict[str, None] = {}
    for at, place in enumerate((0, len(cells) // 2, len(cells) - 1)):
        cell, label = cells[place], whose[place]
        values = sorted(cell.table)
        likely = (cell.supposed, values[len(values) // 2], values[-1])
        for value in dict.fromkeys((*likely[at:], *values[:MOST_EXAMPLES])):
            words = example(leaflet, cell, label, value)
            if words not in told:
                told[words] = None
                break
    return tuple(told)


def example(leaflet: Leaflet, cell: Cell, label: str, value: int) -> str:
    """`So 12 = 2 + 5 x 2 on CV 117, violet, means: random flicker, reverse only.`"""
    total = cell.sum_words(cell.table[value])
    number = f"{value} = {total}" if len(cell.parts) > 1 and total != str(value) else str(value)
    of = f", {label}," if label else ""
    return f"So {number} on CV {cell.cv.number}{of} means: {value_words(leaflet, cell, value)}."


def value_words(leaflet: Leaflet, cell: Cell, value: int) -> str:
    """What a value says: `green and violet: level 40 %; brown: level 20 %`."""
    said: dict[Who, list[str]] = {}
    for each in cell.statements(value):
        said.setdefault(each.who, []).append(_words(leaflet, each))
    alike: dict[tuple[str, ...], list[str]] = {}
    for who, words in said.items():
        name = leaflet.output[who].name if isinstance(who, int) else who
        alike.setdefault(tuple(dict.fromkeys(words)), []).append(name)
    everyone = {who for part in cell.parts for who in part.who}
    if len(alike) == 1 and len(said) == len(everyone):
        return ", ".join(next(iter(alike)))
    told = (f"{' and '.join(names)}: {', '.join(words)}" for words, names in alike.items())
    return "; ".join(told) or "nothing"


def _words(leaflet: Leaflet, said: Statement) -> str:
    if said.name == "lights" and isinstance(said.value, int):
        return f"lights {leaflet.output[said.value].name}"
    words = property_words(said.name, said.value)
    if said.effects and said.name != "effect":
        words += f" for {' and '.join(sorted(said.effects))}"
    return words + (f" while {said.key} is on" if said.key else "")


_SHARE_WORDS: Final = {"100 %": "full brightest", "0 %": "dark off", "50 %": "half"}
_SMALL = re.compile(r"\b(?:for|in|is|means|and|of|the|with|on|at|only|a|an|output|both)\b")


def words_not_said(typed: str, said: str) -> list[str]:
    """The words of what a leaflet says that are not in what is read."""
    plain = said.lower()
    plain += "".join(f" {word}" for share, word in _SHARE_WORDS.items() if f" {share}" in plain)
    return [
        word
        for word in re.findall(r"[a-z]{3,}", _SMALL.sub(" ", typed.lower()))
        if word not in plain
    ]
