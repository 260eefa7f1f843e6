"""What one lamp shows while a decoder holds some values, so that two looks can be compared."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, combinations, product
from typing import Final

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import Does, does, unread
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.decode import own_lamps
from fxstudio.decoder.values.meaning import subject
from fxstudio.decoder.values.seen import SeenLamp
from fxstudio.effect.drive import Moment
from fxstudio.effect.gate import Gate
from fxstudio.effect.keys import ALWAYS, sorted_keys
from fxstudio.effect.model import Effect, Lamp, Pattern
from fxstudio.effect.patterns import Ranged, Steady
from fxstudio.errors import InputError

Light = tuple[float, float]
"""Darkest and brightest light 0..1."""

DARK: Light = (0.0, 0.0)

MOST_KEYS_TRIED: Final = 3
"""With more keys each is tried alone, and all of them together."""


@dataclass(frozen=True)
class Look:
    """What one lamp shows.

    lamp : the lamp as it is seen; None if that cannot be told
    note : what the lamp cannot say: why it is dark, or that it has more keys
    unknown : why it cannot be told, or ""
    rate_hz : changes a second, if it flickers and that is known
    """

    lamp: Lamp | None
    note: str = ""
    unknown: str = ""
    rate_hz: float | None = None

    @property
    def is_dark(self) -> bool:
        """Whether it is known never to give any light."""
        return self.lamp is not None and self.lamp.pattern.is_dark

    @property
    def gate(self) -> Gate:
        """When it shines."""
        return self.lamp.shining if self.lamp else Gate()

    def same_as(self, other: Look) -> bool:
        """Whether both are known and nobody could tell them apart."""
        if self.lamp is None or other.lamp is None:
            return False
        if self.is_dark or other.is_dark:
            return self.is_dark == other.is_dark
        return (
            _plain(self.lamp.pattern) == _plain(other.lamp.pattern)
            and self.rate_hz == other.rate_hz
            and self.lamp.dims == other.lamp.dims
            and self.gate.unlike(other.gate) == 0
        )


@dataclass(frozen=True)
class OutputLight:
    """What light an output gives at any moment."""

    does: Does

    @property
    def keys(self) -> frozenset[str]:
        """The keys that make a difference to it."""
        keys = {key for each in self.does.lights for key in each.keys} | self.does.dimmed.keys()
        return frozenset(keys - {ALWAYS})

    def at(self, moment: Moment) -> Light:
        """Its darkest and brightest light at a moment."""
        if not self.does.lit(moment):
            return DARK
        times = self.does.level_at(moment) / self.does.brightest
        low, high = _ends(self.does.pattern)
        return low * times, high * times


@dataclass(frozen=True)
class Lamps:
    """The lamps of an effect, or one for each output, on a decoder.

    wired : the lamps by name
    like : the effect they are of, if there is one; what the leaflet does not say is drawn as there
    """

    wired: Mapping[str, Lamp]
    leaflet: Leaflet
    like: Effect | None = None

    @classmethod
    def of(cls, leaflet: Leaflet, like: Effect | None = None) -> Lamps:
        """The lamps of `like`, or one for each output."""
        return cls(like.lamps if like else own_lamps(leaflet), leaflet, like)

    @property
    def names(self) -> tuple[str, ...]:
        """Those that are on an output of the decoder."""
        outputs = self.leaflet.output
        return tuple(name for name, lamp in self.wired.items() if lamp.output in outputs)

    def concerned(self, name: str) -> frozenset[CvAddress]:
        """The CVs that a lamp depends on."""
        return frozenset(cell.cv for cell in self.leaflet.concerned[self.wired[name].output])

    def look(self, name: str, held: Mapping[CvAddress, int]) -> Look:
        """What a lamp shows while the decoder holds `held`."""
        lamp = self.wired[name]
        try:
            it = does(self.leaflet, lamp.output, held, lamp.pattern if self.like else None)
            if silent := unread(self.leaflet, lamp.output, held):
                return Look(None, unknown=f"nobody has read {' and '.join(map(str, silent))}")
        except InputError as error:
            return Look(None, unknown=f"{error.field} = {error.given} {error.problem}")
        hz = self.like.rate_of(name) if self.like else Effect.model_fields["rate_hz"].default
        seen = SeenLamp.of(lamp, hz, it, subject(lamp.output, name))
        known = it.rate_hz if seen.lamp.pattern.flickers else None
        return Look(seen.lamp, "; ".join(seen.notes), rate_hz=known)

    def lights(self, name: str, held: Mapping[CvAddress, int]) -> OutputLight | None:
        """A lamp's light at any moment; None if that cannot be told."""
        lamp = self.wired[name]
        try:
            wish = lamp.pattern if self.like else None
            it = does(self.leaflet, lamp.output, held, wish).with_key(lamp.key)
            return None if unread(self.leaflet, lamp.output, held) else OutputLight(it)
        except InputError:
            return None


def with_values(
    held: Mapping[CvAddress, int], written: Mapping[CvAddress, int | None]
) -> dict[CvAddress, int]:
    """`held` once values are written; of None nobody knows what then stands there."""
    return {cv: v for cv, v in {**held, **written}.items() if v is not None}


def moments_of(keys: Collection[str]) -> Iterator[Moment]:
    """The moments in which lamps with these keys are compared."""
    ordered = sorted_keys(set(keys))
    every = chain.from_iterable(combinations(ordered, n) for n in range(len(ordered) + 1))
    few = ((), *((key,) for key in ordered), ordered)
    for pressed in every if len(ordered) <= MOST_KEYS_TRIED else few:
        for forward, moving in product((True, False), repeat=2):
            yield Moment(frozenset(pressed), forward, moving)


def _plain(pattern: Pattern) -> Pattern:
    """A pattern between two equal brightnesses is a steady light."""
    low, high = _ends(pattern)
    return Steady(level=high) if low == high and isinstance(pattern, Ranged) else pattern


def _ends(pattern: Pattern) -> Light:
    """Darkest and brightest light of a pattern; alike if it has only one brightness."""
    low = pattern.lowest if isinstance(pattern, Ranged) else pattern.brightest
    return low, pattern.brightest
