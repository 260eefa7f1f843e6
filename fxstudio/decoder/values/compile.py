"""From an effect to the values a decoder must hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import Held, does
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import is_silent
from fxstudio.decoder.search.best import best_values
from fxstudio.decoder.search.choices import Wish
from fxstudio.decoder.values.compromise import Compromise, compromises
from fxstudio.decoder.values.consequences import changes_of_others
from fxstudio.decoder.values.decode import Decoded, decode, no_lamp_fits
from fxstudio.decoder.values.meaning import meaning
from fxstudio.effect.model import Effect


@dataclass(frozen=True)
class Value:
    """One CV that the effect's lamps concern, whether or not it must be written.

    cv : its address
    value : what it must hold, 0..255
    meaning : what that says, in words
    delivered : what it holds as delivered; None if that is not printed
    shared : whether parts of it say something of other outputs alone, or of other things
    """

    cv: CvAddress
    value: int
    meaning: str
    delivered: int | None
    shared: bool = False

    @property
    def binary(self) -> str:
        """The value's bits, bit 7 first: `00100001`."""
        return f"{self.value:08b}"


@dataclass(frozen=True)
class Compiled:
    """What to write, what cannot be had, and what will be seen.

    asked : the effect
    leaflet : the decoder
    held : the values from which as little as can be is changed; others are as delivered
    target : what every cell that the effect concerns shall hold
    shown : what the decoder will show with these values
    compromises : all in which what will be seen differs from what was asked
    proved : whether no other values can be nearer to what is asked
    consequences : what lamps that share a setting have to give up, and what outputs do otherwise
        that the effect does not name, in words
    """

    asked: Effect
    leaflet: Leaflet
    held: Held
    target: Mapping[CvAddress, int]
    shown: Decoded
    compromises: tuple[Compromise, ...]
    proved: bool = True
    consequences: tuple[str, ...] = ()

    @property
    def seen(self) -> Effect:
        """The effect that the decoder will show."""
        return self.shown.effect

    @cached_property
    def values(self) -> tuple[Value, ...]:
        """Every CV that makes a difference to the effect's lamps, in order of address."""
        names = {lamp.output: name for name, lamp in self.seen.lamps.items()}
        found = [cv for cv in {*self.needed, *self.changes} - self.left if self._is_told(cv, names)]
        return tuple(
            Value(
                cv,
                self.held_after(cv),
                meaning(cv, self.held_after(cv), self.leaflet, names),
                self.leaflet.delivered.get(cv),
                self._is_shared(cv, names),
            )
            for cv in sorted(found, key=lambda cv: cv.order)
        )

    def _is_shared(self, cv: CvAddress, names: Mapping[int, str]) -> bool:
        """Whether parts of a CV say something of other outputs alone, or of other things."""
        lit_by = (switch.name for number in names for switch in self.leaflet.lit_by[number])
        mine = {*names, *lit_by}
        return any(
            part.others
            or not any(
                each.value in names if each.name == "lights" else each.who in mine
                for said in part.codes.values()
                for each in said
            )
            for part in self.leaflet.cells[cv].parts
        )

    def _is_told(self, cv: CvAddress, names: Mapping[int, str]) -> bool:
        """Whether a CV says more of the lamps than that a key does not light them, as ever."""
        cell = self.leaflet.cells[cv]
        values = {self.held.get(cv, cell.supposed), self.held_after(cv), cell.supposed}
        said = [each for value in values & cell.table.keys() for each in cell.statements(value)]
        lights = {each.value for each in said if each.name == "lights"}
        only_keys = all(part.names <= {"lights"} for part in cell.parts)
        return not only_keys or bool(lights & names.keys())

    @property
    def by_cv(self) -> dict[CvAddress, int]:
        """The values by address, as `decode` takes them."""
        return {value.cv: value.value for value in self.values}

    @cached_property
    def needed(self) -> frozenset[CvAddress]:
        """The CVs that must be as they are for the lamps to show what they will."""
        held = {**self.held, **self.target}
        found: set[CvAddress] = set()
        for lamp in self.seen.lamps.values():
            it = does(self.leaflet, lamp.output, held)
            cells = self.leaflet.concerned[lamp.output]
            found |= {cell.cv for cell in cells if it.minds(self.leaflet, lamp.output, cell)}
        return frozenset(found)

    def held_after(self, cv: CvAddress) -> int:
        """What a CV holds in the end."""
        return self.target.get(cv, self.held.get(cv, self.leaflet.cells[cv].supposed))

    def from_values(self, held: Held) -> Compiled:
        """The same effect for a decoder that holds other values."""
        own = {cv: value for cv, value in held.items() if cv in self.leaflet.cells}
        return self if own == self.held else compile_effect(self.asked, self.leaflet, own)

    @property
    def changes(self) -> dict[CvAddress, int]:
        """The CVs to write, in order of address.

        They hold another value, or they are needed and nobody knows what they hold.
        """
        known = {**self.leaflet.delivered, **self.held}
        differ = {cv for cv, value in self.target.items() if known.get(cv, value) != value}
        unread = self.needed - known.keys() - self.left
        return {cv: self.held_after(cv) for cv in sorted(differ | unread, key=lambda cv: cv.order)}

    @cached_property
    def left(self) -> frozenset[CvAddress]:
        """The CVs that make a difference and stay as they are, though nobody knows their value.

        Of no value that could be written it is known what it would do.
        """
        known = {**self.leaflet.delivered, **self.held}
        return frozenset(cv for cv in self.needed - known.keys() if self._says_nothing_known(cv))

    def _says_nothing_known(self, cv: CvAddress) -> bool:
        said = list(self.leaflet.cells[cv].statements(self.held_after(cv)))
        return bool(said) and all(is_silent(each.value) for each in said)


def compile_effect(effect: Effect, leaflet: Leaflet, held: Held | None = None) -> Compiled:
    """The values for `effect` on a decoder, with every compromise named.

    Parameters
    ----------
    effect : what shall be seen
    leaflet : the decoder
    held : what it holds now, by CV; a CV that is not given is as delivered

    The codes lose as little as can be of what is asked, and of those that lose the same they are
    the fewest writes from `held`. All that the effect does not name stays as it is held.

    Raises InputError if no lamp is on an output of the decoder.
    """
    held = {cv: value for cv, value in (held or {}).items() if cv in leaflet.cells}
    wishes = [
        Wish.of(effect, name)
        for name, lamp in effect.lamps.items()
        if lamp.output in leaflet.output
    ]
    if not wishes:
        raise no_lamp_fits(leaflet)
    found = best_values(leaflet, wishes, held)
    after = {**held, **found.values}
    shown = decode(after, leaflet, effect)
    told = compromises(effect, shown.effect, leaflet)
    names = {wish.number: wish.name for wish in wishes}
    follows = (
        *(each.words(leaflet, names) for each in found.shared),
        *changes_of_others(leaflet, held, after, names),
    )
    return Compiled(effect, leaflet, held, found.values, shown, told, found.proved, follows)
