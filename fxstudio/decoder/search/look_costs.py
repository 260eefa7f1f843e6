"""What is lost of the light that is wished of an output, for all codes that give it a light.

Levels, lowest brightnesses and rates are arrays; what else shapes a pattern, its effect and its
times, is gone through code by code, and each light that comes about is reckoned once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
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


Ends = tuple[Floats, Floats]
"""The highest and the lowest brightness of a light, 0..1, of one shape."""


@dataclass(frozen=True, eq=False)
class LightShape:
    """A light with all but its level, its lowest brightness and its rate.

    key : what tells it from others
    pattern : it, at full level
    effect : the name of its effect
    level : what it is multiplied by, one axis for each part that is an array
    lowest, rates : what parts that are arrays say; NaN for what is not known
    unknown : how many things of it are not known
    """

    key: Hashable
    pattern: Pattern
    effect: str
    level: Floats
    lowest: Floats | None
    rates: Floats
    unknown: int


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
    seen: dict[Hashable, tuple[Counts, Counts]] = field(default_factory=dict)
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
        said = Counter(name for _, _, part in slots for name in part.names)
        alone: dict[str, list[Choices]] = {"level": [], "lowest": [], "rate_hz": []}
        shapes: list[Choices] = []
        for row in rows:
            name = next(iter(row.part.names)) if len(row.part.names) == 1 else ""
            # Of several parts that say one thing the first counts: they are no arrays.
            several = name in ("lowest", "rate_hz") and said[name] > 1
            (shapes if name not in alone or several else alone[name]).append(row)
        lowest, rate = (next(iter(alone[name]), None) for name in ("lowest", "rate_hz"))
        return cls(leaflet, wish, slots, shapes, alone["level"], lowest, rate, held)

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
        shape = self.shape(codes)
        if shape.key not in self.seen:
            self.seen[shape.key] = self._reckoned(shape)
        return self.seen[shape.key]

    def shape(self, codes: Mapping[Variable, int]) -> LightShape:
        """The light that codes of the parts give which are no arrays."""
        joined = Joined.of(self.leaflet, self._said(codes))
        look, said = joined.look, joined.properties
        pattern, unknown = light_of(look, said, 1.0, self.wish.pattern)
        lowest = self._array(self.lowest, "lowest", look.name)
        rate = said.get("rate_hz", look.rate_hz) if look.flickers else None
        rates = self._array(self.rate, "rate_hz", look.name) if look.flickers else None
        if rates is None:
            rates = np.array([rate if isinstance(rate, float | int) else np.nan])
        silent = unknown.keys() - ({"lowest"} if lowest is not None else set())
        count = len(silent) + len(joined.unknown) + (look.flickers and bool(np.isnan(rates).any()))
        key = look.name, joined.level, pattern, frozenset(silent), frozenset(joined.unknown), rate
        return LightShape(
            key, pattern, look.name, self._level(joined.level, look.name), lowest, rates, count
        )

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

    def _reckoned(self, shape: LightShape) -> tuple[Counts, Counts]:
        ends = self.ends(shape)
        lost, unlike = self.compared(shape, ends)
        first, then = self.rules(shape, ends)
        one, other = np.broadcast_arrays(costs.lost(lost) + first, costs.nearness(unlike) + then)
        return one, other

    def ends(self, shape: LightShape, level: Floats | None = None) -> Ends:
        """The highest and lowest brightness, one axis for each level, then the lowest.

        level : in place of all levels, with as many axes
        """
        pattern, lowest = shape.pattern, shape.lowest
        brightest = pattern.brightest
        darkest = pattern.lowest if isinstance(pattern, Ranged) else brightest
        level = shape.level if level is None else level
        ends = np.stack([level * brightest, level * darkest])
        if self.lowest is not None:
            ends = np.repeat(ends[..., None], len(self.lowest.codes), axis=-1)
            if lowest is not None and isinstance(pattern, Ranged):
                share = np.where(np.isnan(lowest), darkest / (brightest or 1), lowest)
                ends[1] = ends[0] * share
        highest, low = in_levels(ends, self.leaflet.levels)
        return highest, low

    def compared(self, shape: LightShape, ends: Ends, times: float = 1.0) -> tuple[Floats, Floats]:
        """What is lost of the light that is wished, and how far brightness and rate are off.

        times : how many times as bright it is wished

        Both have the axes of `ends` and one for the rates, if there is a choice of them.
        """
        highest, low = ends
        wish, asked_hz = self.wish.dimmed(times), self.wish.rate_hz
        asked, looks = _of_wish(wish), Brightnesses.of(shape.pattern, highest, low)
        unlike = abs(highest - wish.brightest)
        if isinstance(wish, Ranged):
            unlike = unlike + abs(low - wish.lowest)
        rates = np.where(np.isnan(shape.rates), asked_hz, shape.rates)
        lost = [looks.lost(asked, asked_hz, float(hz)) for hz in rates]
        if self.rate is None:
            return lost[0], unlike
        octaves = abs(np.log2(rates / asked_hz)) if wish.flickers else np.zeros(len(rates))
        size = [*highest.shape, len(self.rate.codes)]
        both = np.stack(lost, axis=-1), unlike[..., None] + octaves
        return np.broadcast_to(both[0], size), np.broadcast_to(both[1], size)

    def rules(self, shape: LightShape, ends: Ends) -> tuple[Counts, Counts]:
        """Costs of light that is missing or wrong, and of another kind of pattern."""
        highest, low = ends
        wish, pattern = self.wish.pattern, shape.pattern
        standing = low if pattern.rests_at_lowest else highest
        strange = costs.strange(_strangeness(wish, pattern) + UNKNOWN * shape.unknown)
        flat = costs.strange(_strangeness(wish, Steady()))
        still = (highest == low) & isinstance(pattern, Ranged)
        first, then = (np.where(still, *each) for each in zip(flat, strange, strict=True))
        first = first + _rules(wish, highest, standing)
        return (first, then) if self.rate is None else (first[..., None], then[..., None])


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
