"""In which order CVs are written."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache

from fxstudio.dcc.addressing import ADDRESS_CVS
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description

Page = tuple[int, int]
SomePage = tuple[int | None, int | None]
"""Contents of CV31 and CV32; None where they are not known."""

MOST_PAGES_TRIED = 8
"""Up to here all orders of pages are compared; with more, always the nearest page is next."""

FIELD_ORDER = ("travel", "forward", "reverse", "level", "lowest", "effect")
"""An output's effect code comes last: what it starts is then right in all else."""

Rank = tuple[int, ...]


def in_order(
    cvs: Collection[CvAddress], page: SomePage, description: Description
) -> list[CvAddress]:
    """`cvs` as they are to be written, with the fewest changes of page.

    Parameters
    ----------
    cvs : what is to be written
    page : contents of CV31 and CV32 before; None where they are not known

    Other CVs come first, then keys, then output by output, then the shared rate, then those
    of the address. CVs without a page come before those with one, except the last two. With more
    than `MOST_PAGES_TRIED` pages under several CV31 there may be a way with fewer changes.
    """
    rate = description.rate.address
    ranks = _ranks(description)
    last = [CvAddress(number) for number in ADDRESS_CVS]
    body = sorted((cv for cv in cvs if cv != rate and cv not in last), key=lambda cv: (
        ranks.get(cv, (0,)), cv.order
    ))  # fmt: skip
    ordered = [cv for cv in body if cv.page is None]
    pages = list(dict.fromkeys(cv.page for cv in body if cv.page))
    for here in _route(pages, page, rate.page if rate in cvs else None):
        ordered += [cv for cv in body if cv.page == here]
    ordered += [rate] if rate in cvs else []
    return ordered + [cv for cv in last if cv in cvs]


def switches(here: SomePage, there: Page) -> int:
    """How many of CV31 and CV32 must be written to get from one page to another."""
    return sum(a != b for a, b in zip(here, there, strict=True))


def _route(pages: Sequence[Page], here: SomePage, last: Page | None) -> list[Page]:
    """The pages, each once, `last` in the end; with fewest writes of CV31 and CV32."""
    left = [page for page in pages if page != last]
    cv31 = {page[0] for page in (*pages, *((last,) if last else ()))}
    # Under one CV31 it only matters where one begins, and that a step ahead shows.
    tried = _shortest if len(cv31) > 1 and len(left) <= MOST_PAGES_TRIED else _nearest_next
    route = tried(left, here, last)
    return [*route, last] if last in pages else route


def _nearest_next(left: Sequence[Page], here: SomePage, last: Page | None) -> list[Page]:
    left, route = list(left), []
    while left:
        here = min(left, key=lambda page: switches(here, page))
        left.remove(here)
        route.append(here)
    return route


def _shortest(left: Sequence[Page], here: SomePage, last: Page | None) -> list[Page]:
    """All orders compared; among equals the one that keeps most to the order given."""

    @cache
    def best(here: SomePage, left: tuple[Page, ...]) -> tuple[int, tuple[int, ...], list[Page]]:
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
            cv, rank = field.place(index).address, (2, index, FIELD_ORDER.index(name))
            ranks[cv] = min(ranks.get(cv, rank), rank)
    return ranks
