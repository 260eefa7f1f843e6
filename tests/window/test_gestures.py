"""What all controls to drag in, and all that choose among options, have in common."""

from __future__ import annotations

import pygame
import pytest
from pygame import Rect
from pygame.event import Event

from fxstudio.window.toolkit.controls.buttons import Choice
from fxstudio.window.toolkit.controls.hues import Hues
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.theme import Theme

OPTIONS = {"a": "A", "b": "B", "c": "C"}


@pytest.fixture
def look():
    pygame.font.init()
    return Theme()


def slider(look, took):
    return Slider(look, "x", 0.5, 0, 1, lambda _, gesture: took.append(gesture), str)


def hues(look, took):
    return Hues(look, "x", "#ff8000", lambda _, gesture: took.append(gesture))


def placed(control):
    area = Rect(0, 0, 400, 100)
    control.lay_out(area, area)
    return control


def mouse(control, kind, *points):
    for point in points:
        control.handle(Event(kind, pos=point, button=1))


def press(control, *keys):
    return [control.handle(Event(pygame.KEYDOWN, key=key)) for key in keys]


@pytest.mark.parametrize("made", [slider, hues])
def test_each_drag_is_a_gesture_and_the_keys_are_one(look, made):
    took = []
    control = placed(made(look, took))
    mouse(control, pygame.MOUSEMOTION, (30, 30))
    mouse(control, pygame.MOUSEBUTTONDOWN, (500, 30))
    assert took == []
    mouse(control, pygame.MOUSEBUTTONDOWN, (40, 30))
    after = placed(made(look, took))
    after.adopt(control)
    mouse(after, pygame.MOUSEMOTION, (60, 60), (80, 70))
    mouse(after, pygame.MOUSEBUTTONUP, (80, 70))
    mouse(after, pygame.MOUSEMOTION, (20, 20))
    mouse(after, pygame.MOUSEBUTTONDOWN, (150, 20))
    mouse(after, pygame.MOUSEBUTTONUP, (150, 20))
    assert press(after, pygame.K_RIGHT, pygame.K_LEFT, pygame.K_x) == [True, True, False]
    assert took == ["x 1", "x 1", "x 1", "x 2", "x keys", "x keys"]


def choice(look, chosen, took):
    return Choice(look, "x", OPTIONS, chosen, took.append)


def picker(look, chosen, took):
    return Picker(look, "x", OPTIONS | {"?": "Open"}, chosen, took.append, took.append, opens="?")


@pytest.mark.parametrize("made", [choice, picker])
@pytest.mark.parametrize(
    ("chosen", "key", "then"),
    [
        ("a", pygame.K_DOWN, ["b"]),
        ("b", pygame.K_LEFT, ["a"]),
        ("a", pygame.K_UP, []),
        ("c", pygame.K_RIGHT, []),
        ("none of them", pygame.K_RIGHT, ["a"]),
    ],
)
def test_arrow_keys_choose_the_next_and_stop_at_the_ends(look, made, chosen, key, then):
    took = []
    assert press(made(look, chosen, took), key) == [True]
    assert took == then
