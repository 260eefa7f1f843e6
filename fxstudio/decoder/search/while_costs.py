"""What it costs that keys make an output brighter or darker otherwise than is wished."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.colour import lightness
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import Joined
from fxstudio.decoder.leaflet.looks import in_levels
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.search import costs
from fxstudio.decoder.search.choices import Choices, Variable, Wish
from fxstudio.decoder.search.costs import HALF_OF_ALL_STATES
from fxstudio.decoder.search.least_sum import CostTable, Counts
from fxstudio.light.likeness import ASSUMED_WEIGHTS

Codes = Mapping[CvAddress, tuple[int, ...]]


def while_tables(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> Iterator[CostTable]:
    """Costs of levels that count while a key is on, one table for each part."""
    for row in choices.values():
        if wish.number not in row.part.who or not row.part.only_while:
            continue
        said = [
            [
                (str(each.key), float(in_levels(each.value, leaflet.levels)))
                for each in row.said(code)
                if each.who == wish.number and isinstance(each.value, float)
            ]
            for code in row.codes
        ]
        if wish.pattern.is_dark:
            lit = [any(level for _, level in each) for each in said]
            yield _lit_while(leaflet, wish, choices, held, row, lit)
            continue
        dim, brightest = wish.lamp.dim, wish.pattern.brightest
        first_said = [each[0] if each else None for each in said]
        level = np.array([each[1] if each else 0.0 for each in first_said])
        asked = np.array([brightest * dim.get(each[0], 1.0) if each else 0 for each in first_said])
        yield CostTable((row.variable,), *_while(level, asked))


def _lit_while(
    leaflet: Leaflet,
    wish: Wish,
    choices: Mapping[Variable, Choices],
    held: Codes,
    row: Choices,
    lit: Sequence[bool],
) -> CostTable:
    """Costs of light while a key is on that shall never be: none if the effect gives no light."""
    slots = [
        (cell.cv, at, part)
        for cell in leaflet.concerned[wish.number]
        for at, part in enumerate(cell.parts)
        if wish.number in part.who and "effect" in part.names
    ]
    axes = [choices[cv, at] for cv, at, _ in slots if (cv, at) in choices]
    says = [
        [part.codes[code] for code in choices[cv, at].codes]
        if (cv, at) in choices
        else [part.codes[held[cv][at]]]
        for cv, at, part in slots
    ]
    shines = [
        not Joined.of(
            leaflet, [each for s in said for each in s if each.who == wish.number]
        ).look.dark
        for said in product(*says)
    ]
    shape = [len(each.codes) for each in axes]
    both = np.reshape(shines, [*shape, 1]) & np.array(lit)
    first = both * np.int64(costs.states(HALF_OF_ALL_STATES) * costs.WRONG)
    variables = (*(each.variable for each in axes), row.variable)
    return CostTable(variables, first, np.zeros_like(first))


def _while(level: Floats, asked: Floats) -> tuple[Counts, Counts]:
    """Costs of levels while a key is on; that one puts the lamp out is a condition of its gate."""
    both = (level > 0) & (asked > 0)
    share = abs(lightness(level) - lightness(asked)) * ASSUMED_WEIGHTS["level"]
    return (
        np.where(both, costs.lost(share * HALF_OF_ALL_STATES), 0),
        np.where(both, costs.nearness(abs(level - asked)), 0),
    )
