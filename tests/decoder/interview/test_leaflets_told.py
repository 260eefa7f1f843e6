"""Six invented leaflets, and others, told in answers: what comes out says what they print."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from decoder.interview import other_leaflets
from decoder.interview.answering import answered, answers_in
from decoder.leaflet.test_leaflets import own_cells, plain
from decoder.leaflet.test_leaflets import told as rows_told

from fxstudio.decoder.leaflet.evaluator import does
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import parse

FILES = Path(__file__).parents[1] / "leaflet" / "files"
ALL = pytest.mark.parametrize("name", [path.stem for path in sorted(FILES.glob("*.toml"))])


@cache
def told(name: str) -> str:
    return answered(answers_in(name)).text()


def described(name: str) -> Leaflet:
    return parse(Leaflet, tomllib.loads(told(name)))


def printed(name: str) -> Leaflet:
    return parse(Leaflet, tomllib.loads((FILES / f"{name}.toml").read_text("utf-8")))


@ALL
def test_every_answer_can_be_used_and_the_file_is_a_description(name):
    assert described(name).title == printed(name).title


@pytest.mark.parametrize(("name", "most"), [("marsh_hollow", 60), ("rook_lane", 25)])
def test_a_leaflet_needs_few_answers(name, most):
    assert len(answers_in(name)) <= most


def said_by(leaflet: Leaflet, cell, value: int):
    """All that a value says, with the names of outputs and numbers rounded."""

    def plain(each):
        number = isinstance(each.value, float)
        return each._replace(value=round(each.value, 9) if number else each.value)

    return {plain(each) for each in cell.statements(value)}


@ALL
def test_every_value_of_every_cv_says_the_same_as_in_the_file(name):
    ours, theirs = described(name), printed(name)
    assert ours.cells.keys() == theirs.cells.keys()
    for cv, cell in theirs.cells.items():
        own = ours.cells[cv]
        assert own.delivered == cell.delivered
        assert (own.lock, own.highest is None) == (cell.lock, cell.highest is None)
        assert sorted(own.table) == sorted(cell.table)
        for value in cell.table:
            assert said_by(ours, own, value) == said_by(theirs, cell, value), (cv, value)


@ALL
def test_every_output_does_the_same_as_in_the_file(name):
    """For the delivered values, and for the smallest, a middle and the largest of each CV."""
    ours, theirs = described(name), printed(name)
    for output, at in product(theirs.outputs, (None, 0, 1, 2)):
        held = {} if at is None else {cv: _value(cell, at) for cv, cell in theirs.cells.items()}
        mine, other = does(ours, output.number, held), does(theirs, output.number, held)
        assert mine.pattern == other.pattern
        assert mine.rate_hz == pytest.approx(other.rate_hz)
        assert (mine.lights, mine.own, mine.unknown) == (other.lights, other.own, other.unknown)


def _value(cell, at: int) -> int:
    values = sorted(cell.table)
    return (values[0], values[len(values) // 2], values[-1])[at]


@ALL
def test_outputs_keys_currents_and_effects_are_the_same(name):
    ours, theirs = described(name), printed(name)
    for mine, other in zip(ours.outputs, theirs.outputs, strict=True):
        assert (mine.name, mine.number, mine.limit_ma) == (other.name, other.number, other.limit_ma)
    assert ours.limit_ma == theirs.limit_ma
    assert ours.lit_by == theirs.lit_by
    for look_name, look in theirs.looks.items():
        own = ours.looks[look_name]
        assert (own.kind, own.given, own.unknown, own.rate_hz) == (
            look.kind,
            look.given,
            look.unknown,
            look.rate_hz,
        )


@ALL
def test_each_sentence_stands_above_what_it_gives(name):
    text = " ".join(line.removeprefix("# ") for line in told(name).splitlines())
    given = answered(answers_in(name)).so_far()
    sentences = [row.answer for row in given if re.fullmatch(r"line \d+", row.at)]
    assert len(sentences) > 1
    for sentence in sentences[:-1]:
        assert sentence in text


MORE = pytest.mark.parametrize("name", other_leaflets.READ)


@MORE
def test_every_value_says_what_another_leaflet_prints(name):
    read = described(name)
    for cell in own_cells(read):
        of = elder_moor_lamp(cell) if name == "elder_moor" else ()
        for value in range(256):
            whole = value % 128 if name == "quarry_lock" and cell.cv.number < 53 else value
            rows = other_leaflets.READ[name](cell.cv.number, whole, *of)
            assert (rows is not None) == (value in cell.table), (cell.cv, value)
            if rows is not None:
                expected = {(who, what, plain(said), *rest) for who, what, said, *rest in rows}
                assert rows_told(read, cell, value) == expected, (cell.cv, value)


def elder_moor_lamp(cell) -> tuple[str]:
    """Its page says whose it is."""
    return (f"lamp {cell.cv.page[1] + 1}",)


def test_locks_groups_dimming_and_rules_are_as_told():
    lock = described("quarry_lock")
    first = next(iter(lock.cells.values()))
    assert [(cv.number, value) for cv, value in first.lock.before] == [(15, 3)]
    assert [(cv.number, value) for cv, value in first.lock.after] == [(15, 0)]
    assert [(row.of, row.limit_ma) for row in lock.limits] == [(("1", "2"), 200)]
    assert (lock.levels, lock.pwm.refresh_ms) == (128, 10)
    assert [(row.cv, row.value) for row in lock.also] == [(55, 1)]
    assert described("osier_bank").rules == ("rule 1", "rule 2", "rule 3", "rule 4")


def test_a_value_that_is_not_printed_is_said_to_be_none_and_a_guess_is_marked():
    read = described("elder_moor")
    assert [row.delivered is None for row in read.cell_rows] == [True, *[False] * 3]
    assert [row.parts[0].known for row in read.cell_rows] == [*["leaflet"] * 3, "guess"]
    assert read.looks["fire"].unknown == {"lowest"}
