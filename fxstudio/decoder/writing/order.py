"""In which order CVs are written."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterator, Sequence
from functools import cache
from itertools import count, pairwise

from fxstudio.dcc.addressing import ADDRESS_CVS
from fxstudio.dcc.cv import CvAddress, CvPage
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.writing.passing import Passing

SomePage = tuple[int | None, int | None]
"""Contents of CV31 and CV32; None where they are not known."""

MOST_PAGES_TRIED = 8
"""Up to here all orders of pages are compared; with more, always the nearest page is next."""

MOST_STATES_TRIED = 200
"""So many beginnings of an order are compared; then the best one is followed to its end."""

FIELD_ORDER = ("travel", "forward", "reverse", "level", "lowest", "effect")
"""Where the lamps do not ask for another order, an output's effect code comes last."""

Rank = tuple[int, ...]


def in_order(
    cvs: Collection[CvAddress],
    page: SomePage,
    description: Description,
    passing: Passing | None = None,
) -> list[CvAddress]:
    """`cvs` as they are to be written, with the fewest changes of page.

    Parameters
    ----------
    cvs : what is to be written
    page : contents of CV31 and CV32 before; None where they are not known
    passing : what the lamps pass through; without it the order is the usual one

    Usually other CVs come first, then keys, then output by output; CVs without a page come
    before those with one. Of all orders with as few changes of page one is taken in which the
    fewest lamps pass through a brighter or a darker look than before and after. The shared rate
    comes after them, and CVs of the address last. With more than `MOST_PAGES_TRIED` pages under
    several CV31 there may be a way with fewer changes, and with more than `MOST_STATES_TRIED`
    beginnings one with fewer such looks.
    """
    rate = description.rate.address
    last = [CvAddress(number) for number in ADDRESS_CVS]
    body = _usual(cvs, page, description)
    if passing:
        body = _gentlest(body, page, rate.page if rate in cvs else None, passing)
    return [*body, *([rate] if rate in cvs else []), *(cv for cv in last if cv in cvs)]


def switches(here: SomePage, there: CvPage) -> int:
    """How many of CV31 and CV32 must be written to get from one page to another."""
    return sum(a != b for a, b in zip(here, there, strict=True))


def _usual(cvs: Collection[CvAddress], page: SomePage, description: Description) -> list[CvAddress]:
    """By rank, page by page; without the rate and the address."""
    rate = description.rate.address
    ranks = _ranks(description)
    body = sorted(
        (cv for cv in cvs if cv != rate and cv.number not in ADDRESS_CVS),
        key=lambda cv: (ranks.get(cv, (0,)), cv.order),
    )
    pages = list(dict.fromkeys(cv.page for cv in body if cv.page))
    route = [None, *_route(pages, page, rate.page if rate in cvs else None)]
    return [cv for here in route for cv in body if cv.page == here]


def _gentlest(
    usual: Sequence[CvAddress], page: SomePage, last: CvPage | None, passing: Passing
) -> list[CvAddress]:
    """The order with the fewest glares of those with as few changes of page as the usual one.

    Best first: what a beginning has cost, and what each lamp must still pass through at least.
    Of beginnings that cost the same the longest, then the one nearest to the usual order.
    """
    place = {cv: number for number, cv in enumerate(usual)}

    @cache
    def pages_left(left: frozenset[CvAddress]) -> tuple[CvPage, ...]:
        return tuple(dict.fromkeys(cv.page for cv in usual if cv.page and cv in left))

    @cache
    def way_left(here: SomePage, pages: tuple[CvPage, ...]) -> int:
        route = [here, *_route(pages, here, last)]
        if last and route[-1] != last:
            route.append(last)
        return sum(switches(a, b) for a, b in pairwise(route))

    def nexts(left: frozenset[CvAddress], here: SomePage) -> Iterator[CvAddress]:
        """What may be written next; a page is left only when all of it is written."""
        writable = [cv for cv in left if cv.page in (None, here)]
        for cv in sorted(writable, key=place.__getitem__):
            # What no lamp ties to anything that could come later is best written at once.
            tied = passing.tied(cv, writable)
            if all(one.page == here for one in tied) or tied == passing.tied(cv, left):
                yield from sorted(tied, key=place.__getitem__)
                return
        staying = any(cv.page == here for cv in left)
        others = tuple(there for there in pages_left(left) if there != here)
        for cv in sorted(left, key=place.__getitem__):
            if cv.page in (None, here):
                yield cv
            elif not staying:
                rest = tuple(there for there in others if there != cv.page)
                if switches(here, cv.page) + way_left(cv.page, rest) <= way_left(here, others):
                    yield cv

    everything = frozenset(usual)
    lefts = [everything - frozenset(usual[: n + 1]) for n in range(len(usual))]
    glaring = sum(len(passing.glares(*step)) for step in zip(usual, lefts, strict=True))
    if glaring <= passing.least(everything):
        return list(usual)
    ticket = count()
    queue = [(passing.least(everything), 0, (), next(ticket), 0, everything, page)]
    seen: set[tuple[frozenset[CvAddress], SomePage]] = set()
    while queue:
        _, _, order, _, cost, left, here = heapq.heappop(queue)
        if not left:
            return [usual[number] for number in order]
        if (left, here) in seen:
            continue
        seen.add((left, here))
        if len(seen) > MOST_STATES_TRIED:
            queue.clear()
        for cv in nexts(left, here):
            rest = left - {cv}
            paid = cost + len(passing.glares(cv, rest))
            entry = (paid + passing.least(rest), -len(order) - 1, (*order, place[cv]))
            heapq.heappush(queue, (*entry, next(ticket), paid, rest, cv.page or here))
    return list(usual)


def _route(pages: Sequence[CvPage], here: SomePage, last: CvPage | None) -> list[CvPage]:
    """The pages, each once, `last` in the end; with fewest writes of CV31 and CV32."""
    left = [page for page in pages if page != last]
    cv31 = {page[0] for page in (*pages, *((last,) if last else ()))}
    # Under one CV31 it only matters where one begins, and that a step ahead shows.
    tried = _shortest if len(cv31) > 1 and len(left) <= MOST_PAGES_TRIED else _nearest_next
    route = tried(left, here, last)
    return [*route, last] if last in pages else route


def _nearest_next(left: Sequence[CvPage], here: SomePage, last: CvPage | None) -> list[CvPage]:
    left, route = list(left), []
    while left:
        here = min(left, key=lambda page: switches(here, page))
        left.remove(here)
        route.append(here)
    return route


def _shortest(left: Sequence[CvPage], here: SomePage, last: CvPage | None) -> list[CvPage]:
    """All orders compared; among equals the one that keeps most to the order given."""

    @cache
    def best(here: SomePage, left: tuple[CvPage, ...]) -> tuple[int, tuple[int, ...], list[CvPage]]:
        if not left:
            return (switches(here, last) if last else 0), (), []
        ways = []
        for page in left:
            cost, places, rest = best(page, tuple(other for other in left if other != page))
            way = (switches(here, page) + cost, (order[page], *places), [page, *rest])
            ways.append(way)
        return min(ways)

    order = {page: index for index, page in enumerate(left)}
    return best(here, tuple(left))[2]


def _ranks(description: Description) -> dict[CvAddress, Rank]:
    """What is written before what; a CV that several things share counts for the first."""
    ranks: dict[CvAddress, Rank] = {CvAddress(row.cv): (1,) for row in description.map_rows}
    for name, field in description.fields.items():
        for index in range(len(description.outputs)):
            cv, rank = field.bits_of(index).address, (2, index, FIELD_ORDER.index(name))
            ranks[cv] = min(ranks.get(cv, rank), rank)
    return ranks
