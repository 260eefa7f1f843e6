"""Lanes under a film show the light that was simulated, and only their line moves."""

from __future__ import annotations

import numpy as np
import pytest
from films import of_one_lamp

from fxstudio.colour import hex_to_rgb, luminance, srgb_decode, wavelength_to_xyz, xyz_to_rgb
from fxstudio.effect.files import load_effect
from fxstudio.errors import InputError
from fxstudio.film.captions.caption import Caption
from fxstudio.film.captions.lanes import Lanes, lane_colour
from fxstudio.film.captions.strip import em_of, ink_colours
from fxstudio.film.take import Shot, Take
from fxstudio.light.simulation import Simulation
from fxstudio.style import COLOURS

FIRE = of_one_lamp("cab", "flames", "smooth", 3.0, 0.1, 1.0, 2.0)
FIELD, RULE, PRESENT, FILL, LINE = len(ink_colours()) + np.arange(5)


def lanes(width: int, height: int = 320, effect=FIRE) -> Lanes:
    """The lanes of an effect under a film of some size."""
    return Lanes(Simulation(effect, effect.shown_by), width, height, em_of(width))


@pytest.mark.parametrize("width", [160, 320, 480, 960])
def test_the_line_of_a_lane_is_the_light_of_its_lamp(width):
    strip = lanes(width).strip([0.0])
    numbers = strip.numbers(0)
    drawn = np.isin(numbers, (FIELD, RULE, PRESENT, FILL, LINE))
    rows, columns = np.flatnonzero(drawn.any(axis=1)), np.flatnonzero(drawn.any(axis=0))
    columns = columns[em_of(width) :]  # right of the line at the present
    field = numbers[rows[0] : rows[-1], columns]
    middle = [np.flatnonzero(column == LINE).mean() for column in field.T]
    share = 1 - (columns[-1] - columns + 0.5) / (columns[-1] - columns[0] + 1 + em_of(width))
    true = Simulation(FIRE, FIRE.shown_by).at(share * FIRE.shown_by.length_s).light[:, 0]
    assert np.corrcoef(-np.array(middle), true)[0, 1] > 0.97


def test_only_the_line_at_the_present_moves_and_it_goes_from_end_to_end():
    strip = lanes(480).strip(np.linspace(0, 1.98, 50))
    shown = [strip.numbers(number) for number in range(50)]
    at = [np.flatnonzero((numbers == PRESENT).any(axis=0)) for numbers in shown]
    assert all(np.diff([columns[0] for columns in at]) > 0)
    for before, after, *columns in zip(shown, shown[1:], at, at[1:], strict=False):
        changed = np.flatnonzero((before != after).any(axis=0))
        assert set(changed) <= set(np.concatenate(columns))
    drawn = np.flatnonzero(np.isin(shown[0], (FIELD, FILL)).any(axis=0))
    assert at[0][0] < drawn[0]
    assert at[-1][-1] > drawn[-1] - 0.02 * len(drawn)


@pytest.mark.parametrize("nm", [400, 440, 470, 525, 590, 625, 700])
def test_a_lamp_of_any_colour_is_seen_on_its_field(nm):
    """At least 3 to 1. Source: WCAG 2.2, success criterion 1.4.11, from memory."""
    rgb = np.clip(xyz_to_rgb(wavelength_to_xyz(nm)), 0, None)
    rgb /= rgb.max()
    ground = float(luminance(hex_to_rgb(COLOURS["field"]))) + 0.05
    shown = float(luminance(srgb_decode(lane_colour(rgb) / 255))) + 0.05
    assert shown / ground > 2.97  # of a colour in whole codes


def test_a_colour_that_is_seen_is_the_lamps_own():
    assert lane_colour([1.0, 0.0, 0.0]).tolist() == [255, 0, 0]


@pytest.mark.parametrize("width", [160, 200, 320, 480, 1920])
def test_nothing_touches_the_edges_however_long_a_name_is(width):
    lamps = {"W" * 40: next(iter(FIRE.lamps.values()))}
    numbers = lanes(width, effect=FIRE.model_copy(update={"lamps": lamps})).strip([0.0]).numbers(0)
    assert not any(e.any() for e in (numbers[0], numbers[-1], numbers[:, 0], numbers[:, -1]))


@pytest.mark.parametrize("caption", [None, Caption("A fire", "on Some Decoder", ("a: b",))])
def test_lanes_stand_between_the_picture_and_its_caption(caption):
    shot = Shot(480, 320, 10)
    alone = Take(FIRE, FIRE.shown_by, shot, lanes=True).strip
    both = Take(FIRE, FIRE.shown_by, shot, caption=caption, lanes=True)
    assert np.array_equal(both.strip.numbers(7)[: alone.height], alone.numbers(7))
    assert both.whole(7).shape == (320, 480, 3)


def test_a_film_with_no_room_for_lanes_is_refused():
    with pytest.raises(InputError, match="leaves no room"):
        Take(FIRE, FIRE.shown_by, Shot(96, 64, 10), lanes=True)


def test_each_lamp_has_a_lane():
    effect = load_effect("end_lamps")
    shown = lanes(480, effect=effect).strip([0.0]).numbers(0)
    assert all((shown == LINE + 2 * number).any() for number in range(len(effect.lamps)))
