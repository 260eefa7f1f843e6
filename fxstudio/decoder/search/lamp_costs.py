"""Costs of one output whose light, levels while keys are on, and conditions hang together.

A key that gives another level changes what is lost of the light for as long as it is on, and may
put the lamp out or be all that makes it shine. A lamp that shall be dark is so by its light or by
its conditions, whichever is nearer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod

import numpy as np

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart, Statement
from fxstudio.decoder.leaflet.looks import in_levels
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.search import costs
from fxstudio.decoder.search.choices import Choices, Variable, Wish
from fxstudio.decoder.search.gate_costs import Gating, Lighting, gates_of
from fxstudio.decoder.search.least_sum import MOST_TRIED, CostTable, Counts
from fxstudio.decoder.search.look_costs import Ends, LightShape, LookTable

Codes = Mapping[CvAddress, tuple[int, ...]]
Slot = tuple[CvAddress, int, CellPart]


def hang_together(leaflet: Leaflet, wish: Wish) -> bool:
    """Whether what is lost of an output's light depends on when it is lit."""
    return wish.pattern.is_dark or bool(wish.lamp.dims.times) or any(dim_slots(leaflet, wish))


def dim_slots(leaflet: Leaflet, wish: Wish) -> Iterator[Slot]:
    """The parts that give an output levels while keys are on."""
    for cell in leaflet.concerned[wish.number]:
        for at, part in enumerate(cell.parts):
            if part.only_while and wish.number in part.who:
                yield cell.cv, at, part


def lamp_table(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], held: Codes
) -> CostTable | None:
    """Costs over all codes that concern an output; None if there are too many."""
    look = LookTable.of(leaflet, wish, choices, held)
    dims = list(dim_slots(leaflet, wish))
    levels = [choices[cv, at] for cv, at, _ in dims if (cv, at) in choices]
    variables, places, gates = gates_of(leaflet, wish, choices, held, dims=False)
    parts = [*look.axes, *levels]
    if prod(len(row.codes) for row in parts) * places.size > MOST_TRIED:
        return None
    said = [choices[cv, at].codes if (cv, at) in choices else (held[cv][at],) for cv, at, _ in dims]
    every = [
        [each for (_, _, part), code in zip(dims, codes, strict=True) for each in part.codes[code]]
        for codes in product(*said)
    ]
    blocks: dict[object, tuple[Counts, Counts]] = {}
    found = []
    for codes in product(*(row.codes for row in look.shapes)):
        shape = look.shape(
            {row.variable: code for row, code in zip(look.shapes, codes, strict=True)}
        )
        if shape.key not in blocks:
            lights = _Lights(look, shape)
            rows = [
                lights.costs(gates, tuple(_levels(wish, each, shape.effect).items()))
                for each in every
            ]
            firsts, thens = zip(*rows, strict=True)
            blocks[shape.key] = np.stack(firsts, axis=-2), np.stack(thens, axis=-2)
        found.append(blocks[shape.key])
    size = [len(row.codes) for row in parts]
    first, then = (
        np.stack(part).reshape([*size, len(gates)])[..., places]
        for part in zip(*found, strict=True)
    )
    axes = (*(row.variable for row in parts), *variables)
    return CostTable(axes, first, then)


def _levels(wish: Wish, said: Sequence[Statement], effect: str) -> dict[str, float]:
    """The level while each key is on; the first that is said counts."""
    return {
        str(each.key): each.value
        for each in reversed(said)
        if each.who == wish.number
        and isinstance(each.value, float)
        and (each.effects is None or effect in each.effects)
    }


@dataclass(frozen=True, eq=False)
class _Lights:
    """One shape of an output's light at all its levels."""

    look: LookTable
    shape: LightShape
    seen: dict[object, tuple[Counts, Counts]] = field(default_factory=dict)

    def costs(
        self, gates: Sequence[Gating], levels: tuple[tuple[str, float], ...]
    ) -> tuple[Counts, Counts]:
        """Costs with some levels while keys are on; the last axis is that of the gates."""
        found = [self._costs(gate, dict(levels)) for gate in gates]
        first, then = (np.stack(part, axis=-1) for part in zip(*found, strict=True))
        return first, then

    def _costs(self, gate: Gating, levels: Mapping[str, float]) -> tuple[Counts, Counts]:
        wish, brightest = self.look.wish, self.shape.pattern.brightest
        light = {
            key: in_levels(level * brightest, self.look.leaflet.levels) > 0
            for key, level in levels.items()
        }
        with_light, without = (
            self._lit(gate.lighting(wish, tuple(light.items()), bright), levels, bright)
            for bright in (True, False)
        )
        lit = self.look.ends(self.shape)[0] > 0
        if self.look.rate is not None:
            lit = lit[..., None]
        first, then = (
            np.where(lit, one, other) for one, other in zip(with_light, without, strict=True)
        )
        return first, then

    def _lit(
        self, lighting: Lighting, levels: Mapping[str, float], bright: bool
    ) -> tuple[Counts, Counts]:
        """Costs where it gives light while no key dims it, or where it does not."""
        key = lighting, tuple(levels.items()), bright
        if key not in self.seen:
            self.seen[key] = self._reckoned(lighting, levels, bright)
        return self.seen[key]

    def _reckoned(
        self, lighting: Lighting, levels: Mapping[str, float], bright: bool
    ) -> tuple[Counts, Counts]:
        look, shape, wish = self.look, self.shape, self.look.wish
        plain = None if bright else max(levels.values(), default=0.0)
        if wish.pattern.is_dark:
            wrong, by_conditions = lighting.cost, not lighting.cost and plain != 0
            wrong += (wrong > 0) * costs.LOST
            return self._of_size(np.array(wrong), np.array(by_conditions * costs.BY_CONDITIONS))
        lost = unlike = np.zeros(())
        for on, share in lighting.shares or ((frozenset(), 1.0),):
            dimmed = [level for key, level in levels.items() if key in on]
            ends = self._ends(plain)
            if dimmed:
                ends = self._dimmed(ends, min(dimmed))
            one, other = look.compared(shape, ends, _times(wish, on))
            lost, unlike = lost + share * one, unlike + share * other
        first, then = look.rules(shape, self._ends(plain))
        return self._of_size(
            first + costs.lost(lost) + lighting.cost, then + costs.nearness(unlike)
        )

    def _ends(self, level: float | None) -> Ends:
        whole = None if level is None else np.full((1,) * self.shape.level.ndim, level)
        return self.look.ends(self.shape, whole)

    def _dimmed(self, ends: Ends, level: float) -> Ends:
        """All of the light so many times as bright as the key makes it at its brightest."""
        bright = in_levels(level * self.shape.pattern.brightest, self.look.leaflet.levels)
        highest, low = ends
        times = np.divide(bright, highest, out=np.zeros_like(highest), where=highest > 0)
        return highest * times, low * times

    def _of_size(self, first: Counts, then: Counts) -> tuple[Counts, Counts]:
        """Both with the axes of levels, lowest brightnesses and rates."""
        rest = (self.look.lowest, self.look.rate)
        size = [len(row.codes) for row in (*self.look.levels, *rest) if row is not None]
        return np.broadcast_to(first, size), np.broadcast_to(then, size)


def _times(wish: Wish, on: frozenset[str]) -> float:
    """How many times as bright a lamp is wished while these keys are on."""
    return min((times for key, times in wish.lamp.dims.times.items() if key in on), default=1.0)
