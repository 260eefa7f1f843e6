"""Wheels in the window: as in the film, and never a jump while the person drives."""

from __future__ import annotations

import pytest

from fxstudio.editing.projector import Artist, Projector
from fxstudio.effect.drive import constant_drive
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.film.take import Shot, Take

SMALL = Shot(120, 80)
EFFECT = read_effect(shipped_effects()["reversing_pilot"])


@pytest.fixture
def projector():
    projector = Projector(Artist(SMALL))
    projector.load(EFFECT, EFFECT.drive)
    projector.renderer(wait=True)
    return projector


def test_its_own_drive_turns_the_wheels_as_in_the_film(projector):
    take = Take(EFFECT, EFFECT.drive, SMALL)
    for number in (0, 40, 100, 180):
        time_s = float(take.times_s[number])
        assert projector.phase(time_s, wait=True) == take.phases[number]
        shown = projector.frame(time_s, 0.0, calm=False)
        assert (shown == take.frame(number)).all()
    assert len(set(take.phases.tolist())) > 10


def test_another_speed_goes_on_from_where_the_wheels_are(projector):
    projector.load(EFFECT, constant_drive("forward", 10.0))
    projector.phase(1.0)
    before = projector.phase(3.0, wait=True)
    for faster in (constant_drive("forward", 60.0), constant_drive("reverse", 20.0)):
        projector.load(EFFECT, faster)
        assert projector.phase(3.0) == before
    projector.load(EFFECT, constant_drive("stopped"))
    assert {projector.phase(time_s) for time_s in (3.0, 4.0, 9.0, 40.0)} == {before}


def test_the_picture_rests_only_once_the_wheels_are_drawn(projector):
    projector.load(EFFECT, EFFECT.drive)
    projector.frame(2.0, 0.0, calm=False)
    assert not projector.settled
    projector.phase(2.0, wait=True)
    assert projector.settled
