"""The calm view: at most three flashes a second, whatever the lamps and the person do.

Source of the definition and the limit: WCAG 2.2, "general flash and red flash thresholds" and
success criterion 2.3.1; the wording of the red flash is that of WCAG 2.0 and 2.1.
"""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.colour import srgb_decode, srgb_encode
from fxstudio.documents.reading import parse
from fxstudio.editing import edits
from fxstudio.editing.calm_view import STEP_S, CalmView, Mixer, mean_times_s
from fxstudio.editing.projector import Artist, Projector
from fxstudio.effect.drive import constant_drive
from fxstudio.effect.model import Effect
from fxstudio.film.indexed.palette import Palette, choose_colours
from fxstudio.film.take import Shot, renderer_for
from fxstudio.flashes.verdict import Viewing, judge
from fxstudio.light.simulation import Simulation

FPS = 30
LIMIT = 3


def turns(values):
    """Frames and levels of the peaks and valleys of a series, both ends counted."""
    frames = np.append(np.flatnonzero(np.diff(values)), len(values) - 1)
    levels = values[frames]
    inner = np.flatnonzero(np.diff(np.sign(np.diff(levels)))) + 1
    at = np.unique([0, *inner, len(levels) - 1])
    return frames[at], levels[at]


def transitions(values, counts):
    """Frames at which a change ends that counts and is opposed to the one before it.

    counts(one, other) : whether the change from one level to another is large enough
    """
    frames, levels = turns(values)
    found, direction, start = [], 0, levels[0]
    for frame, level in zip(frames[1:], levels[1:], strict=True):
        way = np.sign(level - start)
        if way == direction:
            start = level  # further the same way
        elif counts(start, level):
            found.append(frame)
            direction, start = way, level
    return found


def most_flashes(values, counts):
    """Most pairs of opposing changes in any one second."""
    found = np.array(transitions(values, counts))
    return max(
        (int(np.sum((found >= first) & (found < first + FPS))) // 2 for first in found), default=0
    )


def general(one, other):
    return abs(one - other) >= 0.1 and min(one, other) < 0.8


def red(one, other):
    return abs(one - other) > 20


def flashes(pictures):
    """Most flashes a second at any point: by luminance, and by red."""
    linear = srgb_decode(pictures / 255)
    luminance = linear @ [0.2126, 0.7152, 0.0722]
    r, g, b = np.moveaxis(linear, -1, 0)
    saturated = r / np.maximum(r + g + b, 1e-9) >= 0.8
    redness = np.where(saturated, np.maximum(r - g - b, 0) * 320, 0)
    each = range(luminance.shape[1])
    return (
        max(most_flashes(luminance[:, point], general) for point in each),
        max(most_flashes(redness[:, point], red) for point in each),
    )


@pytest.mark.parametrize(("grey", "expected"), [(89, 0), (90, 5)])
def test_the_counter_knows_a_flash(grey, expected):
    """Ten changes a second; grey 89 differs from black by less than 0.1, grey 90 by more."""
    blink = np.tile(np.repeat([0, grey], 3), 10)
    pictures = np.repeat(blink[:, None, None], 3, axis=2).astype(np.uint8)
    assert flashes(pictures)[0] == expected


def lamps(*patterns):
    return parse(
        Effect,
        {
            "title": "Quick",
            "scene": "cab",
            "rate_hz": 12.0,
            "lamps": {
                name: {"output": number, "key": "F1", "colour": colour, "pattern": pattern}
                for number, (name, colour, pattern) in enumerate(patterns, start=1)
            },
        },
    )


def flash(period_s, start_share=0.0):
    return {"kind": "flash", "period_s": period_s, "start_share": start_share}


RED, WARM, WHITE = {"hex": "#ff0000"}, {"temperature_k": 1900.0}, {"hex": "#ffffff"}
FLICKER = {"kind": "flicker", "style": "hold", "lowest": 0.0, "highest": 1.0}
CASES = {
    "12 Hz flicker": lamps(("flames", WARM, FLICKER)),
    "smooth 12 Hz flicker": lamps(("flames", WHITE, {**FLICKER, "style": "smooth"})),
    "10 Hz flash": lamps(("door", WHITE, flash(0.1))),
    "5 Hz flash": lamps(("door", WHITE, flash(0.2))),
    "4 Hz red flash": lamps(("door", RED, flash(0.25))),
    "out of step": lamps(("bed", RED, flash(0.3)), ("door", WHITE, flash(0.23, 0.4))),
    "all at once": lamps(
        ("bed", RED, FLICKER), ("flames", WARM, FLICKER), ("door", WHITE, FLICKER)
    ),
}


def points(pictures):
    """Some points of pictures as the counter takes them, [frames, points, 3]."""
    return np.array([picture[::5, ::5].reshape(-1, 3) for picture in pictures])


def drawer(effect):
    return renderer_for(effect, 60, 40)


def loop(name):
    return Simulation(CASES[name], constant_drive(keys=("F1",), length_s=12.0))


def calmed(name, times):
    """What the calm view shows of a case."""
    view, simulation, renderer = CalmView(), loop(name), drawer(CASES[name])
    for now in times:
        light = simulation.at(mean_times_s(now)).light.mean(axis=0)
        yield view.at(now, light.tobytes(), lambda light=light: renderer.frame(light))


@pytest.mark.parametrize("name", CASES)
def test_no_more_than_three_flashes_a_second(name):
    times = np.arange(6 * FPS) / FPS
    truth = drawer(CASES[name]).frames(loop(name).at(times).light)
    assert max(flashes(points(truth))) > LIMIT, "the true light must break the limit"
    assert max(flashes(points(calmed(name, times)))) <= LIMIT


DOOR = lamps(("door", WHITE, {"kind": "steady", "level": 1.0}))
BLACK_DOOR = edits.set_colour(DOOR, "door", "hex", "#000000")
GREEN_DOOR = edits.set_colour(DOOR, "door", "hex", "#00ff00")
MAGENTA_DOOR = edits.set_colour(DOOR, "door", "hex", "#ff00ff")
MORE_LAMPS, _ = edits.add_lamp(edits.set_field(BLACK_DOOR, ("lamps", "door", "key"), "F2"))
HAMMERED = {
    "a colour": (DOOR, BLACK_DOOR),
    "green and magenta": (GREEN_DOOR, MAGENTA_DOOR),
    "a place": (DOOR, edits.set_field(DOOR, ("lamps", "door", "place"), "bed")),
    "the scene": (DOOR, edits.set_scene(DOOR, "front")),
    "the number of lamps": (DOOR, MORE_LAMPS),
    "all of them": (DOOR, BLACK_DOOR, edits.set_scene(DOOR, "front"), MORE_LAMPS),
}
SMALL = Shot(width=240, height=160)
"""Half the size of the window's pictures, and as much in them."""

EVERY_PX = 4
"""Of the small pictures, one pixel in so many each way is judged, and stands for a square."""


def verdict(pictures):
    """What the judge of films says of pictures at FPS frames a second."""
    some = np.s_[EVERY_PX // 2 :: EVERY_PX]
    seen = np.array([picture[some, some] for picture in pictures])
    palette = Palette(choose_colours(seen[::7].reshape(-1, 3)))
    numbers = palette.numbers(seen.reshape(-1, 3)).reshape(seen.shape[:3])
    delays = np.diff(np.rint(np.arange(len(seen) + 1) * 100 / FPS)).astype(int)
    return judge(numbers, palette.colours, delays, Viewing().enlarged(2 * EVERY_PX))


def hammered(effects, rate_hz, calm, seconds=3):
    """What is shown while effects change places `rate_hz` times a second, as by a held Ctrl-Z."""
    projector, drive = Projector(Artist(SMALL)), constant_drive(keys=("F1", "F2"), length_s=12.0)
    for effect in effects:
        projector.load(effect, drive)
        projector.renderer(wait=True)
    for now in np.arange(seconds * FPS) / FPS:
        projector.load(effects[int(now * rate_hz) % len(effects)], drive)
        yield projector.frame(now, now, calm).copy()


@pytest.mark.parametrize("rate_hz", [4, 22])
@pytest.mark.parametrize("what", HAMMERED)
def test_nothing_that_an_undo_brings_back_makes_it_flash(what, rate_hz):
    assert verdict(hammered(HAMMERED[what], rate_hz, calm=True)).passes


def test_the_same_undo_flashes_in_the_true_view():
    """So the test above can fail."""
    assert not verdict(hammered(HAMMERED["a colour"], 22, calm=False)).passes


def test_the_first_picture_is_there_at_once_and_an_edit_comes_softly():
    projector, drive = Projector(Artist(SMALL)), constant_drive(keys=("F1",), length_s=12.0)
    shown = []
    for now in np.arange(30) / FPS:
        projector.load(DOOR if now < 0.5 else BLACK_DOOR, drive)
        projector.renderer(wait=True)
        shown.append(projector.frame(now, now, True).mean())
    assert shown[0] == pytest.approx(shown[14])
    falls = -np.diff(shown)
    assert falls.max() < 0.4 * (shown[0] - shown[-1])
    projector.frame(9.0, 9.0, True)
    black = renderer_for(BLACK_DOOR, 240, 160).frame([1.0])
    assert np.array_equal(projector.frame(10.0, 10.0, True), black)
    assert projector.settled


def test_a_change_soon_after_the_last_picture_is_not_missed():
    """A paused window goes on drawing until the change is shown."""
    view, pictures = CalmView(), np.array([[[[0] * 3]], [[[255] * 3]]], np.uint8)
    view.at(0.0, "black", lambda: pictures[0])
    assert view.settled
    view.at(0.1, "white", lambda: pictures[1])
    assert not view.settled


def test_the_last_picture_stays_while_a_scene_is_drawn(monkeypatch):
    """A dark field in between would be a flash."""
    projector, drive = Projector(Artist(SMALL)), constant_drive(keys=("F1",), length_s=12.0)
    projector.load(DOOR, drive)
    projector.renderer(wait=True)
    before = projector.frame(0.0, 0.0, True)
    monkeypatch.setattr(Artist, "has_drawn", lambda *_: False)
    projector.load(edits.set_scene(DOOR, "front"), drive)
    assert projector.renderer() is None
    assert np.array_equal(projector.frame(1.0, 1.0, True), before)


def test_a_person_who_hammers_a_key_cannot_make_it_flash():
    """Light that jumps at any moment, in frames that come early and late."""
    rng = np.random.default_rng(7)
    renderer = drawer(CASES["10 Hz flash"])
    view, now, shown, pictures = CalmView(), 0.0, [], []
    for _ in range(2000):
        now += rng.choice([0.008, 0.033, 0.1, 0.4])
        light = float(rng.random() < 0.5)
        shown.append(now)
        pictures.append(view.at(now, light, lambda light=light: renderer.frame([light])))
    even = np.arange(shown[0], now, 1 / FPS)
    held = np.searchsorted(shown, even, side="right") - 1
    assert max(flashes(points(pictures)[held])) <= LIMIT


def mean_luminance(pictures):
    return srgb_decode(np.array(list(pictures)) / 255).mean(axis=(1, 2, 3))


def test_fast_flicker_becomes_its_average():
    """The 10 Hz flash is on half the time: it is shown as half its light."""
    shown = mean_luminance(calmed("10 Hz flash", np.arange(5 * FPS) / FPS))
    dark, half, full = mean_luminance(drawer(CASES["10 Hz flash"]).frames([[0.0], [0.5], [1.0]]))
    assert np.mean(shown) == pytest.approx(half, abs=0.03 * (full - dark))
    assert np.ptp(shown) < 0.1 * (full - dark)


def test_a_lamp_that_comes_on_is_fully_up_within_a_second():
    view, renderer = CalmView(), drawer(CASES["10 Hz flash"])
    dark, full = renderer.frames([[0.0], [1.0]])
    view.at(0.0, "off", lambda: dark)
    shown = [view.at(t, "on", lambda: full) for t in np.arange(1, FPS + 1) / FPS]
    assert np.all(np.diff(mean_luminance(shown)) >= 0)
    assert np.array_equal(shown[-1], full)


def test_a_mix_begins_and_ends_with_its_pictures_and_goes_straight():
    """Straight in linear light, as IEC 61966-2-1 defines it, to within a step of 8 bits."""
    first = np.arange(256, dtype=np.uint8).repeat(3).reshape(16, 16, 3)
    mixer = Mixer(first, first[::-1, ::-1].copy())
    assert np.array_equal(mixer.at(0.0), first)
    assert np.array_equal(mixer.at(1.0), mixer.last)
    middle = (srgb_decode(first / 255) + srgb_decode(mixer.last / 255)) / 2
    assert np.abs(255 * srgb_encode(middle) - mixer.at(0.5)).max() < 0.6


def projected(name, fps=FPS, seconds=6):
    """What the window shows of a case in the calm view, beside the same mean drawn exactly."""
    projector = Projector(Artist(SMALL))
    projector.load(CASES[name], constant_drive(keys=("F1",), length_s=12.0))
    renderer = projector.renderer(wait=True)
    since, first, last = 0.0, None, None
    for now in np.arange(seconds * fps) / fps:
        mean = projector.light(now, True)
        if first is None:
            first = last = mean
        if now - since >= STEP_S:
            since, first, last = since + STEP_S, last, mean
        exact = renderer.frame(first + (last - first) * (now - since) / STEP_S)
        yield projector.frame(now, now, True)[::20, ::20], exact[::20, ::20]


@pytest.mark.parametrize("name", ["12 Hz flicker", "out of step", "all at once"])
def test_the_pictures_between_are_near_those_drawn_exactly_and_as_calm(name):
    shown, exact = (np.array(list(pictures)) for pictures in zip(*projected(name), strict=True))
    off = np.abs(shown.astype(int) - exact)
    assert 0 < off.mean() < 1
    assert off.max() <= 4
    assert max(flashes(shown.reshape(len(shown), -1, 3))) <= LIMIT


def test_a_steady_picture_is_not_drawn_again():
    effect = lamps(("bed", WARM, {"kind": "steady", "level": 0.4}))
    projector = Projector(Artist(SMALL))
    projector.load(effect, constant_drive(keys=("F1",), length_s=12.0))
    projector.renderer(wait=True)
    assert projector.frame(0.0, 0.0, True) is projector.frame(2.0, 2.0, True)
    assert projector.settled
