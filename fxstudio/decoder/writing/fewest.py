"""The fewest CVs to write so that an effect is seen, given what the decoder holds now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from itertools import combinations

from fxstudio.dcc.cv import Bits, CvAddress
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.target import of_its_lamps
from fxstudio.decoder.writing.look import Lamps

MOST_KEPT = 64
"""Sets of CVs that are followed from lamp to lamp; the largest go first if there are more."""

Held = Mapping[CvAddress, int]
Parts = frozenset[Bits]
Cvs = frozenset[CvAddress]


def only_what_shows(compiled: Compiled, held: Held) -> dict[CvAddress, int]:
    """What a decoder that holds `held` must hold to show an effect, written as little as can be.

    Every CV keeps its value unless its compiled one is needed, alone or with others, for one of
    the lamps to look as in `compiled.seen`. A lamp that looks so already needs nothing, whatever
    codes bring it about. The shared rate is needed only if a lamp follows it.
    """
    target, rate = of_its_lamps(compiled, held), compiled.description.rate.address
    lamps = Lamps.of(compiled.description, compiled.seen)
    goals = {name: lamps.look(name, {**held, **target}) for name in lamps.names}
    with_rate = {**held, **({rate: target[rate]} if rate in target else {})}
    write = _Writing(target, lamps)

    def right(name: str, parts: Iterable[Bits]) -> bool:
        return lamps.look(name, write.put(with_rate, parts)).same_as(goals[name])

    changed = {name: write.changed(name, held) for name in lamps.names}
    ways = {name: _ways(lamps, name, changed[name], target, right) for name in lamps.names}
    written = _fewest_together(ways)
    chosen: list[Bits] = []
    for name in lamps.names:
        all_of_them = [bits for bits in changed[name] if bits.address in written]
        if right(name, all_of_them):
            chosen += all_of_them
        else:
            chosen += min((list(way) for way in ways[name] if _cvs(way) <= written), key=len)
    needed = write.put(held, chosen)
    if rate in target and any(
        not lamps.look(name, needed).same_as(goals[name]) for name in lamps.names
    ):
        needed[rate] = target[rate]
    return {cv: needed[cv] for cv in target}


def written_if_delivered(compiled: Compiled) -> frozenset[CvAddress]:
    """The CVs that must be written to a decoder as delivered."""
    works = compiled.description.works
    target = only_what_shows(compiled, works)
    return frozenset(cv for cv, value in target.items() if value != works[cv])


def _ways(
    lamps: Lamps,
    name: str,
    changed: Collection[Bits],
    target: Held,
    right: Callable[[str, Iterable[Bits]], bool],
) -> list[Parts]:
    """Sets of parts that make a lamp look right when they are written, none with one too many.

    Given its own fields, each key of a lamp that shines counts for itself, and a key less never
    lights a dark one: so its keys are dropped one by one and only its fields tried in all ways.
    """
    own = [bits for bits in _own_bits(lamps, name) if bits in changed]
    keys = [bits for bits in changed if bits not in own]
    taken_away = [bits for bits in keys if not bits.get(target[bits.address])]
    found: list[Parts] = []
    for count in range(len(own) + 1):
        for some in combinations(own, count):
            for given in dict.fromkeys(((), tuple(taken_away), tuple(keys))):
                if right(name, (*some, *given)):
                    way = _without_needless(some, given, lambda parts: right(name, parts))
                    if not any(other <= way for other in found):
                        found.append(way)
                    break
    return found or [frozenset(changed)]


def _without_needless(
    some: tuple[Bits, ...], keys: tuple[Bits, ...], fits: Callable[[Iterable[Bits]], bool]
) -> Parts:
    kept = list(keys)
    for bits in keys:
        fewer = [other for other in kept if other != bits]
        if fits((*some, *fewer)):
            kept = fewer
    return frozenset((*some, *kept))


def _fewest_together(ways: Mapping[str, Iterable[Parts]]) -> Cvs:
    """The smallest set of CVs in which every lamp has one of its ways."""
    unions: set[Cvs] = {frozenset()}
    for row in ways.values():
        mine = {_cvs(way) for way in row}
        both = sorted({union | cvs for union in unions for cvs in mine}, key=_small_first)
        least: list[Cvs] = []
        for union in both:
            if len(least) < MOST_KEPT and not any(other <= union for other in least):
                least.append(union)
        unions = set(least)
    return min(unions, key=_small_first)


def _small_first(cvs: Cvs) -> tuple[int, list[tuple[tuple[int, ...], int]]]:
    return len(cvs), sorted(cv.order for cv in cvs)


def _cvs(parts: Parts) -> Cvs:
    return frozenset(bits.address for bits in parts)


def _own_bits(lamps: Lamps, name: str) -> list[Bits]:
    index = lamps.description.index[lamps.wired[name].output]
    return [field.bits_of(index) for field in lamps.description.fields.values()]


def _all_bits(lamps: Lamps, name: str) -> Iterator[Bits]:
    output = lamps.wired[name].output
    yield from _own_bits(lamps, name)
    yield from (row.bits_of(output) for row in lamps.description.map_rows if row.reaches(output))


class _Writing:
    """Writes some parts of a target; bits that are no lamp's go with any part of their CV."""

    def __init__(self, target: Held, lamps: Lamps) -> None:
        self._target, self._lamps = target, lamps
        self._lamps_bits: dict[CvAddress, int] = defaultdict(int)
        for name in lamps.names:
            for bits in _all_bits(lamps, name):
                self._lamps_bits[bits.address] |= bits.mask

    def changed(self, name: str, held: Held) -> list[Bits]:
        """The parts of a lamp whose write changes anything."""
        return [
            bits
            for bits in _all_bits(self._lamps, name)
            if bits.address in self._target
            and self.put(held, [bits])[bits.address] != held[bits.address]
        ]

    def put(self, held: Held, parts: Iterable[Bits]) -> dict[CvAddress, int]:
        """`held` with these parts as in the target."""
        values = dict(held)
        for bits in parts:
            cv, mask = bits.address, self._lamps_bits[bits.address]
            value = values[cv] & mask | self._target[cv] & ~mask
            values[cv] = bits.put(value, bits.get(self._target[cv]))
        return values
