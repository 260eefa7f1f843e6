"""The calm view: at most three flashes a second, whatever the lamps and the person do.

Source of the definition and the limit: WCAG 2.2, "general flash and red flash thresholds" and
success criterion 2.3.1; the wording of the red flash is that of WCAG 2.0 and 2.1.
"""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.colour import srgb_decode
from fxstudio.documents import parse
from fxstudio.effect.drive import constant_drive
from fxstudio.effect.model import Effect
from fxstudio.film import renderer_for
from fxstudio.simulate import Simulation
from fxstudio.window.calm_view import SAMPLES, CalmLight
from fxstudio.window.projector import Projector

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
    points = range(luminance.shape[1])
    return (
        max(most_flashes(luminance[:, point], general) for point in points),
        max(most_flashes(redness[:, point], red) for point in points),
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


def pictures(effect, lights):
    """Pictures of some points of the scene, [frames, points, 3]."""
    renderer = renderer_for(effect, 60, 40)
    return np.array([renderer.frame(light)[::5, ::5].reshape(-1, 3) for light in lights])


def loop(name):
    return Simulation(CASES[name], constant_drive(keys=("F1",), length_s=12.0))


def calmed(simulation, times):
    calm = CalmLight()
    return [calm.at(t, simulation.at(calm.times_s(t)).light) for t in times]


@pytest.mark.parametrize("name", CASES)
def test_no_more_than_three_flashes_a_second(name):
    times = np.arange(6 * FPS) / FPS
    truth = pictures(CASES[name], loop(name).at(times).light)
    assert max(flashes(truth)) > LIMIT, "the true light must break the limit"
    assert max(flashes(pictures(CASES[name], calmed(loop(name), times)))) <= LIMIT


def test_a_person_who_hammers_a_key_cannot_make_it_flash():
    """Light that jumps at any moment, in frames that come early and late."""
    rng = np.random.default_rng(7)
    calm, now, shown, lights = CalmLight(), 0.0, [], []
    for _ in range(2000):
        now += rng.choice([0.008, 0.033, 0.1, 0.4])
        shown.append(now)
        lights.append(calm.at(now, np.full((SAMPLES, 1), float(rng.random() < 0.5))))
    even = np.arange(shown[0], now, 1 / FPS)
    held = np.searchsorted(shown, even, side="right") - 1
    assert max(flashes(pictures(CASES["10 Hz flash"], np.array(lights)[held]))) <= LIMIT


def test_steady_light_is_shown_as_it_is():
    calm = CalmLight()
    for number in range(60):
        shown = calm.at(number / FPS, np.full((SAMPLES, 2), [0.25, 0.75]))
        assert shown == pytest.approx([0.25, 0.75])
    assert calm.settled


def test_fast_flicker_becomes_its_average():
    shown = np.array(calmed(loop("10 Hz flash"), np.arange(5 * FPS) / FPS))
    assert np.mean(shown) == pytest.approx(0.5, abs=0.03)
    assert np.ptp(shown) < 0.1


def test_a_lamp_that_comes_on_is_fully_up_within_a_second():
    calm = CalmLight()
    calm.at(0.0, np.zeros((SAMPLES, 1)))
    shown = [calm.at(t, np.ones((SAMPLES, 1)))[0] for t in np.arange(1, FPS + 1) / FPS]
    assert np.all(np.diff(shown) >= 0)
    assert shown[-1] == pytest.approx(1)


def projected(name, fps=FPS, seconds=6):
    """What the window shows of a case in the calm view, beside the same light drawn exactly."""
    projector, calm = Projector(), CalmLight()
    projector.load(CASES[name], constant_drive(keys=("F1",), length_s=12.0))
    renderer = projector.renderer(wait=True)
    for now in np.arange(seconds * fps) / fps:
        exact = renderer.frame(calm.at(now, projector.at(calm.times_s(now)).light))
        yield projector.frame(now, now, True)[::40, ::40], exact[::40, ::40]


@pytest.mark.parametrize("name", ["12 Hz flicker", "out of step", "all at once"])
def test_the_pictures_between_are_near_those_drawn_exactly_and_as_calm(name):
    shown, exact = (np.array(list(pictures)) for pictures in zip(*projected(name), strict=True))
    off = np.abs(shown.astype(int) - exact)
    assert 0 < off.mean() < 1
    assert off.max() <= 4
    assert max(flashes(shown.reshape(len(shown), -1, 3))) <= LIMIT


def test_a_steady_picture_is_not_drawn_again():
    effect = lamps(("bed", WARM, {"kind": "steady", "level": 0.4}))
    projector = Projector()
    projector.load(effect, constant_drive(keys=("F1",), length_s=12.0))
    projector.renderer(wait=True)
    assert projector.frame(0.0, 0.0, True) is projector.frame(2.0, 2.0, True)
