"""What it costs that keys, direction and motion light an output otherwise than is wished.

All states of the keys that matter are the bits of one whole number, so that conditions are
joined by its operators.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import prod
from typing import Final

import numpy as np

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart, Statement
from fxstudio.decoder.leaflet.evaluator import Lights, Permits, conditions_of, lights_of
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES
from fxstudio.decoder.values import costs
from fxstudio.decoder.values.choices import Choices, Variable, Wish
from fxstudio.decoder.values.least_sum import CostTable
from fxstudio.effect.gate import Way
from fxstudio.effect.keys import ALWAYS, sorted_keys

MOST_GATES: Final = 4096
"""Combinations of conditions of one output that are all looked at."""

Codes = Mapping[CvAddress, tuple[int, ...]]


def few_enough(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices]
) -> dict[Variable, Choices]:
    """The choices, so few of one output's conditions that all combinations can be looked at.

    The last codes are left out first: those that are held and delivered stand before others.
    """
    rows = {v: choices[v] for v in _slots(leaflet, wish) if v in choices}
    while prod(len(row.codes) for row in rows.values()) > MOST_GATES:
        widest = max(rows.values(), key=lambda row: len(row.codes))
        half = widest.codes[: (len(widest.codes) + 1) // 2]
        rows[widest.variable] = replace(widest, codes=half, exact=False)
    return {**choices, **rows}


def gate_table(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> CostTable:
    """Costs of one output's conditions."""
    slots = _slots(leaflet, wish)
    axes = [choices[variable] for variable in slots if variable in choices]
    fixed = {
        variable: _conditions(part.codes[held[variable[0]][variable[1]]])
        for variable, part in slots.items()
        if variable not in choices
    }
    says = {row.variable: [_conditions(row.said(code)) for code in row.codes] for row in axes}
    first = np.zeros([len(row.codes) for row in axes], np.int64)
    for at in np.ndindex(*first.shape):
        places = {row.variable: place for row, place in zip(axes, at, strict=True)}
        said = [
            each
            for variable in slots
            for each in (
                says[variable][places[variable]] if variable in places else fixed[variable]
            )
        ]
        first[at] = _cost(leaflet, wish, said)
    return CostTable(tuple(says), first, np.zeros_like(first))


def _slots(leaflet: Leaflet, wish: Wish) -> dict[Variable, CellPart]:
    """The parts that say when an output is lit, in order."""
    switches = (switch.name for switch in leaflet.lit_by[wish.number])
    who: set[int | str] = {wish.number, *switches}
    return {
        (cell.cv, at): part
        for cell in leaflet.concerned[wish.number]
        for at, part in enumerate(cell.parts)
        if _gates(part, wish.number, who)
    }


def _conditions(said: Iterable[Statement]) -> list[Statement]:
    return [each for each in said if not PROPERTIES[each.name].look]


def _gates(part: CellPart, number: int, who: set[int | str]) -> bool:
    """Whether a part says when an output is lit."""
    if part.names == {"lights"}:
        return any(each.value == number for said in part.codes.values() for each in said)
    return bool(part.who & who) and any(not PROPERTIES[name].look for name in part.names)


def _cost(leaflet: Leaflet, wish: Wish, said: Sequence[Statement]) -> int:
    own = conditions_of([each for each in said if each.who == wish.number])
    lights = list(lights_of(leaflet, wish.number, said))
    ways = wish.gate.ways
    keys = sorted_keys(
        {key for way in ways for key in way.keys}
        | {key for each in lights for key in each.keys if key != ALWAYS}
    )
    states = _States.of(keys)
    asked = _union(map(states.of_way, ways))
    seen = states.of_lights(lights, own)
    share = 1 / states.count
    missing, wrong = (asked & ~seen).bit_count() * share, (seen & ~asked).bit_count() * share
    return (
        bool(asked and not seen) * costs.OUT
        + costs.states(missing) * costs.MISSING
        + costs.states(wrong) * costs.WRONG
    )


def _union(masks: Iterable[int]) -> int:
    found = 0
    for mask in masks:
        found |= mask
    return found


class _States:
    """All states of some keys, direction and motion as bits of whole numbers."""

    def __init__(self, keys: tuple[str, ...]) -> None:
        self.count = 4 << len(keys)
        self.all = (1 << self.count) - 1
        bits = [self._every(at) for at in range(len(keys) + 2)]
        self._keys = dict(zip(keys, bits, strict=False))
        forward, moving = bits[-2:]
        self._travels = {"forward": forward, "reverse": self.all & ~forward}
        self._motions = {"moving": moving, "standing": self.all & ~moving}

    @staticmethod
    @lru_cache(maxsize=256)
    def of(keys: tuple[str, ...]) -> _States:
        """Those of some keys."""
        return _States(keys)

    def _every(self, at: int) -> int:
        """The states, by number, whose bit `at` is set."""
        half = 1 << at
        run = (1 << half) - 1 << half
        return run * (self.all // ((1 << 2 * half) - 1))

    def of_way(self, way: Way) -> int:
        """The states in which a way lights."""
        found = self.all
        for key in way.on:
            found &= self._keys[key]
        for key in way.off:
            found &= ~self._keys[key]
        if way.travel != "both":
            found &= self._travels[way.travel]
        return found if way.motion == "both" else found & self._motions[way.motion]

    def of_lights(self, lights: Iterable[Lights], own: Permits) -> int:
        """The states in which an output is lit."""
        found = _union(self._inverted(self._pressed(each.keys), each.conditions) for each in lights)
        return self._inverted(found, own)

    def _pressed(self, keys: Iterable[str]) -> int:
        return _union(self.all if key == ALWAYS else self._keys[key] for key in keys)

    def _inverted(self, found: int, by: Permits) -> int:
        if by.inverted:
            found = self.all & ~found
        found &= _union(self._travels[each] for each in by.directions)
        return found & _union(self._motions[each] for each in by.motions)
