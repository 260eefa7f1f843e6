"""Colours as a person types them."""

from __future__ import annotations

import pytest

from fxstudio.editing.colours import read_colour
from fxstudio.errors import InputError


@pytest.mark.parametrize(
    ("typed", "meant"), [("organe", "orange"), ("warmwhite", "warm white"), ("viol", "violet")]
)
def test_a_near_name_is_suggested(typed, meant):
    with pytest.raises(InputError, match="is not a colour") as caught:
        read_colour(typed)
    assert caught.value.remedy == f"did you mean '{meant}'?"
