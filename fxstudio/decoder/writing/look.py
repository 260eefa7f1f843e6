"""What one lamp shows while a decoder holds some values, so that two looks can be compared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fxstudio.dcc.cv import CvAddress
from fxstudio.dcc.function_map import Directions
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.decode import Behaviour, behaviour, ends, own_lamps, shared_rate_hz
from fxstudio.effect.model import Effect, Lamp, Pattern
from fxstudio.effect.patterns import Steady
from fxstudio.errors import InputError

Light = tuple[float, float]
"""Darkest and brightest light 0..1."""

DARK: Light = (0.0, 0.0)

Lit = Mapping[tuple[str, str], Light]
"""Light by key and direction; where a lamp stays dark there is no entry."""


@dataclass(frozen=True)
class Look:
    """What one lamp shows.

    lamp : the lamp as it is seen; None if that cannot be told
    note : what the lamp cannot say: why it is dark, or that it has several keys
    unknown : why it cannot be told, or ""
    rate_hz : the shared rate, if its light follows it
    lit : its light by key and direction
    """

    lamp: Lamp | None
    note: str = ""
    unknown: str = ""
    rate_hz: float | None = None
    lit: Lit = field(default_factory=dict)

    @property
    def is_dark(self) -> bool:
        """Whether it is known never to give any light."""
        return self.lamp is not None and self.lamp.pattern.is_dark

    @property
    def directions(self) -> dict[str, Directions]:
        """The keys that light it, in order, each with the directions in which it does."""
        return {key: frozenset(d for k, d in self.lit if k == key) for key, _ in self.lit}

    def same_as(self, other: Look) -> bool:
        """Whether both are known and nobody could tell them apart."""
        if self.lamp is None or other.lamp is None:
            return False
        return self._seen == other._seen

    @property
    def _seen(self) -> tuple[object, ...]:
        # A dark lamp is dark, whatever key, travel or pattern it would have.
        if self.lamp is None or self.is_dark:
            return ()
        return _plain(self.lamp.pattern), self.rate_hz, dict(self.lit)


@dataclass(frozen=True)
class Lamps:
    """The lamps of an effect, or one for each output, on a decoder.

    wired : the lamps by name
    """

    wired: Mapping[str, Lamp]
    description: Description

    @classmethod
    def of(cls, description: Description, like: Effect | None = None) -> Lamps:
        """The lamps of `like`, or one for each output."""
        return cls(like.lamps if like else own_lamps(description), description)

    @property
    def names(self) -> tuple[str, ...]:
        """Those that are on an output of the decoder."""
        outputs = self.description.index
        return tuple(name for name, lamp in self.wired.items() if lamp.output in outputs)

    def concerned(self, name: str) -> frozenset[CvAddress]:
        """The CVs that a lamp depends on; the shared rate left aside."""
        output = self.wired[name].output
        index = self.description.index[output]
        fields = [row.bits_of(index).address for row in self.description.fields.values()]
        keys = [
            row.bits_of(output).address for row in self.description.map_rows if row.reaches(output)
        ]
        return frozenset((*fields, *keys))

    def look(self, name: str, held: Mapping[CvAddress, int]) -> Look:
        """What a lamp shows; `held` has every CV of the description."""
        lamp = self.wired[name]
        try:
            does = behaviour(lamp.output, held, self.description)
            seen = does.seen(lamp)
            rate_hz = shared_rate_hz(held, self.description) if seen.pattern.flickers else None
        except InputError as error:
            return Look(None, unknown=f"{error.field}: {error.problem}")
        note = "".join(does.notes(lamp.output, name))
        if seen.pattern.is_dark:
            return Look(seen, "" if does.lit else note)
        return Look(seen, note, rate_hz=rate_hz, lit=_light(does))

    def light(self, name: str, held: Mapping[CvAddress, int]) -> Lit | None:
        """A lamp's light by key and direction; None if that cannot be told.

        held : what is in the CVs that it depends on, at least
        """
        try:
            return _light(behaviour(self.wired[name].output, held, self.description))
        except InputError:
            return None


def _light(does: Behaviour) -> Lit:
    highest, lowest = ends(does.pattern)
    light = (highest if lowest is None else lowest, highest)
    ways = [(key, way) for key, directions in does.lit.items() for way in sorted(directions)]
    return dict.fromkeys(ways, light) if highest else {}


def _plain(pattern: Pattern) -> Pattern:
    """A pattern between two equal brightnesses is a steady light."""
    highest, lowest = ends(pattern)
    return Steady(level=highest) if lowest == highest else pattern
