"""Gates: when key, direction and motion let a lamp shine.

Checked against the rule written out by hand for every state.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from fxstudio.effect.drive import DriveTrace, Moment
from fxstudio.effect.gate import Gate, Way, every_moment
from fxstudio.effect.keys import ALWAYS, KEYS

WAYS = [
    Way(*each)
    for each in product(
        ("F0", "F2", ALWAYS),
        ("forward", "reverse", "both"),
        ("standing", "moving", "both"),
        (False, True),
    )
    if not (each[0] == ALWAYS and each[3])
]
STATES = [
    Moment(frozenset(keys), forward, moving)
    for keys in ((), ("F0",), ("F2",), ("F0", "F2"))
    for forward in (True, False)
    for moving in (True, False)
]


def holds(way, now):
    """The rule in plain words: each condition by itself."""
    by_key = way.key == ALWAYS or ((way.key in now.keys) != way.while_off)
    by_travel = way.travel == "both" or way.travel == now.travel
    by_motion = way.motion == "both" or (way.motion == "moving") == now.moving
    return by_key and by_travel and by_motion


def trace(states):
    return DriveTrace(
        forward=np.array([now.forward for now in states]),
        speed_kmh=np.array([12.0 * now.moving for now in states]),
        keys=np.array([[key in now.keys for key in KEYS] for now in states]),
    )


@pytest.mark.parametrize("way", WAYS, ids=Way.words)
def test_a_way_holds_where_all_its_conditions_do(way):
    wanted = [holds(way, now) for now in STATES]
    assert way.lit(trace(STATES)).tolist() == wanted
    assert [way.why_dark(now) is None for now in STATES] == wanted


@pytest.mark.parametrize(("one", "other"), list(product(WAYS[::3], WAYS[1::5])))
def test_any_way_of_a_gate_is_enough(one, other):
    gate = Gate((one, other))
    wanted = [holds(one, now) or holds(other, now) for now in STATES]
    assert gate.lit(trace(STATES)).tolist() == wanted
    assert [gate.lit_at(now) for now in STATES] == wanted
    assert [gate.why_dark(now) is None for now in STATES] == wanted
    assert Gate((one,)).meets(Gate((other,))) == any(
        holds(one, now) and holds(other, now) for now in STATES
    )


def test_a_gate_without_a_way_is_never_lit():
    assert not Gate().lit(trace(STATES)).any()
    assert Gate().why_dark(STATES[0]) == "no key lights it"
    assert Gate().words() == "never lit"


def test_every_moment_tells_each_key_apart():
    found = list(every_moment([Gate((Way("F0"), Way("F2")))]))
    assert set(found) == set(STATES)
    assert len(found) == len(STATES)


@pytest.mark.parametrize(
    ("way", "now", "why"),
    [
        (Way("F3"), Moment(), "key F3 is off"),
        (Way("F3", while_off=True), Moment(frozenset({"F3"})), "key F3 is on"),
        (Way(travel="reverse"), Moment(moving=True), "only in reverse"),
        (Way(travel="forward"), Moment(forward=False), "only forward, last ran in reverse"),
        (Way(motion="moving"), Moment(), "only while moving"),
    ],
)
def test_it_says_why_it_is_dark(way, now, why):
    assert way.why_dark(now) == why


@pytest.mark.parametrize(
    ("way", "words"),
    [
        (Way("F1", "forward"), "on F1, forward only"),
        (
            Way("F3", while_off=True, motion="moving"),
            "while F3 is off, both directions, while moving",
        ),
        (Way(), "lit without a key, both directions"),
    ],
)
def test_it_says_when_it_is_lit(way, words):
    assert way.words() == words
