"""The least sum of cost tables, against all combinations and against every small change."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fxstudio.decoder.search.least_sum import MOST_TRIED, CostTable, least_sum


def cost(tables, choice):
    """Both numbers, added up one by one."""
    places = [tuple(choice[axis] for axis in table.axes) for table in tables]
    return tuple(
        sum(int(getattr(table, part)[at]) for table, at in zip(tables, places, strict=True))
        for part in ("first", "then")
    )


def sizes(tables):
    return {
        axis: n for table in tables for axis, n in zip(table.axes, table.first.shape, strict=True)
    }


def random_table(axes, lengths, rng, highest):
    shape = [lengths[axis] for axis in axes]
    return CostTable(tuple(axes), rng.integers(0, highest, shape), rng.integers(0, highest, shape))


@st.composite
def tables(draw, longest=4, most=5):
    """Tables over a few variables; costs are so small that many sums are alike."""
    lengths = {
        name: draw(st.integers(1, longest)) for name in "abcdefg"[: draw(st.integers(1, most))]
    }
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    highest = draw(st.sampled_from([2, 4, 1 << 40]))
    axes = st.lists(st.sampled_from(sorted(lengths)), unique=True, max_size=3)
    chosen = [*draw(st.lists(axes, max_size=6)), *([name] for name in lengths)]
    return [random_table(each, lengths, rng, highest) for each in chosen]


@settings(max_examples=300, deadline=None)
@given(tables())
def test_no_combination_costs_less(rows):
    choice, proved = least_sum(rows)
    lengths = sizes(rows)
    assert choice.keys() == lengths.keys()
    every = (
        dict(zip(lengths, places, strict=True)) for places in product(*map(range, lengths.values()))
    )
    assert cost(rows, choice) == min(cost(rows, each) for each in every)
    assert proved


@settings(max_examples=100, deadline=None)
@given(tables(longest=3), st.randoms())
def test_neither_the_order_of_tables_nor_of_axes_matters(rows, random):
    turned = [
        CostTable(table.axes[::-1], table.first.T, table.then.T)
        for table in random.sample(rows, len(rows))
    ]
    assert cost(rows, least_sum(turned)[0]) == cost(rows, least_sum(rows)[0])


def large(seed, count=7, length=12):
    """Every pair of variables shares a table: too many combinations to try them all."""
    names = "abcdefghij"[:count]
    lengths = dict.fromkeys(names, length)
    assert length ** (count - 1) > MOST_TRIED
    rng = np.random.default_rng(seed)
    return [random_table(pair, lengths, rng, 1000) for pair in combinations(names, 2)]


@pytest.mark.parametrize("seed", range(4))
def test_what_is_not_proved_is_improved_by_no_one_or_two_changes(seed):
    rows = large(seed)
    choice, proved = least_sum(rows)
    assert not proved
    best, lengths = cost(rows, choice), sizes(rows)
    for one, other in combinations(lengths, 2):
        for places in product(range(lengths[one]), range(lengths[other])):
            assert cost(rows, choice | dict(zip((one, other), places, strict=True))) >= best


@pytest.mark.parametrize("seed", range(4))
def test_what_is_not_proved_is_no_worse_than_any_start(seed):
    rows = large(seed)
    rng = np.random.default_rng(seed)
    starts = [{name: int(rng.integers(n)) for name, n in sizes(rows).items()} for _ in range(3)]
    found = cost(rows, least_sum(rows, starts)[0])
    assert all(found <= cost(rows, start) for start in starts)
    assert found <= cost(rows, least_sum(rows)[0])


def test_a_start_far_from_all_others_is_taken_up():
    """A choice that only a start leads to: each step towards it costs more but the last."""
    rows = large(0)
    hidden = dict.fromkeys(sizes(rows), 11)
    for table in rows:
        table.first[...] += 1000
        table.first[:, 11] += 1000
        table.first[11, :] += 1000
        table.first[11, 11] = 0
    found, _ = least_sum(rows, [hidden])
    assert cost(rows, found)[0] == 0


def test_the_second_number_counts_only_where_the_first_is_equal():
    first = np.array([1, 0, 0])
    then = np.array([0, 9, 5])
    assert least_sum([CostTable(("a",), first, then)]) == ({"a": 2}, True)
