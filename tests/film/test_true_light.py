"""The light of a film, read back from the file, is the light that was simulated.

The measures are those of common practice: the correlation of two courses, the ratio of their
standard deviations, and the share of frames that move. What they must be is the project's choice.
"""

from __future__ import annotations

import numpy as np
import pytest
from films import lit_light, of_one_lamp
from published import read_gif

from fxstudio.film.making import film
from fxstudio.film.take import Shot, Take
from fxstudio.film.timing import frame_times_s

SMALL = Shot(240, 160)
WAYS = [
    ("cab", "flames", "smooth", 5.5, 0.1, 1.0),
    ("ashpan", "ashpan", "smooth", 3.2, 0.1, 1.0),
    ("cab", "bed", "smooth", 2.3, 0.1, 0.28),
]


@pytest.fixture(scope="module", params=WAYS, ids=lambda way: f"{way[1]} {way[3]}")
def both(request, tmp_path_factory):
    """Frames as drawn and as read back, [n, h, w, 3]."""
    path = tmp_path_factory.mktemp("light") / "film.gif"
    effect = of_one_lamp(*request.param)
    take = Take(effect, effect.shown_by, SMALL)
    true = np.stack([take.frame(number) for number in range(len(take.delays_cs))])
    film(effect, path, shot=SMALL, accept_flashes=True)
    return true, read_gif(path).at(frame_times_s(take.delays_cs))


def test_its_light_moves_as_the_true_light(both):
    true, shown = lit_light(*both)
    assert np.corrcoef(true, shown)[0, 1] >= 0.985
    assert 0.97 <= shown.std() / true.std() <= 1.03


def test_it_moves_when_the_true_light_does(both):
    true, shown = (np.abs(np.diff(light)) for light in lit_light(*both))
    moving = true > 0.002 * true.sum() / np.sqrt(len(true))
    assert np.mean(shown[moving] > 0) >= 0.9


def test_what_stands_still_never_changes(both):
    true, shown = both
    still = (true == true[0]).all(axis=(0, 3))
    assert still.any()
    assert (shown[:, still] == shown[0, still]).all()


def test_no_edge_of_a_block_is_seen(both):
    """Where two blocks meet, what is shown differs from the truth as it does inside them."""
    true, shown = (frames[::5].astype(float).mean(axis=3) for frames in both)
    step = np.abs(np.diff(shown - true, axis=2)).mean(axis=(0, 1))
    edges = np.arange(60, 240, 60) - 1
    others = np.setdiff1d(np.arange(239), edges)
    assert step[edges].mean() < 1.3 * step[others].mean()
