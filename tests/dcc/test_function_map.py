"""The function map and the use of CVs against NMRA S-9.2.2 (2012)."""

from __future__ import annotations

import tomllib

import pytest
from sources import TRUTHS, truth

from fxstudio.dcc import cv
from fxstudio.dcc.cv import Bits, CvAddress, refusal
from fxstudio.dcc.function_map import FUNCTION_MAPS, keys_reaching, rows_for

ROWS = FUNCTION_MAPS["s-9.2.2"]
TRUTH = truth("s_9_2_2_function_map.csv")
USES = tomllib.loads((TRUTHS / "s_9_2_2_cv_uses.toml").read_text("utf-8"))


def test_the_map_has_the_cvs_of_the_standard():
    assert [row.cv for row in ROWS] == [int(row["cv"]) for row in TRUTH]


@pytest.mark.parametrize("told", TRUTH, ids=lambda row: row["cv"])
def test_a_row_of_the_map_is_as_in_the_standard(told):
    row = next(row for row in ROWS if row.cv == int(told["cv"]))
    reached = [output for output in range(1, 33) if row.reaches(output)]
    assert (row.key, row.travel) == (told["key"], told["travel"])
    assert (reached[0], reached[-1]) == (int(told["lowest_output"]), int(told["highest_output"]))
    assert row.works_output == int(told["default_output"])
    assert row.bits_of(row.works_output).put(0, 1) == int(told["default_value"])


def test_the_window_shifts_at_cv_38():
    by_cv = {row.cv: row for row in ROWS}
    assert by_cv[37].lowest_output == 1
    assert by_cv[38].lowest_output == 4


def test_f4_cannot_reach_the_first_three_outputs_and_f0_none_from_nine():
    assert not rows_for(ROWS, 3, "F4", "both")
    assert rows_for(ROWS, 4, "F4", "both")
    assert not rows_for(ROWS, 9, "F0", "both")
    assert [row.cv for row in rows_for(ROWS, 8, "F0", "both")] == [33, 34]
    assert [row.cv for row in rows_for(ROWS, 8, "F0", "reverse")] == [34]


def test_keys_that_reach_an_output():
    assert keys_reaching(ROWS, 3) == ("F0", "F1", "F2", "F3")
    assert keys_reaching(ROWS, 14) == ("F9", "F10", "F11", "F12")


def test_cvs_that_makers_may_use_are_those_of_the_standard():
    free = {n for first, last in USES["maker_unique"] for n in range(first, last + 1)}
    paged = set(range(USES["indexed"][0], USES["indexed"][1] + 1))
    for number in range(USES["first"], USES["last"] + 1):
        assert (refusal(CvAddress(number)) is None) == (number in free)
        assert (refusal(CvAddress(number, (16, 0))) is None) == (number in paged)
    assert [USES["first"], USES["last"]] == [cv.FIRST_CV, cv.LAST_CV]
    assert list(cv.CV31_RANGE[:2]) == USES["cv31"]
    assert list(cv.CV32_RANGE[:2]) == USES["cv32"]


@pytest.mark.parametrize(
    ("address", "words"),
    [
        (CvAddress(7), "CV7 holds the maker's version number and cannot be written"),
        (CvAddress(8), "CV8 holds the maker's number and cannot be written"),
        (CvAddress(33), "CV33 is a CV of the function map"),
        (CvAddress(300), "CV300 needs a page: CV31 and CV32 select it"),
        (CvAddress(150, (20, 0)), "CV150 has no pages"),
        (CvAddress(29), "CV29 is not in a range left to makers"),
    ],
)
def test_a_refused_cv_says_why(address, words):
    assert refusal(address) == words


def test_a_place_writes_its_own_bits_only():
    bits = Bits(CvAddress(150), bit=3, count=2)
    assert bits.put(0b1111_1111, 0b01) == 0b1110_1111
    assert bits.put(0, 0b11) == 0b0001_1000
    assert bits.get(0b0001_0000) == 0b10
    assert str(bits) == "CV150 bits 3 to 4"


def test_addresses_go_page_by_page():
    addresses = [CvAddress(257, (17, 0)), CvAddress(300, (16, 1)), CvAddress(600), CvAddress(33)]
    ordered = sorted(addresses, key=lambda address: address.order)
    assert [str(address) for address in ordered] == [
        "CV33",
        "CV600",
        "CV300 (CV31 = 16, CV32 = 1)",
        "CV257 (CV31 = 17, CV32 = 0)",
    ]
