"""Wheels turn as the drive says, slowly, and the loop has no seam."""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.effect.drive import Drive, Step, constant_drive
from fxstudio.film.rolling import MOST_TURNS, Rolling
from fxstudio.scenes.drawn.moving import PHASES

THERE_AND_BACK = Drive(
    length_s=9.0,
    steps=(
        Step(at_s=0.0, travel="forward", speed_kmh=20),
        Step(at_s=4.0, travel="stopped"),
        Step(at_s=5.0, travel="reverse", speed_kmh=8),
        Step(at_s=7.5, travel="stopped"),
    ),
)
DRIVES = {
    "one way": constant_drive("forward", 20.0),
    "backwards": constant_drive("reverse", 60.0, length_s=4.0),
    "there and back": THERE_AND_BACK,
    "a short way": constant_drive("forward", 10.0, length_s=0.4),
    "speeding up": Drive(
        length_s=7.0,
        steps=(
            Step(at_s=0.0, travel="forward", speed_kmh=0),
            Step(at_s=1.0, speed_kmh=100, over_s=5.0),
        ),
    ),
}


def steps(drive: Drive, over_s: float = 0.01) -> np.ndarray:
    """Turns in each hundredth of a second of a loop, and over its end."""
    times = np.arange(0, drive.length_s + over_s / 2, over_s)
    turned = Rolling(drive).turned(times)
    off = np.diff(turned)
    off[-1] -= np.round(off[-1])
    return off


@pytest.mark.parametrize("drive", DRIVES.values(), ids=DRIVES)
def test_nothing_turns_quickly_not_even_over_the_seam(drive):
    assert np.abs(steps(drive)).max() <= MOST_TURNS * 0.01 + 1e-9


@pytest.mark.parametrize("drive", DRIVES.values(), ids=DRIVES)
def test_the_loop_closes(drive):
    first, last = Rolling(drive).phases([0.0, drive.length_s - 1e-9])
    assert (last - first) % PHASES in (0, 1, PHASES - 1)


def test_forward_turns_one_way_and_reverse_the_other():
    forward, back = (Rolling(constant_drive(way, 20.0)) for way in ("forward", "reverse"))
    times = np.arange(0, 6, 0.1)
    assert (np.diff(forward.turned(times)) > 0).all()
    np.testing.assert_allclose(forward.turned(times), -back.turned(times))


def test_what_stands_never_turns():
    off = steps(THERE_AND_BACK)
    assert not off[400:500].any()
    assert not off[750:-1].any()
    assert (off[:399] > 0).all()
    assert (off[501:749] < 0).all()
    assert not steps(constant_drive("forward", 0.0)).any()


def test_more_speed_turns_quicker():
    turns = [steps(constant_drive("forward", kmh, length_s=60.0)).sum() for kmh in (4, 12, 40)]
    assert turns == sorted(turns)
    assert turns[0] < turns[1] < turns[2]
