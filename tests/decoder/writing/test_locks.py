"""Writes that a leaflet wants around others stand where it wants them, on both ways."""

from __future__ import annotations

import pytest
from decoders import effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.extras import offers_of
from fxstudio.decoder.writing.plan import plan, to_read
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError

LOCK, CONFIRM = CvAddress(200), CvAddress(201)
ROWS = {
    "title": "Fen Gate 2",
    "outputs": {"A": {"key": "F1"}, "B": {"key": "F2"}},
    "effects": {"flicker": {"kind": "flicker", "lowest": 0.2, "style": "hold"}},
    "cells": [
        {
            "cv": {"A": 120, "B": 121},
            "parts": [{"says": "effect", "codes": {"0": "steady", "1": "flicker"}}],
            "delivered": 0,
        },
        {
            "cv": 130,
            "parts": [{"says": "rate", "each_hz": 0.5, "from": 1, "to": 40}],
            "delivered": 4,
        },
    ],
}
FIRE = effect(
    3.0,
    bed={"output": 1, "key": "F1"},
    flames={
        "output": 2,
        "key": "F2",
        "pattern": {"kind": "flicker", "style": "hold", "lowest": 0.2, "highest": 1.0},
    },
)


def decoder(**more) -> Leaflet:
    return parse(Leaflet, {**ROWS, **more})


def row(index: int, **more) -> Leaflet:
    cells = [dict(cell) for cell in ROWS["cells"]]
    cells[index] |= more
    return decoder(cells=cells)


def writes(steps) -> list[tuple[int, int]]:
    return [(step.cv.number, step.value) for step in steps]


def test_a_lock_stands_around_all_writes_and_is_as_before_in_the_end():
    locked = decoder(before={"200": 7}, after={})
    made = plan(compile_effect(FIRE, locked), {LOCK: 1}, locked)
    assert writes(made.steps) == [(200, 7), (121, 1), (130, 6), (200, 1)]
    assert writes(made.restore) == [(200, 7), (121, 0), (130, 4), (200, 1)]
    assert "unlocks" in made.steps[0].why


def test_what_locks_again_is_written_last_even_if_it_is_not_known_what_stood_there():
    locked = decoder(before={"200": 7}, after={"200": 0})
    made = plan(compile_effect(FIRE, locked), None, locked)
    assert writes(made.steps) == [(200, 7), (121, 1), (130, 6), (200, 0)]
    assert made.steps[0].before is None


def test_what_is_unlocked_already_is_not_written_again():
    locked = decoder(before={"200": 7})
    made = plan(compile_effect(FIRE, locked), {LOCK: 7}, locked)
    assert writes(made.steps) == [(121, 1), (130, 6)]


def test_a_write_that_must_be_confirmed_is_each_time():
    confirmed = row(0, after={"201": 1})
    both = effect(
        3.0,
        **{
            n: {
                **FIRE.lamps["flames"].model_dump(),
                "output": o,
                "key": f"F{o}",
                "place": "bed",
                "colour": "#ff8000",
            }
            for o, n in ((1, "a"), (2, "b"))
        },
    )
    made = plan(compile_effect(both, confirmed), None, confirmed)
    assert writes(made.steps) == [(120, 1), (201, 1), (121, 1), (201, 1), (130, 6)]
    assert [step.why for step in made.steps if step.cv == CONFIRM] == [
        "this must be written after CV120",
        "this must be written after CV121",
    ]


@pytest.mark.parametrize("held", [4, 9])
def test_what_a_write_resets_is_written_again_and_after_it(held):
    resets = row(0, resets=[130])
    made = plan(compile_effect(FIRE, resets), {CvAddress(130): held}, resets)
    assert writes(made.steps) == [(121, 1), (130, 6)]
    assert made.steps[1].before == 4  # by then it is as delivered
    back = [(121, 0)] + ([(130, held)] if held != 4 else [])
    assert [write for write in writes(made.restore) if write != (130, 4)] == back


def test_nothing_to_write_unlocks_nothing():
    locked = decoder(before={"200": 7}, after={"200": 0})
    calm = effect(3.0, bed={"output": 1, "key": "F1"})
    assert plan(compile_effect(calm, locked), None, locked).steps == ()


ALSO = {"name": "soft start", "cv": 108, "value": 3, "delivered": 0, "why": "gentler start"}


def test_what_the_leaflet_offers_besides_goes_along_only_when_asked_for_and_is_undone():
    offering = decoder(also=[ALSO])
    compiled = compile_effect(FIRE, offering)
    assert 108 not in [cv for cv, _ in writes(plan(compiled, None, offering).steps)]
    made = plan(compiled, None, offering, [offers_of(offering)["soft start"]])
    step = next(step for step in made.steps if step.cv.number == 108)
    assert (step.value, step.why) == (3, "soft start: gentler start")
    assert (108, 0) in writes(made.restore)


@pytest.mark.parametrize("now", [0, 7])
def test_the_way_back_unlocks_whatever_stands_there_and_leaves_it_as_it_was(now):
    locked = decoder(before={"200": 7}, after={"200": 0})
    made = plan(compile_effect(FIRE, locked), {LOCK: now}, locked)
    assert writes(made.steps)[-1] == (200, 0)
    assert writes(made.restore)[0] == (200, 7)
    assert writes(made.restore)[-1] == (200, now)


def test_a_lock_that_nobody_read_is_asked_for_and_told():
    locked = decoder(before={"200": 7})
    compiled = compile_effect(FIRE, locked)
    assert LOCK in to_read(compiled, locked)
    assert any("CV200 holds now, so it is left unlocked" in n for n in unread(compiled, locked))
    assert LOCK not in to_read(compiled, decoder(before={"200": 7}, after={"200": 0}))


def unread(compiled, leaflet) -> tuple[str, ...]:
    return plan(compiled, None, leaflet).notes


def test_what_goes_along_is_unlocked_too():
    offering = decoder(also=[ALSO], before={"200": 7})
    calm = compile_effect(effect(3.0, bed={"output": 1, "key": "F1"}), offering)
    made = plan(calm, {LOCK: 1}, offering, [offers_of(offering)["soft start"]])
    assert writes(made.steps) == [(200, 7), (108, 3), (200, 1)]


def test_the_page_is_set_back_before_it_is_locked_again():
    cells = [{**ROWS["cells"][0], "cv": {"A": 260, "B": 261}, "page": [40, 0]}, ROWS["cells"][1]]
    paged = decoder(cells=cells, before={"200": 7})
    page = {CvAddress(31): 0, CvAddress(32): 0}
    made = plan(compile_effect(FIRE, paged), {LOCK: 1, **page}, paged)
    assert writes(made.steps) == [(200, 7), (31, 40), (261, 1), (130, 6), (31, 0), (200, 1)]
    back = [(200, 7), (31, 40), (32, 0), (261, 0), (130, 4), (31, 0), (200, 1)]
    assert writes(made.restore) == back


def test_a_rate_whose_write_resets_others_is_written_before_them_and_once():
    made = plan(compile_effect(FIRE, row(1, resets=[120, 121])), None, row(1, resets=[120, 121]))
    assert writes(made.steps) == [(130, 6), (121, 1)]


def test_what_a_page_selects_is_reset_on_the_page_of_the_cell():
    on_page = {"page": [40, 0], "cv": 300, "resets": [301]}
    cells = [dict(ROWS["cells"][0]), {**ROWS["cells"][1], **on_page}]
    cells.append({**ROWS["cells"][1], "cv": 301, "page": [40, 0]})
    read = decoder(cells=cells)
    assert read.cells[CvAddress(300, (40, 0))].resets == (CvAddress(301, (40, 0)),)


@pytest.mark.parametrize("reset", [[120], [121], [120, 121]])
def test_writes_that_would_undo_each_other_are_refused(reset):
    cells = [ROWS["cells"][0] | {"resets": [130]}, ROWS["cells"][1] | {"resets": reset}]
    with pytest.raises(InputError, match="would be reset by what has to be written after it"):
        decoder(cells=cells)


@pytest.mark.parametrize(
    ("cv", "told"),
    [
        ("1", "part of the address"),
        ("8", "holds the maker's number"),
        ("31", "selects a page"),
        ("300", "another one on each page"),
        ("130", "a cell of the description itself"),
    ],
)
def test_what_can_be_no_lock_is_told(cv, told):
    with pytest.raises(InputError, match=told) as caught:
        decoder(before={cv: 3})
    assert "another CV" in caught.value.allowed
