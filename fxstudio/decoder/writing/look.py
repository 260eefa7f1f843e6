"""What one lamp shows while a decoder holds some values, so that two looks can be compared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fxstudio.dcc.cv import CvAddress
from fxstudio.dcc.function_map import Directions
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.decode import behaviour, decode, ends, keys_of
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
        return () if self.is_dark else (_plain(self.lamp.pattern), self.rate_hz, dict(self.lit))


@dataclass(frozen=True)
class Lamps:
    """The lamps of an effect, or one for each output, on a decoder.

    like : the effect whose lamps are wired; see `decode`
    """

    like: Effect
    description: Description

    @classmethod
    def of(cls, description: Description, like: Effect | None = None) -> Lamps:
        """The lamps of `like`, or one for each output."""
        return cls(like or decode(description.works, description).effect, description)

    @property
    def names(self) -> tuple[str, ...]:
        """Those that are on an output of the decoder."""
        outputs = self.description.index
        return tuple(name for name, lamp in self.like.lamps.items() if lamp.output in outputs)

    def concerned(self, name: str) -> frozenset[CvAddress]:
        """The CVs that a lamp depends on; the shared rate left aside."""
        output = self.like.lamps[name].output
        index = self.description.index[output]
        fields = [row.bits_of(index).address for row in self.description.fields.values()]
        keys = [
            row.bits_of(output).address for row in self.description.map_rows if row.reaches(output)
        ]
        return frozenset((*fields, *keys))

    def look(self, name: str, held: Mapping[CvAddress, int]) -> Look:
        """What a lamp shows; `held` has every CV of the description."""
        lamp = self.like.lamps[name]
        alone = self.like.model_copy(update={"lamps": {name: lamp}})
        held = {cv: held[cv] for cv in self.description.works}
        try:
            decoded = decode(held, self.description, alone)
        except InputError as error:
            return Look(None, unknown=f"{error.field}: {error.problem}")
        seen, note = decoded.effect.lamps[name], "".join(decoded.notes)
        if seen.pattern.is_dark:
            return Look(seen, "" if self._switched(lamp.output, held) else note)
        rate_hz = decoded.effect.rate_hz if seen.pattern.flickers else None
        return Look(seen, note, rate_hz=rate_hz, lit=self.light(name, held))

    def light(self, name: str, held: Mapping[CvAddress, int]) -> Lit | None:
        """A lamp's light by key and direction; None if that cannot be told.

        held : what is in the CVs that it depends on, at least
        """
        output = self.like.lamps[name].output
        try:
            _, pattern = behaviour(output, held, self.description)
            switched = self._switched(output, held)
        except InputError:
            return None
        highest, lowest = ends(pattern)
        light = (highest if lowest is None else lowest, highest)
        return dict.fromkeys(switched, light) if highest else {}

    def _switched(self, output: int, held: Mapping[CvAddress, int]) -> list[tuple[str, str]]:
        """Keys and directions that let it shine, whatever its brightness."""
        permitted, _ = behaviour(output, held, self.description)
        return [
            (key, direction)
            for key, directions in keys_of(output, held, self.description).items()
            for direction in sorted(directions & permitted)
        ]


def _plain(pattern: Pattern) -> Pattern:
    """A pattern between two equal brightnesses is a steady light."""
    highest, lowest = ends(pattern)
    return Steady(level=highest) if lowest == highest else pattern
