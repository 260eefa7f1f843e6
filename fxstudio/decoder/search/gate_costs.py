"""What it costs that keys, direction and motion light an output otherwise than is wished.

All states of the keys that matter are the bits of one whole number, so that conditions are
joined by its operators.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, product
from math import prod
from typing import Final, NamedTuple

import numpy as np

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart, Statement
from fxstudio.decoder.leaflet.evaluator import Lights, Permits, conditions_of, lights_of
from fxstudio.decoder.leaflet.looks import in_levels
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES
from fxstudio.decoder.search import costs
from fxstudio.decoder.search.choices import Choices, Variable, Wish
from fxstudio.decoder.search.least_sum import CostTable, Counts
from fxstudio.effect.gate import Way
from fxstudio.effect.keys import ALWAYS, sorted_keys

MOST_GATES: Final = 4096
"""Combinations of conditions of one output that are all looked at."""

Codes = Mapping[CvAddress, tuple[int, ...]]
Conditions = tuple[Statement, ...]


def few_enough(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> dict[Variable, Choices]:
    """The choices, so few of one output's conditions that all combinations can be looked at.

    The last codes are left out first: those that are held and delivered stand before others.
    """
    slots = _slots(leaflet, wish, choices, held)
    axes = {v: _Axis.of(leaflet, wish, choices[v]) for v in slots if v in choices}
    while prod(len(axis.conditions) for axis in axes.values()) > MOST_GATES:
        widest = max(axes.values(), key=lambda axis: len(axis.conditions)).row
        half = widest.codes[: (len(widest.codes) + 1) // 2]
        fewer = replace(widest, codes=half, exact=False)
        axes[widest.variable] = _Axis.of(leaflet, wish, fewer)
    return {**choices, **{variable: axis.row for variable, axis in axes.items()}}


def gate_table(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> CostTable:
    """Costs of one output's conditions."""
    axes, places, gates = gates_of(leaflet, wish, choices, held)
    first = np.array([gate.lighting(wish, gate.out).cost for gate in gates], np.int64)[places]
    return CostTable(axes, first, np.zeros_like(first))


def gates_of(
    leaflet: Leaflet,
    wish: Wish,
    choices: Mapping[Variable, Choices],
    held: Codes,
    *,
    dims: bool = True,
) -> tuple[tuple[Variable, ...], Counts, list[Gating]]:
    """The parts that say when an output is lit, and all that they can say together.

    dims : whether levels while keys are on are among them, as keys that put it out

    The second gives the place in the third for each combination of codes, one axis for each part.
    """
    slots = {
        variable: part
        for variable, part in _slots(leaflet, wish, choices, held).items()
        if dims or not part.only_while
    }
    axes = {v: _Axis.of(leaflet, wish, choices[v]) for v in slots if v in choices}
    says = {
        variable: axes[variable].conditions
        if variable in axes
        else [_conditions(leaflet, wish, part.codes[held[variable[0]][variable[1]]])]
        for variable, part in slots.items()
    }
    found: dict[Gating, int] = {}
    each = [
        found.setdefault(Gating.of(leaflet, wish, [one for row in said for one in row]), len(found))
        for said in product(*says.values())
    ]
    places = np.array(each, np.int64).reshape([len(axis.conditions) for axis in axes.values()])
    for at, axis in enumerate(axes.values()):
        places = places.take(axis.places, at)
    return tuple(axes), places, list(found)


class Lighting(NamedTuple):
    """How an output is lit, beside what is wished.

    cost : of states in which it is dark or lit and shall not be
    shares : of the states in which it is lit as it shall be, the share in which just some of the
        keys are on that make a difference to its brightness; none if there are no such states
    """

    cost: int
    shares: tuple[tuple[frozenset[str], float], ...]


@dataclass(frozen=True)
class Gating:
    """When an output is lit.

    lights, own : what lights it, and its own conditions
    out : keys that put it out
    """

    lights: tuple[Lights, ...]
    own: Permits
    out: tuple[tuple[str, bool], ...] = ()

    @classmethod
    def of(cls, leaflet: Leaflet, wish: Wish, said: Sequence[Statement]) -> Gating:
        """What is said of it."""
        own = conditions_of([each for each in said if each.who == wish.number])
        out = dict.fromkeys((each.key, False) for each in said if each.key)
        lights = lights_of(leaflet, wish.number, said)
        known = tuple(each.with_key(wish.lamp.key) for each in lights)
        return cls(known, own, tuple(out))

    def lighting(
        self, wish: Wish, dims: Sequence[tuple[str, bool]], bright: bool = True
    ) -> Lighting:
        """How an output is lit.

        dims : keys that give it another level, and whether that is any light
        bright : whether it gives light while none of them is on
        """
        ways = wish.gate.ways
        dimming = {key for key, _ in dims} | wish.lamp.dims.times.keys()
        keys = {key for way in ways for key in way.keys} | dimming
        keys |= {key for each in self.lights for key in each.keys if key != ALWAYS}
        states = _States.of(sorted_keys(keys))
        asked = _union(map(states.of_way, ways))
        lit = states.pressed(key for key, light in dims if light)
        if bright:
            lit |= states.all & ~states.pressed(key for key, _ in dims)
        lit &= ~states.pressed(key for key, light in dims if not light)
        seen = states.of_lights(self.lights, self.own) & lit
        both = asked & seen
        # Where its keys cannot be had it stays lit, in the directions and motion it asks for.
        kept = asked if both else _union(states.of_way(_without_keys(way)) for way in ways)
        missing, wrong = (each.bit_count() for each in (asked & ~seen, seen & ~kept))
        cost = (
            bool(asked and not seen) * costs.OUT
            + costs.states(missing / states.count) * costs.MISSING
            + costs.states(wrong / states.count) * costs.WRONG
        )
        shares = {
            on: (both & states.just(on, dimming)).bit_count() / both.bit_count()
            for on in (_subsets(dimming) if both else ())
        }
        return Lighting(cost, tuple(item for item in shares.items() if item[1]))


def _subsets(keys: Iterable[str]) -> Iterator[frozenset[str]]:
    ordered = sorted_keys(set(keys))
    for count in range(len(ordered) + 1):
        yield from map(frozenset, combinations(ordered, count))


@dataclass(frozen=True, eq=False)
class _Axis:
    """A part whose code may be chosen, with all conditions that its codes say.

    conditions : each once
    places : which of them each code says
    """

    row: Choices
    conditions: list[Conditions]
    places: list[int]

    @classmethod
    def of(cls, leaflet: Leaflet, wish: Wish, row: Choices) -> _Axis:
        said = [_conditions(leaflet, wish, row.said(code)) for code in row.codes]
        found = list(dict.fromkeys(said))
        return cls(row, found, [found.index(each) for each in said])


def _slots(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> dict[Variable, CellPart]:
    """The parts that say when an output is lit, in order; not those of what cannot light it."""
    own = {switch.name for switch in leaflet.lit_by[wish.number] if switch.lights is not None}
    by_cells = {
        str(each.who)
        for cell in leaflet.concerned[wish.number]
        for at, part in enumerate(cell.parts)
        if "lights" in part.names
        for code in _tried(choices, held, (cell.cv, at))
        for each in part.codes[code]
        if each.name == "lights" and each.value == wish.number
    }
    who: set[int | str] = {wish.number, *own, *by_cells}
    return {
        (cell.cv, at): part
        for cell in leaflet.concerned[wish.number]
        for at, part in enumerate(cell.parts)
        if _gates(part, wish.number, who)
    }


def _tried(choices: Mapping[Variable, Choices], held: Codes, variable: Variable) -> Iterable[int]:
    """The codes of a part that are tried."""
    cv, at = variable
    return choices[variable].codes if variable in choices else (held[cv][at],)


def _conditions(leaflet: Leaflet, wish: Wish, said: Iterable[Statement]) -> Conditions:
    """What is said of when an output is lit: also that a key puts it out."""
    return tuple(
        each
        for each in said
        if not PROPERTIES[each.name].look
        or (each.key and each.who == wish.number and _is_out(leaflet, each))
    )


def _is_out(leaflet: Leaflet, said: Statement) -> bool:
    return isinstance(said.value, float) and in_levels(said.value, leaflet.levels) == 0


def _gates(part: CellPart, number: int, who: set[int | str]) -> bool:
    """Whether a part says when an output is lit."""
    if part.names == {"lights"}:
        said = (each for row in part.codes.values() for each in row)
        return any(each.value == number and each.who in who for each in said)
    gates = any(not PROPERTIES[name].look for name in part.names) or part.only_while
    return bool(part.who & who) and gates


def _without_keys(way: Way) -> Way:
    return Way(travel=way.travel, motion=way.motion)


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
        found = _union(self._inverted(self.pressed(each.keys), each.conditions) for each in lights)
        return self._inverted(found, own)

    def just(self, on: Collection[str], of: Collection[str]) -> int:
        """The states in which of some keys just those are on."""
        found = self.all
        for key in of:
            found &= self._keys[key] if key in on else ~self._keys[key]
        return found

    def pressed(self, keys: Iterable[str]) -> int:
        """The states in which any of some keys is on."""
        return _union(self.all if key == ALWAYS else self._keys[key] for key in keys)

    def _inverted(self, found: int, by: Permits) -> int:
        if by.inverted:
            found = self.all & ~found
        found &= _union(self._travels[each] for each in by.directions)
        return found & _union(self._motions[each] for each in by.motions)
