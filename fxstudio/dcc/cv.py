"""Configuration variables (CVs): addresses, bits, and which of them a maker may use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

from fxstudio.errors import InputError

LARGEST_VALUE: Final = 255
"""A CV holds one byte. Source: NMRA S-9.2.2 (2012)."""

FIRST_CV, LAST_CV = 1, 1024
"""Range of CV numbers. Source: NMRA S-9.2.2 (2012)."""

PAGE_CVS: Final = (31, 32)
"""The two CVs that select the page seen in CVs 257 to 512. Source: NMRA S-9.2.2 (2012)."""

CvPage = tuple[int, int]
"""Contents of CV31 and CV32."""


@dataclass(frozen=True)
class CvAddress:
    """Where a value is kept.

    number : 1..1024
    page : what must be selected before, for CVs 257..512; else None
    """

    number: int
    page: CvPage | None = None

    @property
    def order(self) -> tuple[tuple[int, ...], int]:
        """Sort order: CVs without a page first, then page by page."""
        return (self.page or (), self.number)

    def __str__(self) -> str:
        if self.page is None:
            return f"CV{self.number}"
        return f"CV{self.number} (CV31 = {self.page[0]}, CV32 = {self.page[1]})"


@dataclass(frozen=True)
class Bits:
    """Some bits of a CV: `count` of them from `bit` (0 is the lowest) upwards."""

    address: CvAddress
    bit: int = 0
    count: int = 8

    @property
    def mask(self) -> int:
        """These bits set, all others clear."""
        return ((1 << self.count) - 1) << self.bit

    def get(self, value: int) -> int:
        """The code that a CV value holds here."""
        return (value & self.mask) >> self.bit

    def put(self, value: int, code: int) -> int:
        """The CV value with `code` here and all other bits as they were."""
        return value & ~self.mask | code << self.bit

    def __str__(self) -> str:
        if self.count == 8:
            return str(self.address)
        last = self.bit + self.count - 1
        words = f"bit {self.bit}" if self.count == 1 else f"bits {self.bit} to {last}"
        return f"{self.address} {words}"


class CvRange(NamedTuple):
    """A run of CVs of one use."""

    first: int
    last: int
    use: str

    def __contains__(self, number: object) -> bool:
        return isinstance(number, int) and self.first <= number <= self.last


# Source: NMRA S-9.2.2 (2012), table of CVs; editions before it begin at 49 instead of 47
# (from memory).
MAKER_RANGES: Final = (
    CvRange(47, 64, "maker's own"),
    CvRange(112, 256, "maker's own"),
    CvRange(513, 879, "maker's own"),
)
PAGED_RANGE: Final = CvRange(257, 512, "selected by CV31 and CV32")
CV31_RANGE: Final = CvRange(16, 255, "pages for makers; 0 to 15 are reserved")
CV32_RANGE: Final = CvRange(0, 255, "pages")
READ_ONLY: Final = {7: "the maker's version number", 8: "the maker's number"}
"""CVs that cannot be written, and what they hold. Source: NMRA S-9.2.2 (2012)."""

TAKEN_RANGES: Final = (
    *(CvRange(cv, cv, f"holds {what} and cannot be written") for cv, what in READ_ONLY.items()),
    CvRange(33, 46, "is a CV of the function map"),
)

ALLOWED_TEXT: Final = (
    ", ".join(f"{row.first} to {row.last}" for row in MAKER_RANGES)
    + f"; {PAGED_RANGE.first} to {PAGED_RANGE.last} with a page"
)


def check_value(address: CvAddress, value: int) -> None:
    """Raise InputError for a value that no CV can hold."""
    if type(value) is not int or not 0 <= value <= LARGEST_VALUE:
        raise InputError("is not what a CV can hold", field=str(address), given=value).allowing(
            f"a whole number from 0 to {LARGEST_VALUE}", remedy="choose a value in this range"
        )


def refusal(address: CvAddress) -> str | None:
    """Why a maker may not keep an output's settings at `address`; None if it may."""
    number = address.number
    for row in TAKEN_RANGES:
        if number in row:
            return f"CV{number} {row.use}"
    if number in PAGED_RANGE:
        return None if address.page else f"CV{number} needs a page: CV31 and CV32 select it"
    if address.page:
        return f"CV{number} has no pages"
    if any(number in row for row in MAKER_RANGES):
        return None
    return f"CV{number} is not in a range left to makers"
