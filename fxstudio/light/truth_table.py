"""Which lamps are lit by which key and travel, and how to prove it at the layout.

The truth table has one row for each key that is on alone, and one for none, in both directions.
For lamps of one key at most these rows say all. A lamp that minds several keys has more of them:
for each way that lights it, its keys on together, each of these off, and on with them each key
that puts it out or dims it. The test steps are the fewest that show every lamp with its key on and
off in both directions, and no lamp obeying a key of another one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from math import comb

import numpy as np

from fxstudio.arrays import Bools, Floats
from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.gate import Way
from fxstudio.effect.keys import KEYS, key_order, sorted_keys
from fxstudio.effect.model import Effect, Lamp

WAYS = (True, False)
"""Forward, and in reverse."""

STANDING = "A locomotive that stands keeps the direction last set, and so do its lamps."
"""Common practice: outputs follow the direction bit of the last speed packet."""

LIT, UNLIT = "lit", "-"

MOST_TRIES = 20_000
"""Assignments tried for one number of steps; far more than effects with a dozen keys need."""


@dataclass(frozen=True)
class TruthTable:
    """States and the lamps that are lit in them.

    lamps : names in the order of the effect
    states : key, direction and motion of each row
    lit : bool [states, lamps]
    times : how many times as bright as its pattern says each is made by keys, [states, lamps]
    """

    lamps: tuple[str, ...]
    states: tuple[Moment, ...]
    lit: Bools
    times: Floats

    def lit_in(self, row: int) -> tuple[str, ...]:
        """Names of the lamps that are lit in one row."""
        return tuple(name for name, on in zip(self.lamps, self.lit[row], strict=True) if on)

    def words(self, row: int) -> tuple[str, ...]:
        """Each lamp in one row: `lit`, `-`, or `lit, 0.3 times as bright`."""
        return tuple(
            UNLIT if not on else LIT if times == 1 else f"{LIT}, {times:g} times as bright"
            for on, times in zip(self.lit[row], self.times[row], strict=True)
        )

    def travel(self, state: Moment) -> str:
        """Direction of a state, and motion where a lamp minds it: `forward, moving`."""
        if not any(each.moving for each in self.states):
            return state.travel
        return f"{state.travel}, {'moving' if state.moving else 'standing'}"

    def rows(self) -> Iterator[tuple[Moment, tuple[str, ...]]]:
        """Each state with the lamps that are lit in it."""
        return ((state, self.lit_in(row)) for row, state in enumerate(self.states))


def table_of(effect: Effect, states: Sequence[Moment]) -> TruthTable:
    """Which lamps of `effect` are lit in each of `states`; one of no brightness never is."""
    trace = DriveTrace(
        forward=np.array([state.forward for state in states]),
        speed_kmh=np.array([float(state.moving) for state in states]),
        keys=np.array([[key in state.keys for key in KEYS] for state in states]),
    )
    lit = [lamp.shining.lit(trace) for lamp in effect.lamps.values()]
    times = [lamp.dims.at(trace) for lamp in effect.lamps.values()]
    return TruthTable(
        tuple(effect.lamps), tuple(states), np.stack(lit, axis=1), np.stack(times, axis=1)
    )


def truth_table(effect: Effect) -> TruthTable:
    """No key, each key of the effect alone, then keys together that matter to one lamp, each
    forward and in reverse.

    Where a lamp minds whether the locomotive moves, each standing and moving.
    """
    alone = [frozenset[str](), *(frozenset({key}) for key in effect.keys)]
    together = {keys for lamp in effect.lamps.values() for keys in _sets_of(lamp)}.difference(alone)
    sets = [
        *alone,
        *sorted(together, key=lambda keys: (len(keys), *map(key_order, sorted_keys(keys)))),
    ]
    return table_of(
        effect,
        [
            Moment(keys, forward, moving)
            for keys in sets
            for forward in WAYS
            for moving in _motions(effect)
        ],
    )


def lit_together(effect: Effect) -> list[frozenset[int]]:
    """Sets of outputs that are lit at one time, of which one holds whatever can be lit together.

    Ways that light lamps can all hold at once if each two of them can, so the sets are those of
    the largest groups of ways of which each meets all others. The first are lit forward, standing.
    """
    ways = list(dict.fromkeys(way for lamp in effect.lamps.values() for way in lamp.shining.ways))
    meets = {way: {each for each in ways if each != way and way.meets(each)} for way in ways}
    either = sorted({k for way in ways for k in way.on} & {k for way in ways for k in way.off})

    def order(group: frozenset[Way]) -> tuple[bool, ...]:
        off = {key for way in group for key in way.off}
        back = any(way.travel == "reverse" for way in group)
        runs = any(way.motion == "moving" for way in group)
        return (*(key in off for key in either), back, runs)

    return [
        frozenset(
            lamp.output for lamp in effect.lamps.values() if group.intersection(lamp.shining.ways)
        )
        for group in sorted(_largest_groups(meets), key=order)
    ]


def _largest_groups(meets: Mapping[Way, set[Way]]) -> Iterator[frozenset[Way]]:
    """All groups whose members each meet all others, and to which none could be added.

    Source: C. Bron, J. Kerbosch, "Finding all cliques of an undirected graph", Communications of
    the ACM 16 (1973), with the pivot of E. Tomita and others (2006), from memory.
    """

    def search(group: frozenset[Way], open_: set[Way], done: set[Way]) -> Iterator[frozenset[Way]]:
        if not open_ and not done:
            yield group
            return
        pivot = max([*open_, *done], key=lambda way: len(meets[way] & open_))
        for way in open_ - meets[pivot]:
            yield from search(group | {way}, open_ & meets[way], done & meets[way])
            open_, done = open_ - {way}, done | {way}

    return search(frozenset(), set(meets), set())


def proving_steps(effect: Effect) -> TruthTable:
    """The fewest states that prove the gating of every lamp, in an easy order.

    Each key is seen on and off in each direction; and for each lamp and each other key there is
    a step in which the other one is on and its own off, in a direction in which it could shine.
    With more than about a dozen keys there may be a step more than needed. Where a lamp minds
    whether the locomotive moves, all steps are done standing and moving. Where one minds several
    keys, the steps are the rows of the truth table.
    """
    if any(_minds_several(lamp) for lamp in effect.lamps.values()):
        return truth_table(effect)
    keys = effect.keys
    if keys:
        strict = [_strict(effect, key) for key in keys]
        codes, ahead = _fewest(strict)
        sets = [frozenset(map(int, np.flatnonzero(column))) for column in codes.T]
        ordered = [*_easy_order(sets[:ahead]), *_easy_order(sets[ahead:])]
        pressed = [frozenset(keys[index] for index in on) for on in ordered]
    else:
        pressed, ahead = [frozenset[str]()] * 2, 1
    return table_of(
        effect,
        [
            Moment(on, number < ahead, moving)
            for moving in _motions(effect)
            for number, on in enumerate(pressed)
        ],
    )


def _minds_several(lamp: Lamp) -> bool:
    """Whether one key does not say all of when and how bright it is lit."""
    return len(lamp.keys) > 1 or len(lamp.ways) > 1 or bool(lamp.dim)


def _sets_of(lamp: Lamp) -> Iterator[frozenset[str]]:
    """Sets of keys that show each key of a lamp on and off where it makes a difference."""
    for way in lamp.ways:
        on = frozenset(way.on)
        yield on
        yield from (on - {key} for key in on)
        yield from (on | {key} for key in (*way.off, *lamp.dim))


def _motions(effect: Effect) -> tuple[bool, ...]:
    """Whether to look at it moving: standing is enough where no lamp minds."""
    minds = any(lamp.shining.minds_motion for lamp in effect.lamps.values())
    return (False, True) if minds else (False,)


def _strict(effect: Effect, key: str) -> frozenset[frozenset[int]]:
    """For the lamps of a key, the directions (0 forward, 1 reverse) in which each may shine."""
    ways = (lamp.shining.directions(key) for lamp in effect.lamps.values())
    return frozenset(frozenset(WAYS.index(way) for way in each) for each in ways if each)


def _fewest(strict: Sequence[frozenset[frozenset[int]]]) -> tuple[Bools, int]:
    """For each key, the steps in which it is on, bool [keys, steps], and how many are forward.

    A key goes by the set of steps in which it is on. No set may hold that of another key, or a
    lamp that obeys the wrong one of the two would go unseen. Of n steps at most n over n // 2
    such sets can be had (Sperner's theorem, 1928, from memory), in each direction for the lamps
    that shine in it alone, and in both together for all. With fewer steps than that it cannot be
    done, so the search for sets begins there; the first that it finds are the fewest.
    """
    alone = [sum(frozenset({way}) in each for each in strict) for way in (0, 1)]
    least = [max(2, _steps_for(count)) for count in alone]
    total = max(sum(least), _steps_for(len(strict)))
    while True:
        splits = [(ahead, total - ahead) for ahead in range(least[0], total - least[1] + 1)]
        for split in sorted(splits, key=lambda split: (abs(split[0] - split[1]), -split[0])):
            found = _assign(strict, split)
            if found is not None:
                return found, split[0]
        total += 1


def _steps_for(keys: int) -> int:
    """The least steps that have so many sets of which none holds another."""
    return next(n for n in range(2 * keys + 2) if comb(n, n // 2) >= keys)


def _assign(strict: Sequence[frozenset[frozenset[int]]], split: tuple[int, int]) -> Bools | None:
    """A set of steps for each key over `split` forward and reverse steps; None if there is none.

    A set is a number here, a bit for each step, forward ones first; so are the steps of a way.
    """
    steps = sum(split)
    ways = ((1 << split[0]) - 1, ((1 << split[1]) - 1) << split[0])
    needs = [sorted(sum(ways[way] for way in each) for each in key) for key in strict]
    order = sorted(range(len(strict)), key=lambda index: (len(needs[index]) < 2, needs[index]))
    offered = _offered(steps, ways, _weights(len(strict), strict, split))
    chosen = _choose(offered, [needs[index] for index in order])
    if chosen is None:
        return None
    found = np.zeros((len(strict), steps), bool)
    for index, code in zip(order, chosen, strict=True):
        found[index] = [code >> step & 1 for step in range(steps)]
    return found


def _offered(steps: int, ways: tuple[int, int], weights: tuple[int, int]) -> list[int]:
    """Sets of steps that have a key on and off in each direction, those near `weights` first."""
    codes = [
        code
        for code in range(1 << steps)
        if all(0 < (code & way).bit_count() < way.bit_count() for way in ways)
    ]

    def misfit(code: int) -> int:
        return sum(
            abs((code & way).bit_count() - weight)
            for way, weight in zip(ways, weights, strict=True)
        )

    return sorted(codes, key=misfit)


def _choose(offered: Sequence[int], needs: Sequence[Sequence[int]]) -> list[int] | None:
    """One of the sets that are offered for each key, by trial and error; None if there is none.

    needs : of each key, the steps in which its lamps must be seen to obey no other one
    """
    chosen: list[int] = []
    tries = 0

    def fits(number: int, code: int) -> bool:
        return all(
            all(other & ~code & need for need in needs[number])
            and all(code & ~other & need for need in needs[before])
            for before, other in enumerate(chosen)
        )

    def search(first: int) -> bool:
        nonlocal tries
        number = len(chosen)
        if number == len(needs):
            return True
        for place in range(first, len(offered)):
            tries += 1
            if tries > MOST_TRIES:
                return False
            if fits(number, offered[place]):
                chosen.append(offered[place])
                alike = number + 1 == len(needs) or needs[number + 1] == needs[number]
                # Keys with the same needs can change places: only one order of them is tried.
                if search(place + 1 if alike else 0):
                    return True
                chosen.pop()
        return False

    return chosen if search(0) else None


def _weights(
    keys: int, strict: Sequence[frozenset[frozenset[int]]], split: tuple[int, int]
) -> tuple[int, int]:
    """How many steps a key should be on in each direction: few, but enough to differ."""
    alone = [sum(frozenset({way}) in each for each in strict) for way in (0, 1)]
    pairs = [(f, r) for f in range(1, split[0]) for r in range(1, split[1])]
    return min(
        pairs,
        key=lambda pair: (
            comb(split[0], pair[0]) * comb(split[1], pair[1]) < keys
            or comb(split[0], pair[0]) < alone[0]
            or comb(split[1], pair[1]) < alone[1],
            sum(pair),
        ),
    )


def _easy_order(sets: list[frozenset[int]]) -> list[frozenset[int]]:
    """The sets of keys in an order in which few keys must be pressed from one to the next."""
    if len(sets) > 6:
        return sets

    def presses(ordered: Sequence[frozenset[int]]) -> tuple[int, int]:
        return sum(len(a ^ b) for a, b in pairwise(ordered)), len(ordered[0])

    return min([list(order) for order in permutations(sets)], key=presses)
