"""The cells of a decoder: every CV with its parts, and what each of their codes says of whom.

This is a description with its families, groups and sums written out. Values are read and made
here and nowhere else: `Cell.codes` takes a value apart, `Cell.value` puts one together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from fxstudio.dcc.cv import LARGEST_VALUE, CvAddress
from fxstudio.decoder.leaflet.says import property_words
from fxstudio.effect.gate import Directed

Who = int | str
"""Of whom something is said: the number of an output, or the name of a switch."""


class Statement(NamedTuple):
    """One property of an output or a switch.

    who : the output or the switch
    name, value : the property, of `says.PROPERTIES`
    effects : the effects for which it counts; None for all
    key : the key while which it counts, for a level; None for ever
    """

    who: Who
    name: str
    value: object
    effects: frozenset[str] | None = None
    key: str | None = None


@dataclass(frozen=True, eq=False)
class CellPart:
    """A share of one cell's number.

    title : what it says and of whom: `effect of violet`
    times : how much each step of its code adds
    codes : what each code says; a code that is not in it is not allowed
    others : whether it belongs to something else of the decoder and is left as it is
    known, within : where its figures come from, and how sure a measured one is
    row : place of its row in the file, for errors
    in_sum : whether it is the share of one output in a sum of outputs
    """

    title: str
    times: int
    codes: Mapping[int, tuple[Statement, ...]]
    others: bool = False
    known: str = "leaflet"
    within: float | None = None
    row: tuple[str | int, ...] = ()
    in_sum: bool = False

    @cached_property
    def who(self) -> frozenset[Who]:
        """All of whom any of its codes says something."""
        return frozenset(each.who for said in self.codes.values() for each in said)

    @cached_property
    def names(self) -> frozenset[str]:
        """All properties that any of its codes gives."""
        return frozenset(each.name for said in self.codes.values() for each in said)

    @cached_property
    def only_while(self) -> bool:
        """Whether it says nothing but levels that count while a key is on."""
        said = [each for row in self.codes.values() for each in row]
        return bool(said) and all(each.key is not None for each in said)

    def words(self, code: int) -> str:
        """What a code says, without of whom: `random flicker`, `level 40 %`, `nothing`."""
        told = dict.fromkeys(
            property_words(each.name, each.value) + (f" while {each.key} is on" if each.key else "")
            for each in self.codes[code]
        )
        return ", ".join(told) or ("left as it is" if self.others else "nothing")


@dataclass(frozen=True)
class Lock:
    """Writes that have to go with one of a cell: what stands where before it, and after it."""

    before: tuple[tuple[CvAddress, int], ...] = ()
    after: tuple[tuple[CvAddress, int], ...] = ()


@dataclass(frozen=True, eq=False)
class Cell:
    """One CV: value = offset + sum of code x times over its parts.

    delivered : its value as delivered; None if that is not printed
    highest : the largest value that is allowed; None if all sums are
    lock : writes that go with one of it
    resets : cells that go back to delivered when it is written
    row : place of its row in the file, for errors
    """

    cv: CvAddress
    parts: tuple[CellPart, ...]
    delivered: int | None
    offset: int = 0
    highest: int | None = None
    lock: Lock = Lock()
    resets: tuple[CvAddress, ...] = ()
    row: tuple[str | int, ...] = ()
    standard: bool = field(default=False, kw_only=True)

    @cached_property
    def table(self) -> Mapping[int, tuple[int, ...]]:
        """Every allowed value with the codes of its parts."""
        return dict(self.sums())

    @property
    def supposed(self) -> int:
        """What it is taken to hold where nobody has read it: as delivered, or its smallest value.

        A smallest value is no knowledge: nothing is left out of a plan because of it, and nothing
        is written back.
        """
        return min(self.table, default=0) if self.delivered is None else self.delivered

    def sums(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        """All sums of its codes that it may hold, each with the codes, the smaller codes first."""
        highest = LARGEST_VALUE if self.highest is None else self.highest
        least = [part.times * min(part.codes) for part in self.parts]

        def sums(
            parts: Sequence[CellPart], value: int, codes: tuple[int, ...]
        ) -> Iterator[tuple[int, tuple[int, ...]]]:
            if not parts:
                yield value, codes
                return
            part, *rest = parts
            rest_is_least = sum(least[len(codes) + 1 :])
            for code in sorted(part.codes):
                if value + code * part.times + rest_is_least > highest:
                    return
                yield from sums(rest, value + code * part.times, (*codes, code))

        return sums(self.parts, self.offset, ())

    def codes(self, value: int) -> tuple[int, ...] | None:
        """The codes of its parts in a value; None if the value is not allowed."""
        return self.table.get(value)

    def value(self, codes: Sequence[int]) -> int:
        """The value with these codes."""
        return self.offset + sum(
            part.times * code for part, code in zip(self.parts, codes, strict=True)
        )

    def allows(self, codes: Sequence[int]) -> bool:
        """Whether the codes together make a value that is allowed."""
        value = self.value(codes)
        return self.table.get(value) == tuple(codes)

    @cached_property
    def is_free(self) -> bool:
        """Whether every code of a part is allowed with every code of the others."""
        count = 1
        for part in self.parts:
            count *= len(part.codes)
        return count == len(self.table)

    def statements(self, value: int) -> Iterator[Statement]:
        """All that an allowed value says."""
        for part, code in zip(self.parts, self.table[value], strict=True):
            yield from part.codes[code]

    def mended(self, value: int) -> int:
        """`value`, or for one that is not allowed the nearest that can be told.

        Of whom its figures say something that is none, all is as delivered; the rest is kept, and
        so is what is others'. Where the parts are no figures, all is as delivered.
        """
        if value in self.table:
            return value
        codes = list(self.table[self.supposed])
        figures = dict(self._figures(value))
        wrong = {who for at, code in figures.items() for who in self._lost(at, code)}
        for at, code in figures.items():
            part = self.parts[at]
            if code in part.codes and part.who.isdisjoint(wrong):
                codes[at] = code
        return self.value(codes) if self.allows(codes) else self.supposed

    def _lost(self, at: int, code: int) -> frozenset[Who]:
        """Of whom a part says nothing that is known."""
        part = self.parts[at]
        return frozenset() if code in part.codes else part.who

    def _figures(self, value: int) -> Iterator[tuple[int, int]]:
        """Each part's place and its figure in a value, where each goes into the next larger one."""
        order = sorted(range(len(self.parts)), key=lambda at: self.parts[at].times)
        times = [self.parts[at].times for at in order]
        rest = value - self.offset
        if rest < 0 or any(after % one for one, after in pairwise(times)):
            return
        for at, one, after in zip(order, times, [*times[1:], None], strict=True):
            yield at, rest // one if after is None else rest % after // one

    def words(self, value: int) -> Iterator[tuple[CellPart, int]]:
        """The parts of an allowed value with their codes, what is others' left out."""
        for part, code in zip(self.parts, self.table[value], strict=True):
            if not part.others:
                yield part, code

    def sum_words(self, codes: Sequence[int]) -> str:
        """How a sum comes about: `2 + 5 x 2`."""
        told = [
            str(code * part.times) if 1 in (part.times, code) else f"{part.times} x {code}"
            for part, code in zip(self.parts, codes, strict=True)
            if code or len(self.parts) == 1
        ]
        return " + ".join(([str(self.offset)] if self.offset else []) + told) or "0"


@dataclass(frozen=True)
class LightSwitch:
    """Something that lights outputs: a key in a direction, a rule, an output's own key.

    name : what the leaflet calls it
    key : its key; None if a cell says it
    travel : the directions in which it counts
    lights : the outputs that it lights, if no cell says them; None if cells do
    """

    name: str
    key: str | None = None
    travel: Directed = "both"
    lights: frozenset[int] | None = None
