"""What leads to a film and to values is called downwards: nothing calls what stands above it."""

from __future__ import annotations

import pytest
from walk import WAYS, Walk, goes_up


@pytest.mark.parametrize("run", WAYS.values(), ids=WAYS)
def test_no_call_goes_up(run):
    walk = Walk(run)
    assert len(walk.files) > 30
    assert walk.upward == set(), str(walk)


def test_a_call_that_goes_up_would_be_seen():
    assert goes_up("film/take.py", "film/gif.py")
    assert goes_up("errors.py", "film/gif.py")
    assert not goes_up("film/gif.py", "film/take.py")


def test_values_are_decoded_once_for_a_plan():
    walk = Walk(WAYS["values"])
    assert walk.calls["decoder/values/decode.py", "decode"] == 1
