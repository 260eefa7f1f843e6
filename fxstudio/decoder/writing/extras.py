"""Other CVs that a person wants written in the same sitting."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from fxstudio.dcc.cv import PAGE_CVS, CvAddress
from fxstudio.dcc.write_rules import check_write
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.lists import check_values
from fxstudio.errors import InputError


@dataclass(frozen=True)
class Extra:
    """One CV to write beside those of the effect.

    cv : its address
    value : 0..255
    note : what it is for, in the person's own words
    """

    cv: CvAddress
    value: int
    note: str


def offers_of(leaflet: Leaflet) -> dict[str, Extra]:
    """What the leaflet offers to write for other reasons, by its name."""
    return {
        row.name: Extra(CvAddress(row.cv, row.page), row.value, f"{row.name}: {row.why}")
        for row in leaflet.also
    }


def check_writable(cv: CvAddress, value: int) -> None:
    """Raise InputError for a CV that a plan may not write, or a value it cannot take."""
    check_values({cv: value})
    check_write(cv.number, value)
    if cv.number in PAGE_CVS:
        raise InputError("only selects a page", field=str(cv)).advising(
            "leave it out; give the page with the CV you want, and it is selected"
        )


def check_extras(extras: Iterable[Extra], taken: Collection[CvAddress] = ()) -> None:
    """Raise InputError for an extra CV that must not be written, or is written anyway."""
    seen: set[CvAddress] = set()
    for entry in extras:
        check_writable(entry.cv, entry.value)
        if entry.cv in taken:
            raise InputError(
                "is set by the effect already", field=str(entry.cv), given=entry.value
            ).advising("leave it out, or change the effect")
        if entry.cv in seen:
            raise InputError("is given twice", field=str(entry.cv), given=entry.value).advising(
                "leave one of them out"
            )
        seen.add(entry.cv)
