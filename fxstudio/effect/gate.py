"""When a lamp may shine: what key, direction and motion have to be.

Everything that asks whether a lamp is lit, why it is dark, or which keys show it, asks its gate.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from itertools import product
from typing import Final, Literal

import numpy as np

from fxstudio.arrays import Bools
from fxstudio.effect.cover import Cost, Term, fewest_terms
from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.keys import ALWAYS, KEYS, all_of, key_words, sorted_keys

Directed = Literal["forward", "reverse", "both"]
"""Directions of travel in which a lamp may shine."""

Motion = Literal["standing", "moving", "both"]
"""Whether a lamp may shine while the locomotive stands, moves, or both."""


@dataclass(frozen=True)
class Way:
    """Conditions that all have to hold for a lamp to shine.

    key : the key, or "always" for none
    travel, motion : directions, and standing or moving
    while_off : whether the key has to be off, not on
    together : other keys that have to be on too
    unless : keys that have to be off
    """

    key: str = ALWAYS
    travel: Directed = "both"
    motion: Motion = "both"
    while_off: bool = False
    together: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()

    @classmethod
    def with_keys(
        cls,
        on: Iterable[str] = (),
        off: Iterable[str] = (),
        travel: Directed = "both",
        motion: Motion = "both",
    ) -> Way:
        """One in which the keys `on` have to be on and the keys `off` to be off."""
        on, off = sorted_keys(set(on)), sorted_keys(set(off))
        if on:
            return cls(on[0], travel, motion, together=on[1:], unless=off)
        if off:
            return cls(off[0], travel, motion, while_off=True, unless=off[1:])
        return cls(travel=travel, motion=motion)

    @property
    def on(self) -> tuple[str, ...]:
        """The keys that have to be on, in order."""
        own = set() if self.while_off else {self.key} - {ALWAYS}
        return sorted_keys(own.union(self.together))

    @property
    def off(self) -> tuple[str, ...]:
        """The keys that have to be off, in order."""
        return sorted_keys({self.key, *self.unless} if self.while_off else set(self.unless))

    @property
    def keys(self) -> tuple[str, ...]:
        """All keys that it asks for, in order."""
        return sorted_keys({*self.on, *self.off})

    def lit(self, trace: DriveTrace) -> Bools:
        """Whether all hold at the times of a drive, bool [n]."""
        held = _TRAVELS[self.travel](trace.forward) & _MOTIONS[self.motion](trace.speed_kmh > 0)
        for key in self.on:
            held = held & trace.keys[:, KEYS.index(key)]
        for key in self.off:
            held = held & ~trace.keys[:, KEYS.index(key)]
        return held

    def why_dark(self, moment: Moment) -> str | None:
        """The first condition that does not hold, in words; None if all do."""
        wrong = {key: "off" for key in self.on if key not in moment.keys}
        wrong |= {key: "on" for key in self.off if key in moment.keys}
        if wrong:
            key = self.key if self.key in wrong else next(iter(wrong))
            return f"key {key} is {wrong[key]}"
        if self.travel != "both" and (self.travel == "forward") != moment.forward:
            ran = "" if moment.moving else f", last ran {_HEADED[moment.forward]}"
            return f"only {_HEADED[self.travel == 'forward']}{ran}"
        if self.motion != "both" and (self.motion == "moving") != moment.moving:
            return f"only while {self.motion}"
        return None

    def words(self) -> str:
        """All of them: `on F1, forward only`, `while F3 is off, both directions, while moving`."""
        told = [self.key_words, DIRECTED_WORDS[self.travel]]
        return ", ".join(told if self.motion == "both" else [*told, MOTION_WORDS[self.motion]])

    @property
    def key_words(self) -> str:
        """`on F1`, `on F1 and F2 while F3 is off`, `lit without a key`."""
        on, off = all_of(self.on), all_of(self.off)
        told = [f"on {on}"] if on else []
        if off:
            told.append(f"while {off} {'is' if len(self.off) == 1 else 'are'} off")
        return " ".join(told) or key_words(ALWAYS)

    def changes_from(self, before: Way) -> Iterator[str]:
        """Each condition that is another than `before`: `on F1 instead of on F0`."""
        told = (
            (self.key_words, before.key_words),
            (DIRECTED_WORDS[self.travel], DIRECTED_WORDS[before.travel]),
            (MOTION_WORDS[self.motion], MOTION_WORDS[before.motion]),
        )
        return (f"{now} instead of {was}" for now, was in told if now != was)

    def meets(self, other: Way) -> bool:
        """Whether both can hold at once."""
        return (
            set(self.on + other.on).isdisjoint(self.off + other.off)
            and (self.travel == other.travel or "both" in (self.travel, other.travel))
            and (self.motion == other.motion or "both" in (self.motion, other.motion))
        )

    def unless_any(self, keys: Iterable[str]) -> Way:
        """It with more keys that have to be off."""
        more = (key for key in keys if key not in self.off)
        return replace(self, unless=(*self.unless, *more))


@dataclass(frozen=True)
class Gate:
    """When a lamp may shine: in any of these ways; without one, never."""

    ways: tuple[Way, ...] = ()

    def lit(self, trace: DriveTrace) -> Bools:
        """Whether the lamp may shine at the times of a drive, bool [n]."""
        dark = np.zeros(len(trace.forward), bool)
        lit: Bools = np.logical_or.reduce([dark, *(way.lit(trace) for way in self.ways)])
        return lit

    def lit_at(self, moment: Moment) -> bool:
        """Whether the lamp may shine at one moment."""
        return any(way.why_dark(moment) is None for way in self.ways)

    def why_dark(self, moment: Moment) -> str | None:
        """Why the lamp may not shine, in words; None if it may."""
        reasons = [way.why_dark(moment) for way in self.ways]
        if None in reasons:
            return None
        return ", or ".join(filter(None, dict.fromkeys(reasons))) or "no key lights it"

    def words(self) -> str:
        """When it may shine, in words."""
        return ", or ".join(way.words() for way in self.ways) or "never lit"

    @property
    def keys(self) -> tuple[str, ...]:
        """The function keys that it follows, in order."""
        return sorted_keys({key for way in self.ways for key in way.keys})

    def keys_that_show(self) -> tuple[str, ...]:
        """The keys that have to be on to see the lamp: those of the first way; none if it shines
        while a key is off.
        """
        return self.ways[0].on if self.ways else ()

    def changes_from(self, before: Gate) -> Iterator[str]:
        """What is another than `before`, in words: each condition, if each has but one way."""
        if len(self.ways) == len(before.ways) == 1:
            yield from self.ways[0].changes_from(before.ways[0])
        elif (now := self.words()) != (was := before.words()):
            yield f"{now} instead of {was}"

    def unless_any(self, keys: Collection[str]) -> Gate:
        """It, but dark while any of `keys` is on."""
        ways = (way for way in self.ways if set(way.on).isdisjoint(keys))
        return Gate(tuple(way.unless_any(keys) for way in ways))

    @property
    def minds_motion(self) -> bool:
        """Whether standing and moving make a difference."""
        return any(way.motion != "both" for way in self.ways)

    def directions(self, key: str) -> frozenset[bool]:
        """In which directions, True forward, `key` makes a difference."""
        return frozenset(
            forward
            for way in self.ways
            if key in way.keys
            for forward in (True, False)
            if way.travel in ("both", Moment(forward=forward).travel)
        )

    def meets(self, other: Gate) -> bool:
        """Whether there is a moment in which both may shine."""
        return any(one.meets(another) for one, another in product(self.ways, other.ways))

    def unlike(self, other: Gate) -> float:
        """Share 0..1 of all states of their keys, direction and motion in which they differ."""
        states = every_state([*self.keys, *other.keys])
        return float(np.mean(self.lit(states) != other.lit(states)))

    @classmethod
    def of_states(
        cls, lit: Mapping[Moment, bool] | Callable[[Moment], bool], keys: Collection[str]
    ) -> Gate:
        """The gate of the fewest ways, and of those with fewest conditions, that is lit just so.

        Parameters
        ----------
        lit : whether the lamp may shine at each moment of `keys`, both directions, standing and
            moving; a table or a function
        keys : the keys that make a difference, up to four
        """
        ordered = sorted_keys(set(keys))
        if len(ordered) > MOST_KEYS_OF_STATES:
            raise ValueError(f"{len(ordered)} keys are too many: {MOST_KEYS_OF_STATES} at most")
        lit_at = lit.__getitem__ if isinstance(lit, Mapping) else lit
        rows = [
            reduce(lambda row, bit: row << 1 | bit, _bits_of(moment, ordered))
            for moment in _moments(ordered)
            if lit_at(moment)
        ]
        bits = len(ordered) + 2
        terms = fewest_terms(rows, bits, lambda term: _conditions(term, (1 << bits) - 4))
        return cls(tuple(_way_of(term, ordered) for term in terms))


MOST_KEYS_OF_STATES: Final = 4
"""Keys of a table of states from which the fewest ways can be found in good time."""


def every_moment(gates: Iterable[Gate]) -> Iterator[Moment]:
    """Every moment that some of `gates` could tell from another: 4 x 2 ^ keys."""
    return _moments(sorted_keys({key for gate in gates for key in gate.keys}))


def _moments(keys: Collection[str]) -> Iterator[Moment]:
    for on in product((False, True), repeat=len(keys)):
        pressed = frozenset(key for key, each in zip(keys, on, strict=True) if each)
        for forward, moving in product((True, False), repeat=2):
            yield Moment(pressed, forward, moving)


def every_state(keys: Iterable[str]) -> DriveTrace:
    """Every state of `keys`, direction and motion, 4 x 2 ^ keys of them."""
    columns = [KEYS.index(key) for key in sorted_keys(set(keys))]
    numbers = np.arange(4 << len(columns))
    pressed = np.zeros((len(numbers), len(KEYS)), bool)
    for at, column in enumerate(columns):
        pressed[:, column] = numbers >> at & 1
    forward, moving = (numbers >> len(columns) + at & 1 for at in (0, 1))
    return DriveTrace(forward.astype(bool), moving.astype(float), pressed)


def _bits_of(moment: Moment, keys: Iterable[str]) -> tuple[int, ...]:
    """A moment as bits, the last one the lowest: the keys, forward, moving."""
    return (*(int(key in moment.keys) for key in keys), int(moment.forward), int(moment.moving))


def _conditions(term: Term, keys: int) -> Cost:
    """How many conditions, and how many of them a key that has to be off; `keys` are their bits."""
    return term.asked.bit_count(), (term.asked & ~term.ones & keys).bit_count()


def _way_of(term: Term, keys: tuple[str, ...]) -> Way:
    """A term of bits as `_bits_of` has them as a way."""
    bit_of = {key: 1 << at for at, key in enumerate(reversed(keys), start=2)}
    asked = [key for key in keys if term.asked & bit_of[key]]
    on = {key for key in asked if term.ones & bit_of[key]}
    travel: Directed = "both"
    motion: Motion = "both"
    if term.asked & 2:
        travel = "forward" if term.ones & 2 else "reverse"
    if term.asked & 1:
        motion = "moving" if term.ones & 1 else "standing"
    return Way.with_keys(on, set(asked) - on, travel, motion)


DIRECTED_WORDS: Final[dict[Directed, str]] = {
    "forward": "forward only",
    "reverse": "reverse only",
    "both": "both directions",
}

MOTION_WORDS: Final[dict[Motion, str]] = {
    "standing": "while standing",
    "moving": "while moving",
    "both": "standing and moving",
}

_HEADED: Final = {True: "forward", False: "in reverse"}

_Test = Callable[[Bools], Bools]
_TRAVELS: Final[dict[Directed, _Test]] = {
    "both": np.ones_like,
    "forward": np.asarray,
    "reverse": np.logical_not,
}
_MOTIONS: Final[dict[Motion, _Test]] = {
    "both": np.ones_like,
    "moving": np.asarray,
    "standing": np.logical_not,
}
