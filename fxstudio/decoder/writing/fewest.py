"""The fewest CVs to write so that an effect is seen, given what the decoder holds now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from itertools import combinations

from fxstudio.dcc.cv import CvAddress, Place
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.target import of_its_lamps
from fxstudio.decoder.writing.look import Lamps

MOST_KEPT = 64
"""Sets of CVs that are followed from lamp to lamp; the largest go first if there are more."""

Held = Mapping[CvAddress, int]
Places = frozenset[Place]
Cvs = frozenset[CvAddress]


def only_what_shows(compiled: Compiled, held: Held) -> dict[CvAddress, int]:
    """What a decoder that holds `held` must hold to show an effect, written as little as can be.

    Every CV keeps its value unless its compiled one is needed, alone or with others, for one of
    the lamps to look as in `compiled.seen`. A lamp that looks so already needs nothing, whatever
    codes bring it about. The shared rate is needed only if a lamp follows it.
    """
    target, rate = of_its_lamps(compiled, held), compiled.description.rate.address
    lamps = Lamps(compiled.seen, compiled.description)
    goals = {name: lamps.look(name, {**held, **target}) for name in lamps.names}
    with_rate = {**held, **({rate: target[rate]} if rate in target else {})}
    write = _Writing(target, lamps)

    def right(name: str, places: Iterable[Place]) -> bool:
        return lamps.look(name, write.put(with_rate, places)).same_as(goals[name])

    changed = {name: write.changed(name, held) for name in lamps.names}
    ways = {name: _ways(lamps, name, changed[name], target, right) for name in lamps.names}
    written = _fewest_together(ways)
    chosen: list[Place] = []
    for name in lamps.names:
        all_of_them = [place for place in changed[name] if place.address in written]
        inside = (way for way in ways[name] if _cvs(way) <= written)
        chosen += all_of_them if right(name, all_of_them) else min(inside, key=len)
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
    changed: Collection[Place],
    target: Held,
    right: Callable[[str, Iterable[Place]], bool],
) -> list[Places]:
    """Sets of places that make a lamp look right when they are written, none with one too many.

    Given its own fields, each key of a lamp that shines counts for itself, and a key less never
    lights a dark one: so its keys are dropped one by one and only its fields tried in all ways.
    """
    own = [place for place in _own_places(lamps, name) if place in changed]
    keys = [place for place in changed if place not in own]
    taken_away = [place for place in keys if not place.get(target[place.address])]
    found: list[Places] = []
    for count in range(len(own) + 1):
        for some in combinations(own, count):
            for given in dict.fromkeys(((), tuple(taken_away), tuple(keys))):
                if right(name, (*some, *given)):
                    way = _without_needless(some, given, lambda places: right(name, places))
                    if not any(other <= way for other in found):
                        found.append(way)
                    break
    return found or [frozenset(changed)]


def _without_needless(
    some: tuple[Place, ...], keys: tuple[Place, ...], fits: Callable[[Iterable[Place]], bool]
) -> Places:
    kept = list(keys)
    for place in keys:
        fewer = [other for other in kept if other != place]
        if fits((*some, *fewer)):
            kept = fewer
    return frozenset((*some, *kept))


def _fewest_together(ways: Mapping[str, Iterable[Places]]) -> Cvs:
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


def _cvs(places: Places) -> Cvs:
    return frozenset(place.address for place in places)


def _own_places(lamps: Lamps, name: str) -> list[Place]:
    index = lamps.description.index[lamps.like.lamps[name].output]
    return [field.place(index) for field in lamps.description.fields.values()]


def _places(lamps: Lamps, name: str) -> Iterator[Place]:
    output = lamps.like.lamps[name].output
    yield from _own_places(lamps, name)
    yield from (row.place(output) for row in lamps.description.map_rows if row.reaches(output))


class _Writing:
    """Writes some places of a target; bits that are no lamp's go with any place of their CV."""

    def __init__(self, target: Held, lamps: Lamps) -> None:
        self._target, self._lamps = target, lamps
        self._lamps_bits: dict[CvAddress, int] = defaultdict(int)
        for name in lamps.names:
            for place in _places(lamps, name):
                self._lamps_bits[place.address] |= place.mask

    def changed(self, name: str, held: Held) -> list[Place]:
        """The places of a lamp whose write changes anything."""
        return [
            place
            for place in _places(self._lamps, name)
            if place.address in self._target
            and self.put(held, [place])[place.address] != held[place.address]
        ]

    def put(self, held: Held, places: Iterable[Place]) -> dict[CvAddress, int]:
        """`held` with these places as in the target."""
        values = dict(held)
        for place in places:
            cv, bits = place.address, self._lamps_bits[place.address]
            value = values[cv] & bits | self._target[cv] & ~bits
            values[cv] = place.put(value, place.get(self._target[cv]))
        return values
