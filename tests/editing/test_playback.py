"""Driving by hand: what a person changes happens at that moment, and fades play out."""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.documents.reading import parse
from fxstudio.editing.playback import LIVE_LOOP_S, Playback, Throttle
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.model import Effect
from fxstudio.light.simulation import Simulation

FADE_S = 0.4

LAMPS = parse(
    Effect,
    {
        "title": "Two lamps",
        "lamps": {
            "bed": {
                "output": 1,
                "key": "F1",
                "travel": "reverse",
                "colour": {"hex": "#ffffff"},
                "pattern": {"kind": "filament", "level": 0.8, "rise_s": FADE_S, "fall_s": FADE_S},
            },
            "flames": {
                "output": 2,
                "key": "F2",
                "colour": {"hex": "#ffffff"},
                "pattern": {"kind": "flicker"},
            },
        },
    },
)


@pytest.fixture
def playback():
    return Playback(LAMPS)


def light(playback, times=None):
    times = [playback.time_s] if times is None else times
    return Simulation(LAMPS, playback.drive).at(times)


def test_it_begins_standing_with_all_keys_on(playback):
    assert playback.throttle.travel == "stopped"
    assert playback.throttle.forward
    assert playback.throttle.keys == {"F1", "F2"}


def test_a_change_happens_now_and_the_past_stays(playback):
    playback.advance(5.0)
    assert light(playback).light[0, 0] == 0
    playback.turn("reverse")
    for _ in range(30):
        playback.advance(1 / 30)
    now = playback.time_s
    assert now == pytest.approx(6.0)
    # First-order rise: 1 - exp(-t / T) of the level. Source: any textbook on RC circuits.
    for age in (0.2, 0.4, 1.0):
        expected = 0.8 * (1 - np.exp(-age / FADE_S))
        assert light(playback, [5.0 + age]).light[0, 0] == pytest.approx(expected, abs=0.01)
    assert light(playback, [4.9]).light[0, 0] == pytest.approx(0, abs=1e-3)


def test_a_fade_goes_on_across_the_end_of_the_loop(playback):
    playback.advance(LIVE_LOOP_S - 0.2)
    playback.turn("reverse")
    course = []
    for _ in range(90):
        playback.advance(1 / 30)
        course.append(float(light(playback).light[0, 0]))
    assert np.all(np.diff(course) > -1e-6)
    assert np.max(np.diff(course)) < 0.8 / FADE_S / 30 * 1.05
    assert course[-1] == pytest.approx(0.8, abs=0.01)


def test_the_present_state_stays_for_ever(playback):
    playback.advance(3.0)
    playback.turn("reverse")
    for _ in range(400):
        playback.advance(0.1)
        if playback.time_s > 3.0 + 5 * FADE_S:
            assert light(playback).light[0, 0] == pytest.approx(0.8, abs=0.01)
    assert len(playback.drive.steps) == 1


def test_flicker_goes_on_unbroken_when_another_lamp_changes(playback):
    playback.advance(4.0)
    times = np.linspace(4.0, 5.0, 50)
    before = light(playback, times).light[:, 1]
    playback.turn("reverse")
    assert light(playback, times).light[:, 1] == pytest.approx(before)


def test_a_stopped_locomotive_keeps_its_direction(playback):
    playback.advance(1.0)
    playback.turn("reverse")
    playback.advance(5.0)
    playback.turn("stopped")
    assert playback.throttle.travel == "stopped"
    assert light(playback).lit[0, 0]
    assert LAMPS.lamps["bed"].gate.why_dark(playback.throttle.moment) is None
    playback.advance(30.0)
    assert light(playback).lit[0, 0]


@pytest.mark.parametrize(
    ("state", "lamp", "words"),
    [
        (Throttle(keys=frozenset({"F1", "F2"})), "bed", "only in reverse"),
        (Throttle(keys=frozenset({"F2"})), "bed", "key F1 is off"),
        (
            Throttle(stopped=True, keys=frozenset({"F1"})),
            "bed",
            "only in reverse, last ran forward",
        ),
        (Throttle(forward=False, keys=frozenset({"F1"})), "bed", None),
        (Throttle(keys=frozenset({"F1"})), "flames", "key F2 is off"),
        (Throttle(keys=frozenset({"F2"})), "flames", None),
    ],
)
def test_it_says_why_a_lamp_is_off(state, lamp, words):
    assert LAMPS.lamps[lamp].gate.why_dark(state.moment) == words


def test_many_quick_changes_end_in_the_last_one(playback):
    for number in range(100):
        playback.advance(0.05)
        playback.turn(("forward", "reverse", "stopped")[number % 3])
        playback.switch("F2")
    assert playback.throttle.travel == "forward"
    assert playback.throttle.keys == {"F1", "F2"}
    trace = playback.drive.at([playback.time_s])
    assert trace.forward[0]
    assert trace.keys[0, 2]


def test_time_stands_still_while_paused(playback):
    playback.paused = True
    playback.advance(1.0)
    assert playback.time_s == 0
    playback.turn("reverse")
    assert playback.throttle.travel == "reverse"


def test_its_own_drive_is_played_until_a_person_takes_over():
    effect = read_effect(find_effect("chimney_first"))
    playback = Playback(effect)
    assert playback.drive == effect.drive
    playback.advance(6.0)
    assert playback.throttle.travel == "reverse"
    assert playback.throttle.speed_kmh == 15
    playback.switch("F1")
    assert playback.own is None
    assert playback.throttle.travel == "reverse"
    assert not playback.throttle.keys
    playback.play_own(effect.drive)
    assert playback.throttle.travel == "forward"


def test_what_is_filmed_is_what_is_shown(playback):
    playback.advance(2.0)
    playback.turn("reverse")
    playback.run(40.0)
    trace = playback.to_film(6.0).at([0.0, 3.0])
    assert not trace.forward.any()
    assert (trace.speed_kmh == 40).all()
