"""The truth table and the fewest test steps."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from decoders import effect
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from fxstudio.documents.reading import changed
from fxstudio.effect.drive import Moment, constant_drive
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.light.simulation import simulate
from fxstudio.light.truth_table import proving_steps, table_of, truth_table

KEY_A = {"output": 1, "key": "F1"}
ENDS = {
    "head": {"output": 1, "key": "F0", "travel": "forward"},
    "tail": {"output": 2, "key": "F0", "travel": "reverse"},
    "bed": {"output": 3, "key": "F1"},
    "lamp": {"output": 4, "key": "always"},
    "spare": {"output": 5, "key": "F1", "pattern": {"kind": "steady", "level": 0.0}},
}


def test_a_table_written_out_by_hand():
    rows = {str(state): lit for state, lit in truth_table(effect(**ENDS)).rows()}
    assert rows == {
        "forward, no key": ("lamp",),
        "reverse, no key": ("lamp",),
        "forward, F0": ("head", "lamp"),
        "reverse, F0": ("tail", "lamp"),
        "forward, F1": ("bed", "lamp"),
        "reverse, F1": ("bed", "lamp"),
    }


@pytest.mark.parametrize("name", shipped_effects())
def test_the_table_says_what_the_simulation_shows(name):
    fire = read_effect(shipped_effects()[name])
    times = np.arange(0, 6, 0.02)
    for state, lit in truth_table(fire).rows():
        drive = constant_drive(state.travel, 20.0 * state.moving, state.keys)
        light = simulate(fire, drive, times, seed=1).light.max(axis=0)
        assert tuple(n for n, most in zip(fire.lamps, light, strict=True) if most > 0) == lit


def test_steps_of_one_key():
    steps = proving_steps(effect(bed=KEY_A))
    assert [str(state) for state in steps.states] == [
        "forward, no key",
        "forward, F1",
        "reverse, no key",
        "reverse, F1",
    ]
    assert steps.lit[:, 0].tolist() == [False, True, False, True]


def test_without_keys_each_direction_is_one_step():
    steps = proving_steps(effect(lamp={"output": 1, "key": "always"}))
    assert [str(state) for state in steps.states] == ["forward, no key", "reverse, no key"]


def lamps_on(*pairs: tuple[str, str]):
    """An effect with a lamp for each (key, travel)."""
    rows = {
        f"lamp {n}": {"output": n, "key": key, "travel": travel}
        for n, (key, travel) in enumerate(pairs, start=1)
    }
    return effect(**rows)


SHIPPED = {name: read_effect(path) for name, path in shipped_effects().items()}


def minds_motion(fire):
    """Whether a lamp asks for more than keys and direction, which is all that `demands` knows."""
    return any(lamp.motion != "both" for lamp in fire.lamps.values())


CASES = {
    "one key": lamps_on(("F1", "both")),
    "two keys": lamps_on(("F1", "both"), ("F2", "both")),
    "ends": lamps_on(("F0", "forward"), ("F0", "reverse"), ("F1", "both")),
    "three forward": lamps_on(("F1", "forward"), ("F2", "forward"), ("F3", "forward")),
    "three of all": lamps_on(("F1", "forward"), ("F2", "reverse"), ("F3", "both")),
    "four": lamps_on(*((f"F{n}", "both") for n in range(1, 5))),
    "five": lamps_on(*((f"F{n}", "both") for n in range(1, 6))),
    "four ends": lamps_on(
        ("F1", "forward"),
        ("F1", "reverse"),
        ("F2", "forward"),
        ("F2", "reverse"),
        ("F3", "both"),
        ("F4", "both"),
    ),
    "always too": lamps_on(("always", "forward"), ("F1", "both"), ("F2", "reverse")),
    **{name: fire for name, fire in SHIPPED.items() if not minds_motion(fire)},
}


TRAVELS = ("forward", "reverse")


def demands(fire):
    """What must be seen, each as a test of (keys that are on, direction)."""
    for lamp in fire.lamps.values():
        ways = TRAVELS if lamp.travel == "both" else (lamp.travel,)
        for travel in TRAVELS:
            for on in (True, False) if lamp.key != "always" else ():
                yield lambda keys, way, k=lamp.key, t=travel, on=on: (k in keys) == on and way == t
            if lamp.key == "always":
                yield lambda keys, way, t=travel: way == t
        for other in set(fire.keys) - {lamp.key}:
            if lamp.key != "always":
                yield (
                    lambda keys, way, k=lamp.key, o=other, ways=ways: (
                        k not in keys and o in keys and way in ways
                    )
                )


@pytest.mark.parametrize("case", CASES)
def test_steps_meet_every_demand(case):
    steps = proving_steps(CASES[case])
    for number, demand in enumerate(demands(CASES[case])):
        assert any(demand(state.keys, state.travel) for state in steps.states), number


@pytest.mark.parametrize("case", CASES)
def test_no_fewer_steps_would_do(case):
    """Against the least cover found by a general integer programme (scipy, HiGHS)."""
    fire = CASES[case]
    states = [
        (keys, travel)
        for count in range(len(fire.keys) + 1)
        for keys in combinations(fire.keys, count)
        for travel in TRAVELS
    ]
    cover = np.array([[demand(*state) for state in states] for demand in demands(fire)], float)
    ones = np.ones(len(states))
    best = milp(ones, constraints=LinearConstraint(cover, lb=1), integrality=ones, bounds=(0, 1))
    assert best.success
    assert len(proving_steps(fire).states) == round(best.fun)


some_lamps = st.lists(
    st.tuples(
        st.sampled_from(("always", "F0", "F1", "F2", "F3", "F4", "F5")),
        st.sampled_from(("forward", "reverse", "both")),
    ),
    min_size=1,
    max_size=10,
)


@given(some_lamps)
@settings(max_examples=50, deadline=None)
def test_any_effect_is_proved(pairs):
    fire = lamps_on(*pairs)
    states = proving_steps(fire).states
    assert all(any(demand(s.keys, s.travel) for s in states) for demand in demands(fire))


def wrong_lamps(lamp, keys):
    """The lamp as a mistake in one CV would make it: other keys, other directions."""
    for travel in ("forward", "reverse", "both"):
        for key in (*keys, "always"):
            if (key, travel) != (lamp.key, lamp.travel):
                yield changed(lamp, key=key, travel=travel)


@pytest.mark.parametrize("case", CASES)
def test_steps_find_any_lamp_on_a_wrong_key_or_direction(case):
    fire = CASES[case]
    steps = proving_steps(fire)
    for name, lamp in fire.lamps.items():
        for wrong in wrong_lamps(lamp, fire.keys):
            other = changed(fire, lamps={**fire.lamps, name: wrong})
            assert not np.array_equal(table_of(other, steps.states).lit, steps.lit), (name, wrong)


def test_many_keys_end_soon_and_are_told_apart():
    many = lamps_on(*((f"F{n}", "forward") for n in range(29)))
    steps = proving_steps(many)
    # Sperner: 6 steps tell at most 20 keys apart, 7 steps 35; 2 steps for the way back.
    assert [sum(s.travel == t for s in steps.states) for t in TRAVELS] == [7, 2]
    assert len({tuple(row) for row in steps.lit.T}) == 29


def test_states_in_words():
    assert str(Moment(forward=False)) == "reverse, no key"
    assert Moment(frozenset({"F3", "F1"})).keys_text == "F1, F3"


def test_truth_on_the_command_line(run):
    code, out, _ = run("truth", "end_lamps", "--decoder", "carrow_lantern")
    assert code == 0
    rows = [[c.strip() for c in row.split("│")[1:-1]] for row in out.splitlines() if "│" in row]
    head, bracket, tail = "lit", "-", "-"  # on this decoder the bracket lamp is on F3 for good
    assert ["forward", "F0", head, bracket, tail] in rows
    assert ["reverse", "F0", "-", "-", "lit"] in rows
    assert sum(row[0].startswith("[ ]") for row in rows) == 4
    assert "compromise bracket: key: F0 asked, F3 will be seen" in out
    assert "keeps the direction last set" in out
