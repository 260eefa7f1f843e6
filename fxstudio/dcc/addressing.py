"""CVs that decide to which address a decoder listens, and what writing one does to others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from fxstudio.dcc.cv import CvAddress

ADDRESS_CVS: Final = (1, 17, 18, 19, 29)
"""CVs that decide to which address it listens, in the order to write them.
Source: NMRA S-9.2.2 (2012)."""

ADDRESS_PAIR: Final = (17, 18)
"""The two halves of a long address. The first counts only once the second is written.
Source: NMRA S-9.2.1 (2012), C, read in a public retyped copy."""

PAIR_COUNTS: Final = f"CV{ADDRESS_PAIR[0]} counts once CV{ADDRESS_PAIR[1]} is written"
"""That fact in words, for all who tell it."""

SHORT: Final = CvAddress(1)
"""The short address."""

CLEARED: Final = {CvAddress(19): 0b11111111, CvAddress(29): 0b00100000}
"""Bits that a decoder clears by itself when CV1 is written on the programming track.
Source: NMRA S-9.2.3 (2012)."""

LOSES: Final = (1, 18)
"""CVs after whose write on the main it may no longer hear its old address. CV29 and CV19 come
after them, and in a consist it can still be written at its own address (common practice)."""

WAITS: Final = f"nothing yet: {PAIR_COUNTS}"
MAY_MOVE: Final = "no light changes; from now on it may listen to another address"
LOST: Final = (
    "no light changes; on the main nothing after this is heard at the old address: use the "
    "programming track"
)


def with_company(cvs: Iterable[CvAddress]) -> set[CvAddress]:
    """`cvs` and those that may have to be written with them."""
    cvs = set(cvs)
    pair = {CvAddress(number) for number in ADDRESS_PAIR}
    return cvs | (pair if cvs & pair else set()) | (CLEARED.keys() if SHORT in cvs else set())


def written_again(target: Mapping[CvAddress, int], held: Mapping[CvAddress, int]) -> set[CvAddress]:
    """CVs that would not hold their `target` after a write of CV1, though they hold it now."""
    return {
        cv
        for cv, bits in CLEARED.items()
        if target[cv] == held[cv] and target[cv] != held[cv] & ~bits
    }


def why_again(cv: CvAddress) -> str:
    """Why a CV is written though it holds the value already."""
    part = "it" if CLEARED[cv] == 0xFF else f"bit {CLEARED[cv].bit_length() - 1} of it"
    return f"as it was: writing CV{SHORT.number} on the programming track clears {part}"


def address_words(number: int, is_last: bool) -> str:
    """What is seen once a CV of the address is written."""
    if number == ADDRESS_PAIR[0]:
        return WAITS
    return LOST if number in LOSES and not is_last else MAY_MOVE
