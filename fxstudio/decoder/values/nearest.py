"""The codes of an output that come nearest to what a lamp shall do."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Bools, Floats
from fxstudio.dcc.function_map import DIRECTIONS, Directions, MapRow
from fxstudio.decoder.description.fields import ShareField
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.decode import brightness, ends
from fxstudio.effect.model import Pattern
from fxstudio.effect.patterns import Ranged
from fxstudio.light.brightnesses import Brightnesses

UNSEEN = 0.01
"""Share of a look whose loss nobody sees, as `suit` tells it: then the kind of pattern decides."""

ALIKE = 4
"""Decimals of what is lost that count; a smaller difference is within how it is reckoned."""

Codes = dict[str, int]
"""Codes by name of the field."""


def nearest_look(
    asked: Pattern, asked_hz: float, shared_hz: float, index: int, description: Description
) -> tuple[Codes, bool]:
    """Codes of effect, level and lowest that lose least of `asked`, and whether they are dark.

    `asked_hz` is the rate at which it shall flicker, `shared_hz` what all lamps shall have.

    All combinations are compared by the measure of `light.likeness`. Before it counts that the
    lamp shines where it shall, moving and standing, and then that it is dark where it shall be.
    Among equals the pattern that is most alike goes first, then the brightness, then what is as
    delivered.
    """
    meanings, scales = description.effect.meanings, description.scales
    levels, lowest = (
        tuple(each for _, each in _in_order(scales[n])) if n in scales else None
        for n in ("level", "lowest")
    )
    wish = _Offer.of(asked, *ends(asked))
    seen_hz = _nearest_hz(shared_hz, description)
    best: tuple[tuple[float, ...], Codes, bool] = ((np.inf,), {}, True)
    effects = description.effect.codes_works_first(index)
    for effect in sorted(effects, key=lambda code: _strangeness(asked, meanings[code])):
        pattern = meanings[effect]
        offer = _offer(pattern, levels, lowest, description.pwm.levels)
        left, found = offer.nearest(wish, asked_hz, seen_hz)
        rank = (*found[:-1], *_strangeness(asked, pattern), found[-1])
        if rank < best[0]:
            used = {n: f for n, f in scales.items() if n == "level" or isinstance(pattern, Ranged)}
            codes = {"effect": effect} | _least_change(left, used, index)
            best = rank, codes, not offer.shines[:, left].any()
        if not any(found):
            break  # just as asked, and those to come are no less strange
    return best[1], best[2]


def nearest_gate(
    asked: Directions, rows: Collection[MapRow], index: int, description: Description
) -> tuple[Codes, Directions]:
    """Codes of the fields that gate by travel, and the directions in which the lamp is then lit.

    A lamp that shall shine does not go out altogether. Then a direction in which it shall shine
    is given up last, and before that one in which it shall be dark; among equals the fields say
    just what is seen, and change as little as possible. `rows` are those of the function map
    that switch it.
    """
    gates = description.gates
    switched = DIRECTIONS[description.outputs[index].travel]
    if description.map_rows:
        switched = frozenset[str]().union(*(DIRECTIONS[row.travel] for row in rows))

    def permitted(codes: tuple[int, ...]) -> Directions:
        said = (gate.meanings[code] for code, gate in zip(codes, gates.values(), strict=True))
        return DIRECTIONS["both"].intersection(*said)

    def misfit(codes: tuple[int, ...]) -> tuple[int, ...]:
        seen = switched & permitted(codes)
        goes_out = bool(asked) and not seen
        return goes_out, len(asked - seen), len(seen - asked), len(permitted(codes) ^ seen)

    choices = product(*(gate.codes_works_first(index) for gate in gates.values()))
    codes = min(choices, key=misfit)
    return dict(zip(gates, codes, strict=True)), switched & permitted(codes)


def _nearest_hz(rate_hz: float, description: Description) -> float:
    rate = description.rate
    return rate.fixed_hz or rate.hz(rate.nearest(rate_hz))


@dataclass(frozen=True)
class _Offer:
    """Brightnesses of one pattern, [level codes, lowest codes]; 1 where there are none.

    shines : [2, level codes, lowest codes], whether it gives light moving, and standing
    """

    highest: Floats
    lowest: Floats
    looks: Brightnesses
    shines: Bools

    @classmethod
    def of(cls, pattern: Pattern, highest: ArrayLike, lowest: ArrayLike | None) -> _Offer:
        """`lowest` is None for a pattern that has only one brightness."""
        highest = np.atleast_2d(highest)
        highest, lowest = np.broadcast_arrays(highest, highest if lowest is None else lowest)
        standing = lowest if pattern.rests_at_lowest else highest
        looks = Brightnesses.of(pattern, highest, lowest)
        return cls(highest, lowest, looks, np.stack([highest, standing]) > 0)

    def nearest(self, wish: _Offer, rate_hz: float, seen_hz: float) -> tuple[Bools, list[float]]:
        """The combinations that come nearest to `wish`, and how far they are from it.

        One thing after the other: light that is missing, light that should not be, what is lost
        of the look, brightness.
        """
        lost = self.looks.lost(wish.looks, rate_hz, seen_hz)
        distances = (
            (wish.shines & ~self.shines).sum(axis=0),
            (~wish.shines & self.shines).sum(axis=0),
            np.where(lost < UNSEEN, 0.0, np.round(lost, ALIKE)),
            np.round(abs(self.highest - wish.highest) + abs(self.lowest - wish.lowest), 9),
        )
        left, found = np.ones(self.highest.shape, bool), list[float]()
        for distance in distances:
            found.append(float(distance[left].min()))
            left &= distance == found[-1]
        return left, found


@lru_cache(maxsize=32)
def _offer(
    pattern: Pattern,
    levels: tuple[float, ...] | None,
    lowest: tuple[float, ...] | None,
    pwm_levels: int,
) -> _Offer:
    """All that one effect code offers with the shares of its level and lowest codes."""
    level = np.array(levels or (1.0,))[:, None]
    darkest = None if lowest is None else np.array(lowest)
    return _Offer.of(pattern, *brightness(pattern, level, darkest, pwm_levels))


def _in_order(scale: ShareField) -> list[tuple[int, float]]:
    return sorted(scale.meanings.items())


def _least_change(left: Bools, scales: dict[str, ShareField], index: int) -> Codes:
    """Of the combinations that are left, the first with the codes as delivered before others."""
    axes = {name: axis for axis, name in enumerate(("level", "lowest"))}
    orders = {
        n: {code: at for at, code in enumerate(f.codes_works_first(index))}
        for n, f in scales.items()
    }
    choices = (
        {n: _in_order(f)[at[axes[n]]][0] for n, f in scales.items()} for at in np.argwhere(left)
    )
    return min(choices, key=lambda codes: [orders[n][code] for n, code in codes.items()])


def _strangeness(asked: Pattern, pattern: Pattern) -> tuple[bool, float]:
    """How far a pattern is from `asked` in kind, style and times; brightness left aside."""
    if type(asked) is not type(pattern):
        return True, 0.0
    distance = 0.0
    for name in type(asked).model_fields:
        if name in ("kind", "level", "lowest", "highest"):
            continue
        wish, has = getattr(asked, name), getattr(pattern, name)
        if isinstance(wish, str):
            distance += wish != has
        elif wish != has:
            distance += abs(wish - has) / max(abs(wish), abs(has))
    return False, distance
