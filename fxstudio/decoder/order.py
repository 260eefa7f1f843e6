"""In which order CVs are written."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from fxstudio.decoder.cv import CvAddress
from fxstudio.decoder.description import Description
from fxstudio.decoder.extras import ADDRESS_CVS

Page = tuple[int, int]
SomePage = tuple[int | None, int | None]
"""Contents of CV31 and CV32; None where they are not known."""

FIELD_ORDER = ("travel", "forward", "reverse", "level", "lowest", "effect")
"""An output's effect code comes last: what it starts is then right in all else."""

Rank = tuple[int, ...]


def in_order(
    cvs: Collection[CvAddress], page: SomePage, description: Description
) -> list[CvAddress]:
    """`cvs` as they are to be written, with as few changes of page as can be.

    Parameters
    ----------
    cvs : what is to be written
    page : contents of CV31 and CV32 before; None where they are not known

    Other CVs come first, then keys, then output by output, then the shared rate, then those
    of the address. Within one of these, CVs without a page come before those with one.
    """
    rate = description.rate.place.address
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


def _route(pages: Iterable[Page], here: SomePage, last: Page | None) -> list[Page]:
    """The pages, each once: always one of the nearest next, `last` in the end."""
    left = [page for page in pages if page != last]
    route = []
    while left:
        here = min(left, key=lambda page: switches(here, page))
        left.remove(here)
        route.append(here)
    return [*route, last] if last in pages else route


def _ranks(description: Description) -> dict[CvAddress, Rank]:
    """What is written before what; a CV that several things share counts for the first."""
    ranks: dict[CvAddress, Rank] = {CvAddress(row.cv): (1,) for row in description.map_rows}
    for name, field in description.fields.items():
        for index in range(len(description.outputs)):
            cv, rank = field.place(index).address, (2, index, FIELD_ORDER.index(name))
            ranks[cv] = min(ranks.get(cv, rank), rank)
    return ranks
