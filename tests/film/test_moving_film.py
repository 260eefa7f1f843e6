"""Wheels in a film: as drawn when they turn, without a change when they stand."""

from __future__ import annotations

import numpy as np
import pytest
from films import of_one_lamp
from published import read_gif

from fxstudio.effect.drive import Drive, Step
from fxstudio.film.making import film
from fxstudio.film.take import Shot, Take
from fxstudio.film.timing import frame_times_s

SMALL = Shot(240, 160)
STARTS_AND_STOPS = Drive(
    length_s=5.0,
    steps=(
        Step(at_s=0.0, travel="forward", speed_kmh=20, keys=("F1",)),
        Step(at_s=3.5, travel="stopped"),
    ),
)
STANDS = slice(89, None)
"""Frames once it stands, and the first of them drawn."""


def effect_of(kind: str):
    return of_one_lamp("side", "hand_lamp", kind, 3.0, 0.2, 1.0)


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    """Frames as drawn and as read back, which pixels move, and those of a film that stands still;
    of a lamp that is always dark.
    """
    folder = tmp_path_factory.mktemp("moving")
    effect = effect_of("smooth")
    drive = STARTS_AND_STOPS.model_copy(
        update={"steps": tuple(s.model_copy(update={"keys": ()}) for s in STARTS_AND_STOPS.steps)}
    )
    take = Take(effect, drive, SMALL)
    drawn = np.stack([take.frame(number) for number in range(len(take.delays_cs))])
    read = []
    for still in (False, True):
        film(effect, folder / f"{still}.gif", drive, SMALL, still=still)
        read.append(read_gif(folder / f"{still}.gif").at(frame_times_s(take.delays_cs)))
    moves = np.zeros(drawn.shape[1:3], bool)
    moves.flat[take.motion.pixels] = True
    return drawn, read[0], read[1], moves


def test_what_stands_never_changes(shown):
    drawn, read, still, _ = shown
    assert (drawn[STANDS] == drawn[STANDS][0]).all()
    assert (read[STANDS] == read[STANDS][0]).all()
    assert (still == still[0]).all()


def test_wheels_are_shown_where_they_are(shown):
    """A row or column held over from another phase would be as far off as what moves."""
    drawn, read, _, moves = shown
    swing = np.ptp(drawn[:, moves].astype(int), axis=0).max(axis=1)
    off = np.abs(drawn.astype(int) - read)[:, moves][:, swing > 30].max(axis=2)
    assert np.percentile(off, 99) <= 12
    assert (read[:87][1:] != read[:87][:-1]).any(axis=(1, 2, 3)).mean() > 0.3


def test_nothing_else_moves(shown):
    _, read, _, moves = shown
    assert (read == read[0])[:, ~moves].all()


def test_the_drive_backwards_is_the_film_backwards():
    ways = [
        Take(
            effect_of("smooth"),
            Drive(length_s=5.0, steps=(Step(at_s=0.0, travel=way, speed_kmh=20),)),
            SMALL,
        ).phases
        for way in ("forward", "reverse")
    ]
    assert set(np.diff(ways[0])) - {0, 1, -35} == set()
    assert set(np.diff(ways[1])) - {0, -1, 35} == set()


def test_a_frame_of_each_phase_is_looked_at():
    take = Take(effect_of("smooth"), STARTS_AND_STOPS, SMALL)
    assert set(take.phases[take.telling]) == set(take.phases)
    assert len(take.telling) < 60
