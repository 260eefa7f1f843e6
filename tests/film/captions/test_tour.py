"""A tour shows each look of an effect once, with words, in little time."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from fxstudio.effect.files import load_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.film.captions.tour import LONGEST_TOUR_S, tour
from fxstudio.light.truth_table import table_of, truth_table

PLAIN = {"colour": {"temperature_k": 1900}, "pattern": {"kind": "steady"}}


def made(**lamps: dict) -> Effect:
    """An effect of steady lamps in the places of a cab."""
    rows = {
        name: {"output": n, "place": "flames", **PLAIN, **lamp}
        for n, (name, lamp) in enumerate(lamps.items(), 1)
    }
    return Effect.model_validate({"title": "made", "scene": "cab", "lamps": rows})


def looks(table) -> set[tuple[float, ...]]:
    """What is seen in the rows of a table."""
    return {
        tuple((lit * times).tolist()) for lit, times in zip(table.lit, table.times, strict=True)
    }


def states(drive):
    """The state in each part of a drive."""
    trace = drive.at([step.at_s for step in drive.steps])
    return [trace.moment(row) for row in range(len(drive.steps))]


@pytest.mark.parametrize("name", shipped_effects())
def test_it_shows_every_look_of_the_truth_table_once(name):
    effect = load_effect(name)
    shown = tour(effect)
    table = table_of(effect, states(shown.drive))
    assert looks(table) >= looks(truth_table(effect))
    assert len(looks(table)) == len(shown.drive.steps)
    assert shown.left_out == 0


MANY = {f"lamp {n}": {"key": f"F{n}"} for n in range(1, 16)}


@pytest.mark.parametrize("lamps", [MANY, {"bed": {"key": "F1"}}, {"bed": {"key": "always"}}])
def test_its_parts_take_two_to_three_seconds_and_at_most_twenty_in_all(lamps):
    shown = tour(made(**lamps))
    ends = [*(at_s for at_s, _ in shown.words), shown.drive.length_s]
    assert all(2 <= round(later - earlier, 6) <= 3 for earlier, later in pairwise(ends))
    assert shown.drive.length_s <= LONGEST_TOUR_S


def test_what_there_is_no_time_for_is_counted():
    shown = tour(made(**MANY))
    assert (len(shown.words), shown.left_out) == (10, 7)  # 15 lamps alone, none, and all
    assert [shown.words[at][1] for at in (0, -1)] == ["all off", "all lamps"]


def test_it_says_what_is_seen():
    effect = made(bed={"key": "F1"}, flames={"key": "F2", "travel": "reverse"})
    assert [words for _, words in tour(effect).words] == [
        "all off",
        "bed alone",
        "flames alone",
        "all lamps",
    ]


def test_keys_that_dim_are_shown_in_words():
    effect = made(bed={"key": "F1", "dim": {"F4": 0.3}})
    words = [words for _, words in tour(effect).words]
    assert words == ["all off", "bed", "bed 0.3 times as bright"]
    assert np.isclose(tour(effect).drive.length_s, 9)
