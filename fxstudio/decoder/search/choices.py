"""What is wished of each output, and which codes of a decoder's parts may serve it.

Codes that say the same are one. Of the others those are left out of which it is certain that
they serve no wish: rates and times farther off than another, keys that nobody asks for, and
values of which the leaflet does not say what they mean, but for the one that is held.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import log
from typing import Final

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import Cell, CellPart, Statement
from fxstudio.decoder.leaflet.evaluator import Held
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import NEVER, PROPERTIES, UNKNOWN, Unknown
from fxstudio.effect.gate import Gate
from fxstudio.effect.keys import ALWAYS
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import Pattern, Steady
from fxstudio.light.likeness import ASSUMED_SPEED_KMH

Variable = tuple[CvAddress, int]
"""A part: its CV and its place in it."""

TIMES: Final = {name for name, row in PROPERTIES.items() if row.times} | {"on_share"}

NEAR: Final = 2
"""Codes on each side of a wished rate or time that are tried."""

FEW: Final = 8
"""Rates or times of one part that are all tried."""


@dataclass(frozen=True, eq=False)
class Wish:
    """What one output shall do.

    name, lamp : the lamp on it
    number : the number of the output
    pattern : its light; dark if it shall never shine
    rate_hz : changes a second, if it flickers
    gate : when it shall shine
    """

    name: str
    lamp: Lamp
    number: int
    pattern: Pattern
    rate_hz: float
    gate: Gate

    @classmethod
    def of(cls, effect: Effect, name: str) -> Wish:
        """That of one lamp; a lamp that never gives light asks for no more than that."""
        lamp = effect.lamps[name]
        pattern = lamp.pattern if lamp.shining.ways else Steady(level=0.0)
        return cls(name, lamp, lamp.output, pattern, effect.rate_of(name), lamp.shining)

    @cached_property
    def keys(self) -> frozenset[str]:
        """The keys that it asks for, "always" if it needs none."""
        ways = self.lamp.ways
        return frozenset(key for way in ways for key in way.keys or (ALWAYS,))

    @cached_property
    def changes_hz(self) -> float | None:
        """How often its light changes, or repeats, in a second; None if it does not."""
        return self.pattern.changes_hz(self.rate_hz, ASSUMED_SPEED_KMH)

    def dimmed(self, times: float) -> Pattern:
        """Its light while keys make it so many times as bright."""
        return self.pattern if times == 1 else self.pattern.dimmed(times)

    def times(self, name: str) -> Iterable[float]:
        """What a rate or a time of the pattern, or a share of it, may best be."""
        fields = self.pattern.model_dump()
        period, share = fields.get("period_s"), fields.get("on_share", 0.5)
        if period is None and self.changes_hz:  # where only another kind can be had
            period = 1 / self.changes_hz
        if name == "rate_hz":
            yield from filter(None, [self.changes_hz])
        elif name == "period_s":
            yield from filter(None, [period])
        elif name in ("rise_s", "fall_s"):
            yield fields.get(name, 0.0)
        elif name in fields:
            yield fields[name]
        elif period is not None and name in ("on_s", "off_s"):
            yield period * (share if name == "on_s" else 1 - share)
            yield period / 2


@dataclass(frozen=True, eq=False)
class Choices:
    """A part whose code may be chosen.

    codes : those that are tried, the one that is held first
    exact : whether no code is left out that might be better
    """

    cell: Cell
    at: int
    part: CellPart
    codes: tuple[int, ...]
    exact: bool = True

    @property
    def variable(self) -> Variable:
        """Its name."""
        return self.cell.cv, self.at

    def said(self, code: int) -> tuple[Statement, ...]:
        """What a code says."""
        return self.part.codes[code]


def held_codes(leaflet: Leaflet, held: Held) -> dict[CvAddress, tuple[int, ...]]:
    """The codes of all cells; those of a value that is not allowed are as delivered."""
    return {
        cv: cell.table[cell.mended(held.get(cv, cell.supposed))]
        for cv, cell in leaflet.cells.items()
    }


def choices_for(
    leaflet: Leaflet, wishes: Sequence[Wish], held: Mapping[CvAddress, tuple[int, ...]]
) -> dict[Variable, Choices]:
    """The parts that concern the wished outputs, each with the codes that may serve."""
    narrow = _Narrowing(leaflet, wishes, held)
    found = {}
    for cell, at, part in leaflet.parts():
        if not narrow.concerns(part):
            continue
        first = held[cell.cv][at], cell.table[cell.supposed][at]
        codes, exact = narrow(part, _that_differ(part, first), first)
        row = Choices(cell, at, part, codes, exact)
        found[row.variable] = row
    return found


def _lit(leaflet: Leaflet, number: int, held: Mapping[CvAddress, tuple[int, ...]]) -> set[str]:
    """The switches that cells let light an output, as delivered or as they are held."""
    return {
        str(each.who)
        for cell, at, part in leaflet.parts()
        for code in (held[cell.cv][at], cell.table[cell.supposed][at])
        for each in part.codes[code]
        if each.name == "lights" and each.value == number
    }


def _that_differ(part: CellPart, first: Iterable[int]) -> tuple[int, ...]:
    """One code for each thing that can be said, `first` before others."""
    found: dict[tuple[Statement, ...], int] = {}
    for code in dict.fromkeys((*first, *part.codes)):
        found.setdefault(part.codes[code], code)
    return tuple(found.values())


class _Narrowing:
    """Leaves out codes that serve no wish."""

    def __init__(
        self,
        leaflet: Leaflet,
        wishes: Sequence[Wish],
        held: Mapping[CvAddress, tuple[int, ...]],
    ) -> None:
        self._wishes = wishes
        self._numbers = {wish.number for wish in wishes}
        self._wanted = {key for wish in wishes for key in wish.keys}
        self._keys = leaflet.keys_by_switch
        silent = {name for name, look in leaflet.looks.items() if look.silent}
        silent -= leaflet.told_elsewhere
        self._silent = {"effect": silent, "key": {UNKNOWN}}
        self._switches = {
            switch.name for number in self._numbers for switch in leaflet.lit_by[number]
        }
        self._lacking = any(
            not any(self._keys[switch.name] & wish.keys for switch in leaflet.lit_by[wish.number])
            for wish in wishes
        )
        self._useful = {wish.number: self._useful_of(leaflet, wish, held) for wish in wishes}

    def _useful_of(
        self, leaflet: Leaflet, wish: Wish, held: Mapping[CvAddress, tuple[int, ...]]
    ) -> set[str]:
        """The switches that may light an output: by a key that it asks for, else as they do."""
        switches = {switch.name for switch in leaflet.lit_by[wish.number]}
        asked = {name for name in switches if self._keys[name] & wish.keys}
        return asked or _lit(leaflet, wish.number, held) & switches or switches

    def concerns(self, part: CellPart) -> bool:
        """Whether a part says anything of a wished output, or of what lights it."""
        if part.names == {"lights"}:
            lit = {each.value for said in part.codes.values() for each in said}
            return bool(lit & self._numbers)
        return bool(part.who & (self._numbers | self._switches))

    def __call__(
        self, part: CellPart, codes: tuple[int, ...], first: tuple[int, int]
    ) -> tuple[tuple[int, ...], bool]:
        codes = _known(part, self._told(part, codes) or codes, first)
        wishes = [wish for wish in self._wishes if wish.number in part.who]
        if part.names and part.names <= {"rate_hz", *TIMES}:
            if len(codes) <= FEW:
                return codes, True
            near = _near(
                part, codes, first, lambda name: [t for wish in wishes for t in wish.times(name)]
            )
            return near, len(near) == len(codes) or part.names == {"rate_hz"}
        if part.names == {"lights"}:
            lit = self._lights(part, codes, first[0])
            return lit, len(lit) == len(codes) or not self._lacking
        if "key" in part.names and not part.names & {"effect", "lights"}:
            return self._with_keys(part, codes, first), True
        return codes, True

    def _told(self, part: CellPart, codes: tuple[int, ...]) -> tuple[int, ...]:
        """The codes of which both the effect and the key are known, if they say one."""
        return tuple(
            code
            for code in codes
            if not any(each.value in self._silent.get(each.name, ()) for each in part.codes[code])
        )

    def _lights(self, part: CellPart, codes: tuple[int, ...], held: int) -> tuple[int, ...]:
        """What lights an output by keys that it does not ask for goes out, if others can.

        It may stay as it is held: the output's own conditions may keep it dark then.
        """
        lit = {(str(each.who), each.value) for said in part.codes.values() for each in said}
        useful = any(
            number in self._useful and switch in self._useful[number] for switch, number in lit
        )
        dark = tuple(
            code
            for code in codes
            if not any(each.value in self._numbers for each in part.codes[code])
        )
        return codes if useful or not dark else tuple(dict.fromkeys((*dark, held)))

    def _with_keys(
        self, part: CellPart, codes: tuple[int, ...], first: tuple[int, int]
    ) -> tuple[int, ...]:
        """Keys that nobody asks for are left out, if no code that may serve has them too."""
        said = {code: {each.value for each in part.codes[code]} for code in codes}
        wanted = self._wanted | {NEVER, ALWAYS}
        serve = [code for code in codes if code in first or said[code] & wanted]
        keys = wanted.union(*(said[code] for code in serve))
        return tuple(code for code in codes if said[code] & keys)


def _known(part: CellPart, codes: tuple[int, ...], first: tuple[int, int]) -> tuple[int, ...]:
    """Of the codes whose meaning is not known, only the one that is held, or the delivered one."""
    unknown = [
        code for code in codes if any(isinstance(each.value, Unknown) for each in part.codes[code])
    ]
    if not unknown:
        return codes
    kept = next((code for code in first if code in unknown), unknown[0])
    return tuple(code for code in codes if code == kept or code not in unknown)


def _near(
    part: CellPart,
    codes: tuple[int, ...],
    first: tuple[int, int],
    wished: Callable[[str], list[float]],
) -> tuple[int, ...]:
    """The codes nearest to what is wished of each thing they say, on both sides, in ratio."""
    found = set(first)
    for name in sorted(part.names):
        values = {
            code: value
            for code in codes
            for each in part.codes[code]
            if each.name == name and isinstance(value := each.value, float)
        }
        for wish in wished(name):
            ranked = sorted(values, key=lambda code: abs(_ratio(values[code], wish)))
            above = [code for code in ranked if values[code] >= wish][:NEAR]
            below = [code for code in ranked if values[code] <= wish][:NEAR]
            found |= {*above, *below}
    return tuple(code for code in codes if code in found)


def _ratio(value: float, wish: float) -> float:
    if value <= 0 or wish <= 0:
        return 1e6 * (value - wish)
    return log(value / wish)
