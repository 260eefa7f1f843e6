"""Gates: when key, direction and motion let a lamp shine.

Checked against the rule written out by hand for every state.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
] + [
    Way("F0", together=("F2",)),
    Way("F0", "forward", unless=("F2",)),
    Way("F2", while_off=True, together=("F0",), motion="moving"),
    Way("F0", while_off=True, unless=("F2",)),
    Way(together=("F2",), unless=("F0",)),
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
    all_on = all(key in now.keys for key in way.together)
    none_on = not any(key in now.keys for key in way.unless)
    return by_key and by_travel and by_motion and all_on and none_on


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
        (Way("F3", together=("F1", "F5")), Moment(frozenset({"F3", "F1"})), "key F5 is off"),
        (Way("F3", unless=("F1",)), Moment(frozenset({"F3", "F1"})), "key F1 is on"),
        (Way("F3", unless=("F1",)), Moment(frozenset({"F1"})), "key F3 is off"),
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
        (Way("F3", together=("F1",)), "on F1 and F3, both directions"),
        (
            Way("F3", "reverse", together=("F1", "F2"), unless=("F5", "F4")),
            "on F1, F2 and F3 while F4 and F5 are off, reverse only",
        ),
        (Way("F3", while_off=True, unless=("F2",)), "while F2 and F3 are off, both directions"),
    ],
)
def test_it_says_when_it_is_lit(way, words):
    assert way.words() == words


@pytest.mark.parametrize(
    ("ways", "before", "changes"),
    [
        ((Way("F1"),), (Way("F1", unless=("F2",)),), ["on F1 instead of on F1 while F2 is off"]),
        ((Way("F1"),), (Way("F1"),), []),
        (
            (Way("F1"), Way("F2")),
            (Way("F1"),),
            ["on F1, both directions, or on F2, both directions instead of on F1, both directions"],
        ),
    ],
)
def test_it_says_what_is_another(ways, before, changes):
    assert list(Gate(ways).changes_from(Gate(before))) == changes


def test_a_key_matters_in_the_directions_of_every_way_that_names_it():
    gate = Gate((Way("F1", "forward", unless=("F2",)), Way("F3", "reverse", together=("F2",))))
    assert gate.keys == ("F1", "F2", "F3")
    assert [gate.directions(key) for key in gate.keys] == [{True}, {True, False}, {False}]
    assert gate.keys_that_show() == ("F1",)


def test_the_share_of_states_that_differ_is_counted_over_all_keys():
    assert Gate((Way("F0"),)).unlike(Gate((Way("F0", together=("F2",)),))) == 1 / 4
    assert Gate((Way("F0"),)).unlike(Gate((Way(),))) == 1 / 2


@settings(max_examples=60, deadline=None)
@given(st.data(), st.integers(0, 4))
def test_a_table_of_states_as_ways_is_lit_in_just_these(data, count):
    keys = ("F0", "F2", "F3", "F12")[:count]
    moments = list(every_moment([Gate(tuple(map(Way, keys)))]))
    wanted = dict(zip(moments, data.draw(st.lists(st.booleans(), min_size=64)), strict=False))
    gate = Gate.of_states(wanted, keys)
    assert {now: gate.lit_at(now) for now in moments} == wanted
    assert gate == Gate.of_states(wanted.__getitem__, keys[::-1])
    for way in gate.ways:  # none can be left out
        assert Gate(tuple(each for each in gate.ways if each != way)).unlike(gate) > 0


@pytest.mark.parametrize(
    "ways",
    [
        (),
        (Way(),),
        (Way("F1"),),
        (Way("F1", while_off=True),),
        (Way("F1", "forward", unless=("F2",)),),
        (Way("F1", together=("F2", "F3"), motion="moving"),),
        (Way("F1"), Way("F2", "reverse")),
        (Way("F1", unless=("F2",)), Way("F2", unless=("F1",))),
    ],
    ids=lambda ways: Gate(ways).words(),
)
def test_the_fewest_ways_are_found_as_a_person_would_say_them(ways):
    found = Gate.of_states(Gate(ways).lit_at, ("F1", "F2", "F3"))
    assert set(found.ways) == set(ways)


def test_more_keys_than_can_be_searched_are_refused():
    with pytest.raises(ValueError, match="5 keys are too many"):
        Gate.of_states(lambda _: True, KEYS[:5])
