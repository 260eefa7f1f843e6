"""A spoiled description works, or it is told what is wrong where and what is allowed."""

from __future__ import annotations

import re

import pytest
from decoder.leaflet.spoiled import READ, spoiled

from fxstudio.decoder.leaflet.evaluator import does, output_words
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import not_known, output_lines, paragraphs
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError

RAW = re.compile(r"Input should|Value error|<class|fxstudio\.|_type\b|Traceback")
"""What only a programmer understands."""


def use(leaflet: Leaflet) -> None:
    """What a person does with it first: have it printed, and see what outputs do."""
    list(paragraphs(leaflet)), not_known(leaflet), list(output_lines(leaflet))
    for cell in leaflet.cells.values():
        for value in sorted(cell.table)[::100]:
            for output in leaflet.outputs:
                output_words(output, does(leaflet, output.number, {cell.cv: value}))


@pytest.mark.parametrize("start", range(0, 300, 20))
def test_it_works_or_is_told(start):
    for seed in range(start, start + 20):
        try:
            use(parse(Leaflet, spoiled(seed)))
        except InputError as error:
            for each in (error, *error.more):
                assert each.field, (seed, each)
                assert each.problem, (seed, each)
                assert each.allowed or each.remedy, (seed, each)
                assert not RAW.search(str(each)), (seed, each)


def test_the_files_themselves_work():
    for data in READ:
        use(parse(Leaflet, data))


def test_a_description_without_end_is_refused():
    row = {"says": ["level", "lowest", "period", "time on"], "unknown": {}}
    data = {
        "title": "Endless",
        "outputs": {f"out {n}": {"key": "F1"} for n in range(32)},
        "cells": [{"cv": 513 + n, "parts": [row], "delivered": 0} for n in range(256)],
    }
    with pytest.raises(InputError, match="over 500,000 sentences"):
        parse(Leaflet, data)
    parse(Leaflet, data | {"cells": data["cells"][:2]})


def test_sixteen_parts_that_cannot_be_told_apart_are_told_by_their_codes():
    parts = [{"says": "level", "of": f"out {n}", "even": {}} for n in range(16)]
    data = {
        "title": "Many",
        "outputs": {f"out {n}": {"key": "F1"} for n in range(16)},
        "cells": [{"cv": 120, "highest": 255, "parts": parts, "delivered": 0}],
    }
    with pytest.raises(InputError, match="1 is code 0 of level of out 0"):
        parse(Leaflet, data)


def test_sums_below_a_highest_value_are_all_that_count():
    """Hundreds, tens and ones: 10 x 10 x 256 sums, of which 256 are values."""
    digits = [
        {"says": "level", "of": "a", "times": 100, "even": {}},
        {"says": "level", "of": "b", "times": 10, "even": {"to": 9}},
        {"says": "level", "of": "c", "even": {"to": 9}},
    ]
    data = {
        "title": "Figures",
        "outputs": {name: {"key": "F1"} for name in "abc"},
        "cells": [{"cv": 120, "highest": 255, "parts": digits, "delivered": 255}],
    }
    (cell,) = parse(Leaflet, data).cells.values()
    assert sorted(cell.table) == list(range(256))
    assert all(
        cell.table[value] == (value // 100, value // 10 % 10, value % 10) for value in cell.table
    )
