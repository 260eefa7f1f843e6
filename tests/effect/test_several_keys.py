"""A lamp with several keys, keys that dim it or a rate of its own: all that judges it knows.

Expected values are worked out by hand from the lamp's own fields.
"""

from __future__ import annotations

from itertools import product

import pytest
from decoders import FLICKER, GLIM, effect
from window_driver import Driver

from fxstudio.cli.look.script import Script
from fxstudio.decoder.move import put_on
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.sight import lamp_words
from fxstudio.editing.edits import set_field
from fxstudio.editing.playback import Playback
from fxstudio.effect.drive import Moment
from fxstudio.effect.writing import to_text
from fxstudio.film.calmer import slower, what_changed
from fxstudio.light.likeness import compare, pattern_lost
from fxstudio.light.truth_table import lit_together, proving_steps, truth_table

BED = {"output": 3, "key": "F1"}
SEVERAL = {
    "also": (
        {"also": [{"key": "F2", "travel": "reverse"}]},
        "further ways that light it: on F2, reverse only asked, on F2, both directions will be "
        'seen; set also = [{ key = "F2", while_off = false, travel = "both", motion = "both", '
        "together = [], unless = [] }]",
        True,
    ),
    "dim": (
        {"dim": {"F2": 0.3}},
        "times as bright: 0.3 times as bright on F2 asked, as bright with any key will be seen; "
        "set dim = {}",
        False,
    ),
    "dim to nothing": (
        {"dim": {"F2": 0.0}},
        "times as bright: 0 times as bright on F2 asked, as bright with any key will be seen; "
        "set dim = {}",
        True,
    ),
}


@pytest.mark.parametrize(("fields", "words", "grave"), SEVERAL.values(), ids=SEVERAL)
def test_a_decoder_that_cannot_do_it_has_a_compromise(fields, words, grave):
    asked = effect(bed={**BED, **fields})
    (told,) = compile_effect(asked, GLIM).compromises
    assert str(told).startswith(f"bed: {words} in the effect")
    assert told.grave == grave
    again = set_field(asked, told.change.path, told.change.value)
    assert compile_effect(again, GLIM).compromises == ()


@pytest.mark.parametrize(("fields", "words", "grave"), SEVERAL.values(), ids=SEVERAL)
def test_the_rows_of_the_truth_table_show_what_it_does(fields, words, grave):
    bed = effect(bed={**BED, **fields})
    for table in (truth_table(bed), proving_steps(bed)):
        shown = [table.words(row) for row in range(len(table.states))]
        plain = [("lit",) if "F1" in state.keys else ("-",) for state in table.states]
        assert shown != plain


def test_keys_that_matter_to_one_lamp_have_rows_together():
    bed = effect(bed={**BED, "together": ["F2"], "unless": ["F3"], "dim": {"F4": 0.5}})
    table = truth_table(bed)
    forward = {
        state.keys_text: table.words(row)[0]
        for row, state in enumerate(table.states)
        if state.forward
    }
    assert forward == {
        "no key": "-",
        "F1": "-",
        "F2": "-",
        "F3": "-",
        "F4": "-",
        "F1, F2": "lit",
        "F1, F2, F3": "-",
        "F1, F2, F4": "lit, 0.5 times as bright",
    }


def test_moving_to_a_decoder_tells_what_it_leaves_out():
    asked = effect(bed={**BED, "together": ["F2"], "also": [{"key": "F5"}]})
    moved = put_on(asked, GLIM, {})
    told = {row.what for row in moved.compiled.compromises if row.grave}
    assert told == {"other keys that must be on", "further ways that light it"}


@pytest.mark.parametrize(
    ("shared", "own", "told", "seen_hz"),
    [
        (5.0, {"a": 5.0, "b": 5.0}, set(), 5.0),
        (2.0, {"a": 5.0, "b": 5.0}, set(), 5.0),
        (5.0, {"a": None, "b": 10.0}, {"b"}, 5.0),
        (2.0, {"a": None, "b": 5.0, "c": 5.0}, {None}, 5.0),
    ],
)
def test_a_decoder_has_the_rate_that_suits_most(shared, own, told, seen_hz):
    lamps = {
        name: {"output": n, "key": "F1", "pattern": FLICKER} | ({"rate_hz": hz} if hz else {})
        for n, (name, hz) in enumerate(own.items(), start=2)
    }
    compiled = compile_effect(effect(shared, **lamps), GLIM)
    assert compiled.seen.rate_hz == pytest.approx(seen_hz, rel=0.05)
    assert {row.lamp for row in compiled.compromises if _is_far(row)} == told


def _is_far(row):
    """Whether a rate is another by more than a step of the decoder's."""
    if not row.what.endswith("rate"):
        return False
    asked, seen = (float(text.removesuffix(" Hz")) for text in (row.asked, row.seen))
    return abs(asked / seen - 1) > 0.1


def test_a_dimmed_lamp_is_compared_state_by_state():
    asked = effect(bed={**BED, "dim": {"F2": 0.3}})
    seen = effect(bed=BED)
    ((lamp,), pattern) = compare(asked, seen).lamps, seen.lamps["bed"].pattern
    # F2 is on in half of the states in which both are lit.
    assert lamp.lost == pytest.approx(pattern_lost(pattern.dimmed(0.3), pattern, 5.0, 5.0) / 2)
    assert lamp.words() == ("as bright with any key, instead of 0.3 times as bright on F2",)
    assert compare(asked, asked).lost == 0


def test_a_rate_of_its_own_is_compared():
    asked, seen = (
        effect(bed={**BED, "pattern": FLICKER, "rate_hz": rate_hz}) for rate_hz in (8.0, 2.0)
    )
    (lamp,) = compare(asked, seen).lamps
    assert lamp.octaves == -2
    assert lamp.words() == ("changes at 2 Hz instead of 8 Hz",)


def test_a_rate_of_its_own_comes_down_where_it_flashes_too_much():
    before = effect(bed={**BED, "pattern": FLICKER, "rate_hz": 20.0})
    after = slower(before, 1.0)
    assert after.rate_of("bed") < 1
    assert list(what_changed(before, after)) == [f"bed: rate_hz 20 to {after.rate_of('bed'):g}"]


@pytest.mark.parametrize(
    "lamps",
    [
        {"a": {**BED, "unless": ["F2"]}, "b": {"output": 4, "key": "F2", "unless": ["F1"]}},
        {
            "a": {**BED, "travel": "forward", "also": [{"key": "F2", "travel": "reverse"}]},
            "b": {"output": 4, "key": "F2", "while_off": True},
            "c": {"output": 5, "key": "F3", "together": ["F1"], "motion": "moving"},
        },
        {"a": {**BED, "dim": {"F2": 0.0}}, "b": {"output": 4, "key": "F2"}},
        {"a": {**BED, "pattern": {"kind": "steady", "level": 0.0}}},
    ],
)
def test_what_can_be_lit_together_is_what_some_state_lights(lamps):
    fire = effect(**lamps)
    states = [
        Moment(frozenset(key for key, on in zip(fire.keys, pressed, strict=True) if on), *ways)
        for pressed in product((False, True), repeat=len(fire.keys))
        for ways in product((False, True), repeat=2)
    ]
    lit = {
        frozenset(lamp.output for lamp in fire.lamps.values() if lamp.shining.lit_at(state))
        for state in states
    }
    found = set(lit_together(fire))
    assert found <= lit
    assert all(any(each <= other for other in found) for each in lit)


def test_the_words_of_a_lamp_say_what_dims_it():
    lamp = effect(bed={**BED, "dim": {"F2": 0.3}}).lamps["bed"]
    assert lamp_words(lamp) == "steady at 100 %, on F1, both directions, 0.3 times as bright on F2"


def test_currents_of_the_lamps_are_taken_where_none_is_given(run, tmp_path):
    lamps = {"a": {**BED, "current_ma": 4.5}, "b": {"output": 4, "key": "F1", "current_ma": 6.0}}
    (tmp_path / "own.toml").write_text(to_text(effect(**lamps)), "utf-8")
    assert "10.5 mA at most at once" in " ".join(run("currents", "--effect", "own.toml")[1].split())
    code, out, _ = run("currents", "4=1+1", "--effect", "own.toml")
    assert (code, "6.5 mA at most at once" in " ".join(out.split())) == (0, True)
    code, _, err = run("currents")
    assert (code, "no current is given" in err) == (2, True)


def test_it_is_first_shown_with_the_keys_that_light_it():
    bed = effect(bed={**BED, "together": ["F2"], "unless": ["F3"], "dim": {"F4": 0.5}})
    started = Playback(bed).throttle
    asked = Script(None, "forward", None, None, 3.0).drive_for(bed)
    for keys in (bed.shown_by.steps[0].keys, started.keys, asked.steps[0].keys):
        assert set(keys) == {"F1", "F2"}


def test_the_window_says_what_has_no_control(tmp_path):
    fields = {"unless": ["F3"], "dim": {"F4": 0.5}, "pattern": FLICKER, "rate_hz": 8.0}
    (tmp_path / "own.toml").write_text(to_text(effect(bed={**BED, **fields})), "utf-8")
    window = Driver(tmp_path / "own.toml")
    window.frame()
    said = window.texts()
    window.close()
    assert "In all it shines: on F1 while F3 is off, both directions." in said
    assert "It is 0.5 times as bright on F4." in said
    assert "It flickers at 8 Hz, not at the shared rate." in said
