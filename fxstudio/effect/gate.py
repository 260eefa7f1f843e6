"""When a lamp may shine: what key, direction and motion have to be.

Everything that asks whether a lamp is lit, why it is dark, or which keys show it, asks its gate.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import Final, Literal

import numpy as np

from fxstudio.arrays import Bools
from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.keys import ALWAYS, KEYS, key_words, sorted_keys

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
    """

    key: str = ALWAYS
    travel: Directed = "both"
    motion: Motion = "both"
    while_off: bool = False

    def lit(self, trace: DriveTrace) -> Bools:
        """Whether all hold at the times of a drive, bool [n]."""
        held = _TRAVELS[self.travel](trace.forward) & _MOTIONS[self.motion](trace.speed_kmh > 0)
        return held if self.key == ALWAYS else held & self._switched(trace)

    def _switched(self, trace: DriveTrace) -> Bools:
        switched: Bools = trace.keys[:, KEYS.index(self.key)] ^ self.while_off
        return switched

    def why_dark(self, moment: Moment) -> str | None:
        """The first condition that does not hold, in words; None if all do."""
        if self.key != ALWAYS and (self.key in moment.keys) == self.while_off:
            return f"key {self.key} is {'on' if self.while_off else 'off'}"
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
        """`on F1`, `while F3 is off`, `lit without a key`."""
        return f"while {self.key} is off" if self.while_off else key_words(self.key, "on ")

    def changes_from(self, before: Way) -> Iterator[str]:
        """Each condition that is another than `before`: `on F1 instead of on F0`."""
        told = (
            (self.key_words, before.key_words),
            (DIRECTED_WORDS[self.travel], DIRECTED_WORDS[before.travel]),
            (MOTION_WORDS[self.motion], MOTION_WORDS[before.motion]),
        )
        return (f"{now} instead of {was}" for now, was in told if now != was)


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
        return sorted_keys({way.key for way in self.ways} - {ALWAYS})

    def keys_that_show(self) -> tuple[str, ...]:
        """The keys that have to be on to see the lamp; none if it shines while a key is off."""
        return sorted_keys({way.key for way in self.ways if not way.while_off} - {ALWAYS})

    @property
    def minds_motion(self) -> bool:
        """Whether standing and moving make a difference."""
        return any(way.motion != "both" for way in self.ways)

    def directions(self, key: str) -> frozenset[bool]:
        """In which directions, True forward, `key` makes a difference."""
        return frozenset(
            forward
            for way in self.ways
            if way.key == key
            for forward in (True, False)
            if way.travel in ("both", Moment(forward=forward).travel)
        )

    def meets(self, other: Gate) -> bool:
        """Whether there is a moment in which both may shine."""
        return any(self.lit_at(each) and other.lit_at(each) for each in every_moment([self, other]))


def every_moment(gates: Iterable[Gate]) -> Iterator[Moment]:
    """Every moment that some of `gates` could tell from another: 4 x 2 ^ keys."""
    keys = sorted_keys({key for gate in gates for key in gate.keys})
    for on in product((False, True), repeat=len(keys)):
        pressed = frozenset(key for key, each in zip(keys, on, strict=True) if each)
        for forward, moving in product((True, False), repeat=2):
            yield Moment(pressed, forward, moving)


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
