"""What a lamp says of when it shines and how bright: checks of its fields, and what follows."""

from __future__ import annotations

import pytest
from decoders import FLICKER, effect

from fxstudio.effect.drive import Moment
from fxstudio.effect.files import read_effect
from fxstudio.effect.writing import to_text
from fxstudio.errors import FxError


def lamp(**fields):
    return effect(bed={"output": 3, "key": "F1", **fields}).lamps["bed"]


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"together": ["F2"], "unless": ["F2"]}, "F2 cannot be on and off at once"),
        ({"together": ["F1"]}, "F1 is named twice: name each key once"),
        ({"unless": ["F3", "F3"]}, "F3 is named twice"),
        ({"unless": ["F29"]}, "bed.unless, entry 1': is not a function key"),
        ({"also": [{"key": "always", "while_off": True}]}, "needs a key, F0 to F28"),
        (
            {"also": [{"key": "F2", "unless": ["F2"]}]},
            "bed.also, entry 1': F2 is named twice",
        ),
        (
            {"also": [{"key": "F2", "level": 1.0}]},
            "bed.also, entry 1, level': is not a known field",
        ),
        ({"also": [{"key": "F2"}] * 8}, "lamps.bed.also': has too many entries"),
        (
            {
                "together": ["F2", "F3", "F4", "F5"],
                "unless": ["F6", "F7", "F8"],
                "dim": {"F9": 0.5},
            },
            "9 keys make a difference to it (F1, F2, F3, F4, F5, F6, F7, F8, F9); "
            "a lamp may have 8",
        ),
        (
            {"pattern": {"kind": "steady", "level": 0.35}, "dim": {"F6": 3.0}},
            "3 times as bright on F6 would be 105 %, more than full light: make it 2.857 at most",
        ),
        ({"dim": {"F6": -1.0}}, "lamps.bed.dim.F6': is too small"),
        ({"dim": {"F6": 21.0}}, "lamps.bed.dim.F6': is too large"),
        (
            {"dim": {"bright": 0.5}},
            "the name is not a function key\n  given:   bright\n  allowed: F0 to F28",
        ),
        ({"rate_hz": 26.0}, "lamps.bed.rate_hz': is too large"),
        ({"current_ma": 0.0}, "lamps.bed.current_ma': is too small"),
    ],
)
def test_what_cannot_be_is_refused_in_plain_words(fields, told):
    with pytest.raises(FxError) as error:
        lamp(**fields)
    assert told in str(error.value)


def test_a_factor_that_just_reaches_full_light_is_taken():
    assert lamp(pattern={"kind": "steady", "level": 0.1}, dim={"F6": 10}).dim == {"F6": 10.0}


LIT = {
    "together": ({"together": ["F2"]}, {"F1 F2", "F1 F2 F3"}),
    "unless": ({"unless": ["F2", "F3"]}, {"F1"}),
    "also": (
        {"also": [{"key": "F2", "unless": ["F1", "F3"]}]},
        {"F1", "F1 F2", "F1 F3", "F1 F2 F3", "F2"},
    ),
    "a key that dims it to nothing": ({"dim": {"F2": 0.0, "F3": 0.5}}, {"F1", "F1 F3"}),
    "its own key dims it to nothing": ({"dim": {"F1": 0.0}}, set()),
}


@pytest.mark.parametrize(("fields", "wanted"), LIT.values(), ids=LIT)
def test_it_is_lit_with_just_these_keys(fields, wanted):
    all_sets = ("", "F1", "F2", "F3", "F1 F2", "F1 F3", "F2 F3", "F1 F2 F3")
    gate = lamp(**fields).gate
    assert {keys for keys in all_sets if gate.lit_at(Moment(frozenset(keys.split())))} == wanted


@pytest.mark.parametrize(
    ("keys", "times"), [((), 1.0), (("F2",), 0.5), (("F3",), 2.0), (("F2", "F3"), 0.5)]
)
def test_of_several_keys_that_are_on_the_smallest_factor_counts(keys, times):
    dims = lamp(pattern={"kind": "steady", "level": 0.4}, dim={"F2": 0.5, "F3": 2.0}).dims
    assert dims.at_moment(Moment(frozenset(keys))) == times


def test_a_lamp_has_its_own_rate_or_the_shared_one():
    both = effect(
        5.0,
        bed={"output": 3, "pattern": FLICKER},
        flames={"output": 4, "pattern": FLICKER, "rate_hz": 8.0},
    )
    assert [both.rate_of(name) for name in both.lamps] == [5.0, 8.0]
    assert both.flickering() == ("bed",)


def test_a_file_says_it_all_and_reads_back(tmp_path):
    fields = {
        "together": ["F2"],
        "unless": ["F3"],
        "also": [{"key": "F5", "while_off": True, "travel": "reverse"}, {"key": "always"}],
        "dim": {"F6": 0.3},
        "rate_hz": 7.0,
        "current_ma": 4.5,
    }
    asked = effect(bed={"output": 3, "key": "F1", **fields})
    (tmp_path / "own.toml").write_text(to_text(asked), "utf-8")
    assert read_effect(tmp_path / "own.toml") == asked
    assert to_text(asked, to_text(asked)) == to_text(asked)
