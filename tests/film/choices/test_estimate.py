"""A film is about as large as a quick trial says; `bench_size.py` holds all shipped ones to it."""

from __future__ import annotations

import pytest

from fxstudio.effect.drive import Drive, Step
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.film.choices.estimate import estimated_bytes
from fxstudio.film.formats import FORMATS
from fxstudio.film.png import png_bytes
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress, StoppedError

SMALL = Shot(240, 160)
STEPS = (Step(at_s=0, keys=("F1", "F2")), Step(at_s=3, keys=("F1",)))
"""Flames for half of the time, then the steady bed alone."""


def take(length_s: float) -> Take:
    effect = read_effect(find_effect("banked_fire"))
    return Take(effect, Drive(length_s=length_s, steps=STEPS if length_s > 3 else STEPS[:1]), SMALL)


@pytest.mark.parametrize("ending", [".gif", ".webp"])
def test_a_trial_is_not_far_off(ending):
    film, kind = take(6), FORMATS[ending]
    size = kind.size(film, film.shot.quality, Progress())
    assert 0.7 < estimated_bytes(film, kind, Progress()) / size < 1.3


def test_a_short_film_is_packed_whole():
    film, kind = take(1), FORMATS[".webp"]
    size = kind.size(film, film.shot.quality, Progress())
    assert estimated_bytes(film, kind, Progress()) == size


def test_a_folder_of_pictures():
    film = take(6)
    size = sum(len(png_bytes(film.whole(number))) for number in range(len(film.delays_cs)))
    assert 0.7 < estimated_bytes(film, None, Progress()) / size < 1.3


@pytest.mark.parametrize("kind", [FORMATS[".gif"], None])
def test_a_trial_can_be_stopped(kind):
    progress = Progress()
    progress.stop()
    with pytest.raises(StoppedError):
        estimated_bytes(take(6), kind, progress)
