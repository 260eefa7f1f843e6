"""Lists of CV values: what they may hold, and their files.

TOML and CSV say the same: CV, value, and the page for CVs 257 to 512.
"""

from __future__ import annotations

from collections.abc import Mapping

from fxstudio.decoder.cv import FIRST_CV, LARGEST_VALUE, LAST_CV, PAGED_RANGE, CvAddress
from fxstudio.errors import InputError


def check_values(values: Mapping[CvAddress, int]) -> None:
    """Raise InputError for a CV or a value that no decoder can have."""
    for cv, value in values.items():
        check_cv(cv)
        if type(value) is not int or not 0 <= value <= LARGEST_VALUE:
            raise InputError(
                "is not what a CV can hold", field=str(cv), given=value,
                allowed=f"a whole number from 0 to {LARGEST_VALUE}",
                remedy="choose a value in this range",
            )  # fmt: skip


def check_cv(cv: CvAddress) -> None:
    """Raise InputError for an address that there is not."""
    if not FIRST_CV <= cv.number <= LAST_CV:
        raise InputError(
            "there is no such CV", field="cv", given=cv.number,
            allowed=f"{FIRST_CV} to {LAST_CV}", remedy="check the number",
        )  # fmt: skip
    paged = cv.number in PAGED_RANGE
    if paged and cv.page is None:
        raise InputError(
            f"needs a page, as all CVs from {PAGED_RANGE.first} to {PAGED_RANGE.last} do",
            field=str(cv), allowed="contents of CV31 and CV32, each 0 to 255",
            remedy="add what CV31 and CV32 must hold before it",
        )  # fmt: skip
    if cv.page is not None:
        if not paged:
            raise InputError(
                "has no pages", field=f"CV{cv.number}", given=list(cv.page),
                remedy=f"leave the page out; only CVs {PAGED_RANGE.first} to "
                f"{PAGED_RANGE.last} have one",
            )  # fmt: skip
        if not all(type(part) is int and 0 <= part <= LARGEST_VALUE for part in cv.page):
            raise InputError(
                "has no such page", field=f"CV{cv.number}", given=list(cv.page),
                allowed=f"contents of CV31 and CV32, each 0 to {LARGEST_VALUE}",
                remedy="correct the page",
            )  # fmt: skip
