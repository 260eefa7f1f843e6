"""Plans written to a decoder simulated here, with pages, locks and writes that reset others.

It obeys the leaflet alone: a cell takes a value only while its page is selected and what unlocks
it stands where it must. CVs 257 to 512 are those of the page in CV31 and CV32 (NMRA S-9.2.2, 2012,
from memory).
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.writing.plan import plan
from fxstudio.documents.reading import parse

CELLS = 5
HIGHEST = 9


@st.composite
def leaflets(draw) -> dict:
    """Cells in and out of pages; each may have a lock and reset some of those before it."""
    cells = []
    for n in range(CELLS):
        page = draw(st.sampled_from([None, (16, 4), (16, 5), (17, 4)]))
        row = {
            "cv": (300 if page else 120) + n,
            "parts": [{"says": "level", "of": f"o{n}", "even": {"to": HIGHEST}}],
            "delivered": draw(st.integers(0, HIGHEST)),
        }
        row |= {"page": list(page)} if page else {}
        near = [each["cv"] for each in cells if each.get("page") in (None, row.get("page"))]
        row["resets"] = [cv for cv in near if draw(st.integers(0, 2)) == 0]
        row |= {"before": {"201": n % 2 + 3}} if draw(st.booleans()) else {}
        row |= {"after": {"201": 1}} if draw(st.booleans()) else {}
        cells.append(row)
    outputs = {f"o{n}": {"key": "F1"} for n in range(CELLS)}
    around = {"before": {"200": 7}} if draw(st.booleans()) else {}
    around |= {"after": {"200": 0}} if around and draw(st.booleans()) else {}
    return {"title": "Simulated", "outputs": outputs, "cells": cells, **around}


class Decoder:
    """What keeps the bytes; `rows` are those of the leaflet."""

    def __init__(self, rows: dict, held: dict[CvAddress, int]) -> None:
        self.rows, self.held = rows, dict(held)
        self.by_cv = {address(row): row for row in rows["cells"]}

    def write(self, number: int, value: int) -> None:
        page = (self.held[CvAddress(31)], self.held[CvAddress(32)])
        cv = CvAddress(number, page if 257 <= number <= 512 else None)
        assert cv in self.held, f"there is no {cv}"
        row = self.by_cv.get(cv)
        if row:
            assert value <= HIGHEST
            for lock, opens in {**self.rows.get("before", {}), **row.get("before", {})}.items():
                assert self.held[CvAddress(int(lock))] == opens, f"{cv} is locked by CV{lock}"
            for other in row["resets"]:
                there = CvAddress(other, cv.page if other > 256 else None)
                self.held[there] = self.by_cv[there]["delivered"]
        self.held[cv] = value

    def follow(self, steps) -> dict[CvAddress, int]:
        for step in steps:
            self.write(step.cv.number, step.value)
        return dict(self.held)


def address(row: dict) -> CvAddress:
    return CvAddress(row["cv"], tuple(row["page"]) if "page" in row else None)


@settings(max_examples=100, deadline=None)
@given(leaflets(), st.data())
def test_a_plan_opens_all_locks_and_the_restore_list_brings_back_every_byte(rows, data):
    leaflet = parse(Leaflet, rows)
    values = st.integers(0, HIGHEST)
    others = {CvAddress(n): data.draw(values) for n in (31, 32, 200, 201)}
    held = {address(row): data.draw(values) for row in rows["cells"]} | others
    wanted = {address(row): data.draw(values) for row in rows["cells"] if data.draw(st.booleans())}
    made = plan(wanted, held, leaflet)
    real = Decoder(rows, held)
    after = real.follow(made.steps)
    if made.steps and "after" in rows:
        assert after.pop(CvAddress(200)) == rows["after"]["200"]
    for cv, value in after.items():
        if cv != CvAddress(201):  # what a single write locks again may stay locked
            assert value == {**held, **wanted}[cv], cv
    back = real.follow(made.restore)
    assert {cv: v for cv, v in back.items() if cv.number != 201} == {
        cv: v for cv, v in held.items() if cv.number != 201
    }
    assert plan(wanted, {**held, **wanted}, leaflet).steps == ()
