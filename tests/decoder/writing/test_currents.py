"""Lamps that draw too much at once are not planned."""

from __future__ import annotations

from pathlib import Path

import pytest
from decoders import effect

from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.writing.plan import plan
from fxstudio.errors import InputError

MARSH = load_decoder(Path(__file__).parents[1] / "leaflet" / "files" / "marsh_hollow.toml")


def lamps(milliamps: float, count: int):
    rows = {f"l{n}": {"output": 2 + n, "key": f"F{n}"} for n in range(1, count + 1)}
    return effect(**{name: {**row, "current_ma": milliamps} for name, row in rows.items()})


def test_three_of_100_ma_are_more_than_250_together():
    with pytest.raises(InputError) as caught:
        plan(compile_effect(lamps(100, 3), MARSH), None, MARSH)
    assert "300 mA" in str(caught.value)
    assert "250 mA" in str(caught.value)


@pytest.mark.parametrize(("milliamps", "count"), [(100, 2), (80, 3)])
def test_what_it_may_carry_is_planned(milliamps, count):
    assert plan(compile_effect(lamps(milliamps, count), MARSH), None, MARSH).steps == ()


def test_one_output_alone_may_not_carry_more_than_its_own():
    with pytest.raises(InputError, match="100 mA"):
        plan(compile_effect(lamps(120, 1), MARSH), None, MARSH)
