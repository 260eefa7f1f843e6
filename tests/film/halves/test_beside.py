"""Two looks in one film."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fxstudio.documents.reading import parse
from fxstudio.effect.drive import Drive, Step
from fxstudio.effect.files import load_effect
from fxstudio.effect.model import Effect
from fxstudio.film.captions.caption import Caption
from fxstudio.film.halves.beside import BesideTake, Halves, widths_of
from fxstudio.film.making import FlashError, film
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.verdict import Viewing

LEFT, RIGHT = "banked_fire", "saloon_evening"
DRIVE = Drive(length_s=1, steps=(Step(travel="forward", keys=("F1", "F2")),))


def beside(shot, **fields):
    left, right = load_effect(LEFT), load_effect(RIGHT)
    halves = Halves(left, right, ("the left one", "the right one"))
    return BesideTake(left, DRIVE, shot, halves=halves, **fields)


@pytest.mark.parametrize("width", [240, 321])
@pytest.mark.parametrize("lanes", [False, True])
def test_halves_are_the_films_of_that_width(width, lanes):
    take = beside(Shot(width, 240, fps=5), caption=Caption(), lanes=lanes)
    high = take.shot.height - take.strip.height
    left, right = (
        Take(load_effect(name), DRIVE, replace(take.shot, width=wide, height=high))
        for name, wide in zip((LEFT, RIGHT), widths_of(width), strict=True)
    )
    for number in range(len(take.delays_cs)):
        both = np.hstack([left.frame(number), right.frame(number)])
        np.testing.assert_array_equal(take.frame(number), both)
        assert take.whole(number).shape == (240, width, 3)


def test_each_half_has_its_heading():
    named = beside(Shot(320, 214, fps=5))
    unnamed = replace(named, halves=replace(named.halves, headings=("the left one", "")))
    shown, other = (take.strip.colours[take.strip.numbers(0)] for take in (named, unnamed))
    np.testing.assert_array_equal(shown[:, :160], other[:, :160])
    assert np.ptp(shown[:, :160]) > 150  # letters on their ground
    assert np.ptp(shown[:, 160:]) > 150
    assert np.ptp(other[:, 160:].reshape(-1, 3), axis=0).max() == 0


def test_colours_of_what_stands_under_it_are_told_once():
    colours = beside(Shot(320, 300, fps=5), caption=Caption("title"), lanes=True).strip.colours
    assert len(np.unique(colours, axis=0)) == len(colours)


def lamp(pattern):
    place = {"output": 1, "key": "F1", "place": "door", "colour": {"temperature_k": 2100}}
    return parse(Effect, {"title": "one lamp", "lamps": {"lamp": {**place, "pattern": pattern}}})


STEADY, STROBE = lamp({"kind": "steady"}), lamp({"kind": "flash", "period_s": 0.2})


@pytest.mark.parametrize("looks", [(STEADY, STROBE), (STROBE, STEADY)])
def test_flashes_of_either_half_are_counted(looks, tmp_path):
    shot = Shot(240, 140, 20, viewing=Viewing(field_px=(110, 80)))
    halves = Halves(*looks, ("left", "right"))
    calm = Halves(STEADY, STEADY, ("left", "right"))
    assert film(looks[0], tmp_path / "calm.gif", DRIVE, shot, halves=calm).verdict.passes
    with pytest.raises(FlashError):
        film(looks[0], tmp_path / "two.gif", DRIVE, shot, halves=halves)
    assert not (tmp_path / "two.gif").exists()


def test_only_what_is_told_moves_in_the_right_half():
    rolls = Drive(length_s=6, steps=(Step(travel="forward", speed_kmh=20),))
    halves = Halves(load_effect(LEFT), load_effect("reversing_pilot"), ("left", "right"))
    take = BesideTake(halves.left, rolls, Shot(240, 240, 25), halves=halves)  # dark: no key
    changed = np.flatnonzero((take.frame(0) != take.frame(8)).any(axis=2))
    assert changed.size
    assert set(changed) <= set(take.motion.pixels)
    assert (changed % 240 >= 120).all()
