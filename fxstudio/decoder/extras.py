"""Other CVs that a person wants written in the same sitting."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Final

from fxstudio.decoder.cv import PAGE_CVS, CvAddress
from fxstudio.decoder.values import check_values
from fxstudio.errors import InputError

ADDRESS_CVS: Final = (1, 17, 18, 19, 29)
"""CVs that decide to which address it listens, in the order to write them.
Source: NMRA S-9.2.2 (2012)."""

ADDRESS_PAIR: Final = (17, 18)
"""The two halves of a long address: the first counts only once the second is written.
Source: NMRA S-9.2.1 (2012)."""

LONG_ADDRESS_CV: Final = CvAddress(ADDRESS_PAIR[0])

READ_ONLY: Final = (7, 8)
"""Maker's version and maker's number. Source: NMRA S-9.2.2 (2012)."""

LIMITS: Final = {
    1: (1, 127, "a short address; 0 would switch digital control off"),
    17: (192, 231, "192 + the long address / 256; the largest long address is 10239"),
}
"""Smallest and largest value of CVs that could make a locomotive deaf.
Source: NMRA S-9.2.2 (2012)."""


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


def check_extras(extras: Iterable[Extra], taken: Collection[CvAddress] = ()) -> None:
    """Raise InputError for an extra CV that must not be written, or is written anyway."""
    seen: set[CvAddress] = set()
    for entry in extras:
        check_values({entry.cv: entry.value})
        number, where = entry.cv.number, str(entry.cv)
        if number in READ_ONLY:
            raise InputError(
                "holds the maker's version or number and is never written", field=where,
                remedy="leave it out; on many decoders a write there resets all CVs",
            )  # fmt: skip
        if number in PAGE_CVS:
            raise InputError(
                "only selects a page", field=where,
                remedy="leave it out; give the page with the CV you want, and it is selected",
            )  # fmt: skip
        if number in LIMITS:
            lowest, highest, help_ = LIMITS[number]
            if not lowest <= entry.value <= highest:
                raise InputError(
                    "would leave the locomotive without an address", field=where,
                    given=entry.value, allowed=f"{lowest} to {highest}: {help_}",
                    remedy="work out the value again",
                )  # fmt: skip
        if entry.cv in taken:
            raise InputError(
                "is set by the effect already", field=where, given=entry.value,
                remedy="leave it out, or change the effect",
            )  # fmt: skip
        if entry.cv in seen:
            raise InputError(
                "is given twice", field=where, given=entry.value, remedy="leave one of them out"
            )
        seen.add(entry.cv)
