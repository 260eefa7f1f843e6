"""Whether two descriptions say the same, by what their outputs do."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from typing import Final

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import Held, does
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.effect.patterns import PATTERNS, Pattern

COMBINATIONS: Final = 300
"""How many sets of values are tried, besides every value of every CV alone."""

WISHES: Final[tuple[Pattern | None, ...]] = (None, *(kind.model_validate({}) for kind in PATTERNS))
"""What is asked for in turn, as what a leaflet does not print is drawn as it is wished."""


def tried(leaflet: Leaflet) -> Iterator[dict[CvAddress, int]]:
    """Sets of allowed values: each alone, then many together. The same on every run.

    The function map of the standard is in the sets only: it is no part of a description.
    """
    for cv, cell in leaflet.cells.items():
        if not cell.standard:
            yield from ({cv: value} for value in cell.table)
    draw = random.Random(0)
    values = {cv: sorted(cell.table) for cv, cell in leaflet.cells.items()}
    for _ in range(COMBINATIONS):
        yield {cv: draw.choice(allowed) for cv, allowed in values.items()}


def difference(
    one: Leaflet, other: Leaflet, moved: Mapping[CvAddress, CvAddress] | None = None
) -> str | None:
    """The first thing in which the second differs from the first, in words; None if in nothing.

    moved : CVs of the first that are others in the second

    All delivered values, allowed values, outputs and limits are compared, and what every output
    does with each set of values of `tried`.
    """
    moved = moved or {}
    there = {moved.get(cv, cv): cell.delivered for cv, cell in one.cells.items()}
    if there != {cv: cell.delivered for cv, cell in other.cells.items()}:
        return "the values as delivered"
    if one.outputs_text != other.outputs_text:
        return "the outputs"
    for number, output in one.output.items():
        same = other.output[number]
        for name in ("wire", "limit_ma"):
            if getattr(output, name) != getattr(same, name):
                return f"the {name} of output {number}"
    if (one.limit_ma, one.pwm) != (other.limit_ma, other.pwm):
        return "the limit of all outputs, or how it dims"
    for cv, cell in one.cells.items():
        if cell.table.keys() != other.cells[moved.get(cv, cv)].table.keys():
            return f"the values that {cv} may hold"
    for at, held in enumerate(tried(one)):
        wish = WISHES[at % len(WISHES)]
        elsewhere = {moved.get(cv, cv): value for cv, value in held.items()}
        for number in one.output:
            concerned = len(held) > 1 or any(cell.cv in held for cell in one.concerned[number])
            if concerned and _does(one, number, held, wish) != _does(
                other, number, elsewhere, wish
            ):
                told = ", ".join(f"{cv} = {value}" for cv, value in held.items())
                return f"what output {number} does with {told}"
    return None


def _does(leaflet: Leaflet, number: int, held: Held, wish: Pattern | None) -> object:
    """All that can be seen of an output, and all that is not known of it."""
    it = does(leaflet, number, held, wish)
    name = None if it.look.dark else it.look.name
    lights = frozenset((frozenset(each.keys), each.conditions) for each in it.lights)
    return name, it.pattern, it.level, lights, it.own, it.rate_hz, it.dimmed, it.unknown
