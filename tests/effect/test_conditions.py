"""A lamp with a condition beside key and direction: everything that asks when it is lit knows.

The rules are written out by hand: dark while its key is on, or dark while the engine stands.
"""

from __future__ import annotations

import numpy as np
import pytest
from decoders import GLIM, effect

from fxstudio.decoder.move import suit
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.sight import lamp_words
from fxstudio.editing.edits import set_field
from fxstudio.editing.studio import Studio
from fxstudio.editing.traces import Traces
from fxstudio.effect.drive import Moment, constant_drive
from fxstudio.effect.writing import to_text
from fxstudio.light.simulation import Simulation
from fxstudio.light.truth_table import proving_steps, truth_table

CASES = {
    "while off": (
        {"while_off": True},
        lambda now: "F1" not in now.keys,
        "key: while F1 is off asked, on F1 will be seen; set while_off = false in the effect",
        "while F1 is off, both directions",
        "off: key F1 is on",
    ),
    "moving": (
        {"motion": "moving"},
        lambda now: "F1" in now.keys and now.moving,
        'motion: while moving asked, standing and moving will be seen; set motion = "both"',
        "on F1, both directions, while moving",
        "off: only while moving",
    ),
    "standing": (
        {"motion": "standing"},
        lambda now: "F1" in now.keys and not now.moving,
        'motion: while standing asked, standing and moving will be seen; set motion = "both"',
        "on F1, both directions, while standing",
        "off: only while standing",
    ),
    "together": (
        {"together": ["F2"]},
        lambda now: {"F1", "F2"} <= now.keys,
        "other keys that must be on: F2 asked, none will be seen; set together = [] in the effect",
        "on F1 and F2, both directions",
        "off: key F2 is off",
    ),
    "unless": (
        {"unless": ["F2"]},
        lambda now: "F1" in now.keys and "F2" not in now.keys,
        "keys that must be off: F2 asked, none will be seen; set unless = [] in the effect",
        "on F1 while F2 is off, both directions",
        "off: key F2 is on",
    ),
}
MOMENTS = [
    Moment(frozenset(keys), True, moving) for keys in ((), ("F1",)) for moving in (False, True)
]


@pytest.fixture(params=CASES)
def case(request):
    fields, rule, compromise, words, dark = CASES[request.param]
    return effect(bed={"output": 3, "key": "F1", **fields}), rule, compromise, words, dark


@pytest.mark.parametrize("now", MOMENTS, ids=repr)
def test_the_simulation_lights_it_by_the_rule(case, now):
    asked, rule, *_ = case
    drive = constant_drive("forward", 30.0 * now.moving, tuple(now.keys))
    assert np.all(Simulation(asked, drive).loop.light[:, 0] > 0) == rule(now)


def test_the_default_drive_shows_it(case):
    asked, *_ = case
    assert Simulation(asked, asked.shown_by).loop.light.max() > 0


def test_truth_table_and_test_steps_have_it(case):
    asked, rule, *_ = case
    for table in (truth_table(asked), proving_steps(asked)):
        wanted = [rule(state) for state in table.states]
        assert table.lit[:, 0].tolist() == wanted
        assert len(set(wanted)) == 2  # they tell a lamp apart that has no such condition


def test_a_decoder_that_cannot_do_it_has_a_compromise(case):
    asked, _, words, *_ = case
    compiled = compile_effect(asked, GLIM)
    (told,) = compiled.compromises
    assert str(told).startswith(f"bed: {words}")
    assert told.change.in_words.startswith("Set ")
    again = set_field(asked, told.change.path, told.change.value)
    assert compile_effect(again, GLIM).compromises == ()


def test_it_is_told_what_is_lost(case):
    asked, *_, words, _ = case
    ((_, moved),) = suit(asked, {"glim": GLIM})
    (lamp,) = moved.likeness.lamps
    assert 0 < lamp.gating < 1 or "while F1 is off" in words
    assert f"on F1, both directions, instead of {words}" in lamp.words()
    assert lamp_words(asked.lamps["bed"]) == f"steady at 100 %, {words}"


def test_the_commands_for_writing_and_reading_tell_it(case, run, tmp_path):
    asked, _, compromise, *_ = case
    (tmp_path / "own.toml").write_text(to_text(asked), "utf-8")
    spoken = " ".join(compromise.partition(";")[0].split())
    for command in ("values", "plan", "truth"):
        accepted = ["--accept-dark"] if command == "plan" else []
        code, out, err = run(command, "own.toml", "--decoder", "withybank_glim", *accepted)
        assert code == 0, err
        assert spoken in " ".join(out.split()), command


def test_the_window_says_why_it_is_dark(case, tmp_path):
    asked, rule, *_, dark = case
    (tmp_path / "own.toml").write_text(to_text(asked), "utf-8")
    studio = Studio()
    studio.document.open(tmp_path / "own.toml")
    studio.begin()
    for now in MOMENTS:  # one after the other in one window
        studio.playback.play_own(constant_drive("forward", 30.0 * now.moving, tuple(now.keys)))
        studio.load()
        reason = dark if "F1" in now.keys else "off: key F1 is off"
        assert Traces(studio).words("bed") == ("lit, 100 %" if rule(now) else reason)
