"""Exhaust beats against worked figures; the truth file names its source."""

from __future__ import annotations

import pytest
from sources import truth

from fxstudio.effect.patterns.motion import beats_per_second


@pytest.mark.parametrize("row", truth("exhaust_beats.csv"))
def test_beats(row):
    beats = beats_per_second(
        float(row["speed_kmh"]), float(row["wheel_m"]), int(row["beats_per_turn"])
    )
    assert beats == pytest.approx(float(row["beats_per_s"]), abs=5e-5)


def test_beats_do_not_depend_on_scale():
    full = beats_per_second(40, 1.4, 4)
    for ratio in (76.2, 87.1, 160):
        assert beats_per_second(40 / ratio, 1.4 / ratio, 4) == pytest.approx(full)
