"""What is lost of the light that is wished of an output, for all codes that give it a light.

Levels, lowest brightnesses and rates are arrays; what else shapes a pattern, its effect and its
times, is gone through code by code, and each light that comes about is reckoned once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from math import prod
from typing import Any, Final

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart, Statement
from fxstudio.decoder.leaflet.evaluator import Joined
from fxstudio.decoder.leaflet.looks import in_levels, light_of
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES
from fxstudio.decoder.search import costs
from fxstudio.decoder.search.choices import Choices, Variable, Wish
from fxstudio.decoder.search.least_sum import MOST_TRIED, CostTable, Counts
from fxstudio.effect.patterns import Pattern, Ranged, Steady
from fxstudio.light.brightnesses import Brightnesses

UNKNOWN: Final = 0.02
"""What each thing that the leaflet does not say takes from a likeness in kind."""

OTHER_KIND: Final = 1.5
"""How far a pattern of another kind is; one of the same kind is nearer than 1."""

ROUGH: Final = 20
"""Brightnesses of a rough look at many."""

NEARLY: Final = 0.1
"""By how much a rough look at a light may be worse than a close one."""

Codes = Mapping[CvAddress, tuple[int, ...]]
Slot = tuple[CvAddress, int, CellPart]


@dataclass(frozen=True, eq=False)
class LookTable:
    """Costs of one output's light."""

    leaflet: Leaflet
    wish: Wish
    slots: Sequence[Slot]
    shapes: Sequence[Choices]
    levels: Sequence[Choices]
    lowest: Choices | None
    rate: Choices | None
    held: Codes
    seen: dict[object, tuple[Counts, Counts]] = field(default_factory=dict)
    arrays: dict[object, Floats | None] = field(default_factory=dict)

    @classmethod
    def of(
        cls, leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
    ) -> LookTable:
        """That of one output."""
        slots = [
            (cell.cv, at, part)
            for cell in leaflet.concerned[wish.number]
            for at, part in enumerate(cell.parts)
            if wish.number in part.who and not part.only_while and _looks(part)
        ]
        rows = [row for cv, at, _ in slots if (row := choices.get((cv, at)))]
        alone: dict[str, list[Choices]] = {"level": [], "lowest": [], "rate_hz": []}
        shapes: list[Choices] = []
        for row in rows:
            name = next(iter(row.part.names)) if len(row.part.names) == 1 else ""
            several = name in ("lowest", "rate_hz") and alone[name]
            (shapes if name not in alone or several else alone[name]).append(row)
        lowest, rate = (next(iter(alone[name]), None) for name in ("lowest", "rate_hz"))
        return cls(leaflet, wish, slots, shapes, alone["level"], lowest, rate, held)

    @cached_property
    def asked(self) -> Brightnesses:
        """The light that is wished."""
        return _of_wish(self.wish.pattern)

    @property
    def axes(self) -> list[Choices]:
        """The parts that shape the light."""
        return [*self.shapes, *self.levels, *filter(None, (self.lowest, self.rate))]

    def hopeful(self, rows: Iterable[Choices]) -> dict[Variable, set[int]]:
        """The best codes of some parts, for each shape of the light that may be the best."""
        table, count = self.table(), prod(len(row.codes) for row in self.shapes)
        shape = table.first.shape[len(self.shapes) :]
        first, then = (each.reshape(count, -1) for each in (table.first, table.then))
        least = first.min(axis=1)
        places = [
            np.unravel_index(int(np.lexsort((then[at], first[at]))[0]), shape)
            for at in np.flatnonzero(least <= least.min() + NEARLY * costs.LOST)
        ]
        rest = self.axes[len(self.shapes) :]
        axis = {row.variable: at for at, row in enumerate(rest)}
        return {
            row.variable: {row.codes[place[axis[row.variable]]] for place in places} for row in rows
        }

    def table(self) -> CostTable:
        """Costs over all codes of the parts that shape the light."""
        axes = self.axes
        shape = [len(row.codes) for row in axes]
        first, then = np.zeros(shape, np.int64), np.zeros(shape, np.int64)
        ranges = [range(len(row.codes)) for row in self.shapes]
        for at in product(*ranges):
            codes = {
                row.variable: row.codes[place] for row, place in zip(self.shapes, at, strict=True)
            }
            first[at], then[at] = self._costs(codes)
        return CostTable(tuple(row.variable for row in axes), first, then)

    def _costs(self, codes: Mapping[Variable, int]) -> tuple[Counts, Counts]:
        """Costs over levels, lowest brightnesses and rates, for one shape of the light."""
        joined = Joined.of(self.leaflet, self._said(codes))
        look, said = joined.look, joined.properties
        pattern, unknown = light_of(look, said, 1.0, self.wish.pattern)
        rate = said.get("rate_hz", look.rate_hz) if look.flickers else None
        silent = frozenset(unknown) | frozenset(joined.unknown)
        key = look.name, joined.level, pattern, silent, rate
        if key not in self.seen:
            self.seen[key] = self._light_costs(joined, pattern, unknown)
        return self.seen[key]

    def _light_costs(
        self, joined: Joined, pattern: Pattern, unknown: Mapping[str, object]
    ) -> tuple[Counts, Counts]:
        look = joined.look
        level = self._level(joined.level, look.name)
        lowest = self._array(self.lowest, "lowest", look.name)
        rates = self._array(self.rate, "rate_hz", look.name) if look.flickers else None
        if rates is None:
            rate = joined.properties.get("rate_hz", look.rate_hz)
            known = isinstance(rate, float | int)
            rates = np.array([rate if known else np.nan])
        silent = unknown.keys() - ({"lowest"} if lowest is not None else set())
        count = len(silent) + len(joined.unknown) + (look.flickers and bool(np.isnan(rates).any()))
        return self._reckoned(pattern, level, lowest, rates, count)

    def _said(self, codes: Mapping[Variable, int]) -> list[Statement]:
        """All that is said of the output, levels that are arrays left aside."""
        arrays = {row.variable for row in self.levels}
        said: list[Statement] = []
        for cv, at, part in self.slots:
            if (cv, at) not in arrays:
                row = codes.get((cv, at))
                code = self.held[cv][at] if row is None else row
                said += (each for each in part.codes[code] if each.who == self.wish.number)
        return said

    def _level(self, fixed: float, effect: str) -> Floats:
        """The product of all levels, one axis each."""
        found: Floats = np.array(fixed)
        for row in self.levels:
            values = self._array(row, "level", effect)
            ones = np.ones(len(row.codes)) if values is None else values
            found = found[..., None] * ones
        return found

    def _array(self, row: Choices | None, name: str, effect: str) -> Floats | None:
        """What each code of a part says, NaN for what is not known; None if it does not count."""
        if row is None:
            return None
        key = row.variable, name, effect
        if key not in self.arrays:
            self.arrays[key] = self._said_by(row, name, effect)
        return self.arrays[key]

    def _said_by(self, row: Choices, name: str, effect: str) -> Floats | None:
        values = [
            next(
                (
                    each.value if isinstance(each.value, float) else np.nan
                    for each in row.said(code)
                    if each.who == self.wish.number
                    and each.name == name
                    and (each.effects is None or effect in each.effects)
                ),
                None,
            )
            for code in row.codes
        ]
        if all(value is None for value in values):
            return None
        neutral = 1.0 if name == "level" else np.nan
        found: Floats = np.array([neutral if value is None else value for value in values])
        return np.nan_to_num(found, nan=1.0) if name == "level" else found

    def _reckoned(
        self,
        pattern: Pattern,
        level: Floats,
        lowest: Floats | None,
        rates: Floats,
        unknown: int,
    ) -> tuple[Counts, Counts]:
        levels = self.leaflet.levels
        wish, asked_hz = self.wish.pattern, self.wish.rate_hz
        brightest = pattern.brightest
        darkest = pattern.lowest if isinstance(pattern, Ranged) else brightest
        ends = np.stack([level * brightest, level * darkest])
        if self.lowest is not None:
            ends = np.repeat(ends[..., None], len(self.lowest.codes), axis=-1)
            if lowest is not None and isinstance(pattern, Ranged):
                share = np.where(np.isnan(lowest), darkest / (brightest or 1), lowest)
                ends[1] = ends[0] * share
        highest, low = in_levels(ends, levels)
        looks = Brightnesses.of(pattern, highest, low)
        asked = self.asked
        lost = [
            looks.lost(asked, asked_hz, asked_hz if np.isnan(hz) else float(hz)) for hz in rates
        ]
        share = np.stack(lost, axis=-1) if self.rate is not None else lost[0]
        standing = low if pattern.rests_at_lowest else highest
        first = costs.lost(share)
        rules = _rules(wish, highest, standing)
        unlike = abs(highest - wish.brightest)
        if isinstance(wish, Ranged):
            unlike = unlike + abs(low - wish.lowest)
        if self.rate is not None:
            known = np.where(np.isnan(rates), asked_hz, rates)
            octaves = abs(np.log2(known / asked_hz)) if wish.flickers else np.zeros(len(rates))
            rules, unlike = rules[..., None], unlike[..., None] + octaves
        then = costs.nearness(unlike)
        strange = costs.strange(_strangeness(wish, pattern) + UNKNOWN * unknown)
        flat = costs.strange(_strangeness(wish, Steady()))
        still = (highest == low) & isinstance(pattern, Ranged)
        still = still if self.rate is None else still[..., None]
        one, other = (np.where(still, *each) for each in zip(flat, strange, strict=True))
        first, then = np.broadcast_arrays(first + rules + one, then + other)
        size = len(self.rate.codes) if self.rate is not None else 1
        if self.rate is not None and first.shape[-1] != size:
            first, then = (np.repeat(each, size, axis=-1) for each in (first, then))
        return first, then


def few_lights(
    leaflet: Leaflet, wishes: Sequence[Wish], choices: Mapping[Variable, Choices], held: Codes
) -> dict[Variable, Choices]:
    """The choices, with so few brightnesses that all lights of an output can be reckoned.

    Where there are more, a rough look at all of them shows which are worth a close one.
    """
    kept: dict[Variable, set[int]] = {}
    whole: set[Variable] = set()
    for wish in wishes:
        table = LookTable.of(leaflet, wish, choices, held)
        ends = [*table.levels, *filter(None, [table.lowest])]
        if prod(len(row.codes) for row in table.axes) <= MOST_TRIED:
            whole |= {row.variable for row in ends}
            continue
        rough = {row.variable: replace(row, codes=_spread_out(row)) for row in ends}
        close = LookTable.of(leaflet, wish, {**choices, **rough}, held).hopeful(rough.values())
        for row in ends:
            kept.setdefault(row.variable, set()).update(
                rough[row.variable].codes, _around(row, rough[row.variable], close[row.variable])
            )
    return {
        variable: replace(
            row, codes=tuple(code for code in row.codes if code in kept[variable]), exact=False
        )
        if variable in kept.keys() - whole
        else row
        for variable, row in choices.items()
    }


def _spread_out(row: Choices) -> tuple[int, ...]:
    """Some codes of a part: those held and delivered, and of the rest fewer where it is bright.

    Lightness goes with the cube root of light, and most leaflets count in even steps of light.
    """
    rest = sorted(row.codes)
    places = {round((len(rest) - 1) * (at / ROUGH) ** 3) for at in range(ROUGH + 1)}
    found = {*row.codes[:2], *(rest[at] for at in places)}
    return tuple(code for code in row.codes if code in found)


def _around(row: Choices, rough: Choices, best: Iterable[int]) -> set[int]:
    """The codes between the neighbours of each of `best` among the rough ones."""
    order, found = sorted(rough.codes), set[int]()
    for code in best:
        at = order.index(code)
        low, high = order[max(at - 1, 0)], order[min(at + 1, len(order) - 1)]
        found |= {each for each in row.codes if low <= each <= high}
    return found


def _rules(wish: Pattern, highest: Floats, standing: Floats) -> Counts:
    """Costs of light that is missing, and of light that should not be."""
    if wish.is_dark:
        return (highest > 0) * np.int64(costs.STATES * costs.WRONG)
    half = costs.states(costs.HALF_OF_ALL_STATES)
    missing = (standing == 0) & (not wish.is_dark_standing)
    extra = (standing > 0) & wish.is_dark_standing
    found: Counts = (
        (highest == 0) * np.int64(costs.OUT)
        + missing * np.int64(half * costs.MISSING)
        + extra * np.int64(half * costs.WRONG)
    )
    return found


def _of_wish(wish: Pattern) -> Brightnesses:
    low = wish.lowest if isinstance(wish, Ranged) else wish.brightest
    return Brightnesses.of(wish, np.array(wish.brightest), np.array(low))


def _looks(part: CellPart) -> bool:
    return any(PROPERTIES[name].look for name in part.names)


def _strangeness(asked: Pattern, pattern: Pattern) -> float:
    """How far a pattern is from `asked` in kind, style and times; brightness left aside.

    One that moves between two equal brightnesses is a steady light.
    """
    if isinstance(asked, Ranged) and asked.lowest == asked.highest:
        asked = Steady()
    if type(asked) is not type(pattern):
        return OTHER_KIND
    distance = 0.0
    for name in type(asked).model_fields:
        if name in ("kind", "level", "lowest", "highest"):
            continue
        wish: Any = getattr(asked, name)
        has: Any = getattr(pattern, name)
        if isinstance(wish, str):
            distance += wish != has
        elif wish != has:
            distance += abs(wish - has) / max(abs(wish), abs(has))
    return distance / (1 + distance)
