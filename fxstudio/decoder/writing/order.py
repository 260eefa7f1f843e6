"""In which order CVs are written."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from typing import Final

from fxstudio.dcc.addressing import ADDRESS_CVS
from fxstudio.dcc.cv import CvAddress, CvPage
from fxstudio.decoder.leaflet.cells import Cell
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES
from fxstudio.decoder.writing.passing import Passing

SomePage = tuple[int | None, int | None]
"""Contents of CV31 and CV32; None where they are not known."""

MOST_PAGES_TRIED = 8
"""Up to here all orders of pages are compared; with more, always the nearest page is next."""

MOST_STATES_TRIED = 200
"""So many beginnings of an order are compared; then the best one is followed to its end."""

EFFECT_LAST: Final = 2
"""Where the lamps do not ask for another order, an output's conditions come first, then its level
and its times, and its effect last."""

Rank = tuple[int, ...]


def in_order(
    cvs: Collection[CvAddress],
    page: SomePage,
    leaflet: Leaflet,
    passing: Passing | None = None,
    home: SomePage | None = None,
) -> list[CvAddress]:
    """`cvs` as they are to be written, with the fewest changes of page.

    Parameters
    ----------
    cvs : what is to be written
    page : contents of CV31 and CV32 before; None where they are not known
    passing : what the lamps pass through; without it the order is the usual one
    home : the page that is selected again in the end; None if none is

    CVs whose write resets others come first. Then usually other CVs, then keys, then output by
    output; CVs without a page come before those with one. Of all orders with as few changes of
    page one is taken in which the fewest lamps pass through a brighter or a darker look than
    before and after. What is only a rate or a time of several outputs comes after them, and CVs
    of the address last. With more than `MOST_PAGES_TRIED` pages under several CV31 there may be a
    way with fewer changes, and with more than `MOST_STATES_TRIED` beginnings one with fewer such
    looks.
    """
    first = list(_resetting(cvs, leaflet))
    shared = sorted(
        (cv for cv in cvs if cv not in first and _is_shared(leaflet, cv)), key=lambda cv: cv.order
    )
    paced = [cv for cv in shared if cv.page == shared[0].page]
    address = [CvAddress(number) for number in ADDRESS_CVS if CvAddress(number) in cvs]
    apart = {*first, *paced, *address}
    last = (shared[0].page if shared else None) or home
    here = next((cv.page for cv in reversed(first) if cv.page), page)
    body = _usual([cv for cv in cvs if cv not in apart], here, last, leaflet)
    if passing:
        body = _Search(body, last, passing).gentlest(here)
    return [*first, *body, *paced, *address]


def _resetting(cvs: Collection[CvAddress], leaflet: Leaflet) -> Iterator[CvAddress]:
    """The CVs whose write resets others, each before those that it resets."""
    left = sorted(
        (cv for cv in cvs if cv in leaflet.cells and leaflet.cells[cv].resets),
        key=lambda cv: cv.order,
    )
    while left:
        reset = {cv for one in left for cv in leaflet.cells[one].resets}
        cv = next(cv for cv in left if cv not in reset)
        left.remove(cv)
        yield cv


def _is_shared(leaflet: Leaflet, cv: CvAddress) -> bool:
    """Whether a CV holds nothing but rates and times of several outputs."""
    if cv not in leaflet.cells:
        return False
    parts = [part for part in leaflet.cells[cv].parts if part.names]
    paces = {"rate_hz"} | {name for name, row in PROPERTIES.items() if row.times}
    return bool(parts) and all(len(part.who) > 1 and part.names <= paces for part in parts)


def switches(here: SomePage, there: SomePage) -> int:
    """How many of CV31 and CV32 must be written to get from one page to another."""
    return sum(a != b for a, b in zip(here, there, strict=True))


def _usual(
    cvs: Collection[CvAddress], page: SomePage, last: SomePage | None, leaflet: Leaflet
) -> list[CvAddress]:
    """By rank, page by page."""
    cells = leaflet.cells
    body = sorted(cvs, key=lambda cv: (_rank(cells[cv]) if cv in cells else (0,), cv.order))
    route = (None, *_route(_pages(body), page, last))
    return [cv for here in route for cv in body if cv.page == here]


@dataclass(frozen=True, order=True)
class _Beginning:
    """The beginning of an order; the one to follow next is the smallest.

    least : glares of any order that begins so, at least
    lacks : minus how many CVs it has
    order : which, by their number in the usual order
    paid : glares so far
    left : what is not in it yet
    here : the page it leads to
    """

    least: int
    lacks: int
    order: tuple[int, ...]
    paid: int = field(compare=False)
    left: frozenset[CvAddress] = field(compare=False)
    here: SomePage = field(compare=False)


@dataclass(frozen=True)
class _Search:
    """For the order with the fewest glares of those with as few changes of page as `usual`.

    A best-first search, A* (Hart, Nilsson and Raphael, 1968; from memory). Of all beginnings the
    one is followed next that may end with the fewest glares: those so far, and what each lamp by
    itself must still pass through, which is never more than all of them will. So the first order
    that is complete has the fewest. Of equals the longest goes first, then the most usual.
    """

    usual: Sequence[CvAddress]
    last: SomePage | None
    passing: Passing

    def gentlest(self, page: SomePage) -> list[CvAddress]:
        """The order, from the page that is selected at the beginning."""
        least = self.passing.least(frozenset(self.usual))
        if self._glares_of_usual() <= least:
            return list(self.usual)
        queue = [_Beginning(least, 0, (), 0, frozenset(self.usual), page)]
        seen: set[tuple[frozenset[CvAddress], SomePage]] = set()
        while queue:
            best = heapq.heappop(queue)
            if not best.left:
                return [self.usual[number] for number in best.order]
            if (best.left, best.here) in seen:
                continue
            seen.add((best.left, best.here))
            if len(seen) > MOST_STATES_TRIED:
                queue.clear()
            for cv in self._nexts(best.left, best.here):
                heapq.heappush(queue, self._followed(best, cv))
        return list(self.usual)

    def _glares_of_usual(self) -> int:
        lefts = (frozenset(self.usual[n + 1 :]) for n in range(len(self.usual)))
        steps = zip(self.usual, lefts, strict=True)
        return sum(len(self.passing.glares(cv, left)) for cv, left in steps)

    def _followed(self, begun: _Beginning, cv: CvAddress) -> _Beginning:
        left = begun.left - {cv}
        paid = begun.paid + len(self.passing.glares(cv, left))
        least = paid + self.passing.least(left)
        order = (*begun.order, self.usual.index(cv))
        return _Beginning(least, begun.lacks - 1, order, paid, left, cv.page or begun.here)

    def _nexts(self, left: frozenset[CvAddress], here: SomePage) -> Iterator[CvAddress]:
        """What may be written next; a page is left only when all of it is written."""
        ordered = [cv for cv in self.usual if cv in left]
        writable = [cv for cv in ordered if cv.page in (None, here)]
        for cv in writable:
            # What no lamp ties to anything that could come later is best written at once.
            tied = self.passing.tied(cv, writable)
            if all(one.page == here for one in tied) or tied == self.passing.tied(cv, left):
                yield from (one for one in writable if one in tied)
                return
        yield from writable
        if all(cv.page is None for cv in writable):
            others = _pages(ordered)
            for cv in ordered:
                if cv.page and self._is_on_the_way(cv.page, here, others):
                    yield cv

    def _is_on_the_way(self, page: CvPage, here: SomePage, others: tuple[CvPage, ...]) -> bool:
        """Whether no way through these pages is shorter than by this one first."""
        rest = tuple(other for other in others if other != page)
        by_it = switches(here, page) + _changes(page, rest, self.last)
        return by_it <= _changes(here, others, self.last)


def _pages(cvs: Iterable[CvAddress]) -> tuple[CvPage, ...]:
    """The pages of these CVs, each once."""
    return tuple(dict.fromkeys(cv.page for cv in cvs if cv.page))


@lru_cache(maxsize=4096)
def _changes(here: SomePage, pages: tuple[CvPage, ...], last: SomePage | None) -> int:
    """How often CV31 and CV32 must be written for these pages and, in the end, `last`."""
    route: list[SomePage] = [here, *_route(pages, here, last)]
    if last and route[-1] != last:
        route.append(last)
    return sum(switches(a, b) for a, b in pairwise(route))


def _route(pages: tuple[CvPage, ...], here: SomePage, last: SomePage | None) -> tuple[CvPage, ...]:
    """The pages, each once, `last` in the end; with fewest writes of CV31 and CV32."""
    left = tuple(page for page in pages if page != last)
    cv31 = {page[0] for page in (*pages, *([last] if last else []))}
    # Under one CV31 it only matters where one begins, and that a step ahead shows.
    if len(cv31) > 1 and len(left) <= MOST_PAGES_TRIED:
        route = _shortest(left, here, last)[1]
    else:
        route = _nearest_next(left, here)
    return (*route, *(page for page in pages if page == last))


def _nearest_next(pages: tuple[CvPage, ...], here: SomePage) -> tuple[CvPage, ...]:
    left, route = list(pages), list[CvPage]()
    while left:
        nearest = min(left, key=lambda page: switches(route[-1] if route else here, page))
        left.remove(nearest)
        route.append(nearest)
    return tuple(route)


@lru_cache(maxsize=4096)
def _shortest(
    left: tuple[CvPage, ...], here: SomePage, last: SomePage | None
) -> tuple[int, tuple[CvPage, ...]]:
    """Writes of CV31 and CV32, and the route; among equals the one that keeps most to the order.

    All orders compared: whichever page is next, the best way through those then left is always
    the same, so it is worked out once (Held and Karp, 1962; from memory).
    """
    if not left:
        return (switches(here, last) if last else 0), ()
    ways = []
    for page in left:
        cost, rest = _shortest(tuple(other for other in left if other != page), page, last)
        ways.append((switches(here, page) + cost, (page, *rest)))
    return min(ways, key=lambda way: way[0])


def _rank(cell: Cell) -> Rank:
    """What is written before what; a CV that says several things counts for the first."""
    ranks: list[Rank] = []
    for part in cell.parts:
        numbers = [who for who in part.who if isinstance(who, int)]
        if len(numbers) < len(part.who):
            ranks.append((1,))
        elif numbers:
            ranks.append((2, min(numbers), min(map(_late, part.names))))
    return min(ranks, default=(0,))


def _late(name: str) -> int:
    if name == "effect":
        return EFFECT_LAST
    return int(PROPERTIES[name].look)
