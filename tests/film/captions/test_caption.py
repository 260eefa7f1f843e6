"""The caption under a film: it can be read, costs little and leaves the picture alone."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from films import of_one_lamp

from fxstudio.effect.drive import Drive, DriveTrace, Step
from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError
from fxstudio.film.captions.caption import Caption, caption_strip, unknown_words
from fxstudio.film.captions.strip import INKS, ink_colours
from fxstudio.film.fitting import small_enough
from fxstudio.film.formats import FORMATS
from fxstudio.film.making import film
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress
from fxstudio.style import contrast

FIRE = of_one_lamp("cab", "flames", "smooth", 3.0, 0.1, 1.0, 2.0)
CAPTION = Caption("A fire", "on Some Decoder", ("flames: how fast",))
SHOT = Shot(320, 214, 10)


def trace_of(*states: tuple[bool, float, tuple[str, ...]]) -> DriveTrace:
    """Direction, speed and keys at one time each."""
    return DriveTrace(
        np.array([forward for forward, _, _ in states]),
        np.array([speed for _, speed, _ in states]),
        np.array([[key in keys for key in KEYS] for _, _, keys in states]),
    )


@pytest.mark.parametrize(("colour", "ground"), INKS)
def test_letters_can_be_read(colour, ground):
    """At least 4.5 to 1. Source: WCAG 2.2, success criterion 1.4.3."""
    assert contrast(colour, ground) >= 4.5


@pytest.mark.parametrize("ending", [".gif", ".png"])
def test_a_film_holds_its_caption_to_the_last_letter(tmp_path, ending):
    path = tmp_path / f"film{ending}"
    film(FIRE, path, shot=SHOT, caption=CAPTION, accept_flashes=True)
    strip = Take(FIRE, FIRE.shown_by, SHOT, caption=CAPTION).strip
    for picture, _ in FORMATS[ending].decode(BytesIO(path.read_bytes())):
        assert picture.shape == (214, 320, 3)
        under = picture[-strip.height :]
        assert np.array_equal(under, strip.colours[strip.numbers(0)])


def test_a_caption_costs_few_bytes():
    take = Take(FIRE, FIRE.shown_by, SHOT, caption=CAPTION)
    height = SHOT.height - take.strip.height
    bare = replace(take, shot=replace(SHOT, height=height), caption=None)
    with_caption, without = BytesIO(), BytesIO()
    for each, file in ((take, with_caption), (bare, without)):
        FORMATS[".gif"].encode(each, file, each.shot.quality, "", Progress())
    assert len(with_caption.getvalue()) < len(without.getvalue()) + 6000


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((True, 0, ()), (False, 0, ())),
        ((True, 0, ()), (True, 20, ())),
        ((True, 0, ()), (True, 0, ("F1",))),
        ((True, 20, ("F1",)), (True, 21, ("F1",))),
    ],
)
def test_it_changes_with_the_drive_and_only_then(one, other):
    strip = caption_strip(CAPTION, 320, trace_of(one, one, other), [0.0, 1.0, 2.0])
    first, second, third = map(strip.numbers, range(3))
    assert np.array_equal(first, second)
    assert not np.array_equal(first, third)


def test_a_speed_that_grows_changes_it_by_whole_km_an_hour():
    strip = caption_strip(Caption(), 320, trace_of((True, 20.1, ()), (True, 20.3, ())), [0.0, 1.0])
    assert np.array_equal(strip.numbers(0), strip.numbers(1))


@pytest.mark.parametrize("width", [200, 320, 480, 1920])
def test_nothing_touches_its_edges_however_much_it_says(width):
    caption = Caption(
        "W" * 80, "on " + "W" * 80, tuple("W" * 40 for _ in range(9)), ((0, "W" * 99),)
    )
    strip = caption_strip(caption, width, trace_of((False, 250, KEYS)), [0.0])
    numbers = strip.numbers(0)
    edges = (numbers[0], numbers[-1], numbers[:, 0], numbers[:, -1])
    assert not any(edge.any() for edge in edges)


def test_words_go_with_their_moments():
    caption = Caption(words=((0.0, "off"), (2.0, "bed alone")))
    assert [caption.words_at(t) for t in (0.0, 1.99, 2.0, 9.0)] == [
        "off",
        "off",
        *["bed alone"] * 2,
    ]


def test_a_film_too_small_for_it_is_refused():
    with pytest.raises(InputError, match="leaves no room"):
        Take(FIRE, FIRE.shown_by, Shot(96, 64, 10), caption=CAPTION)


def test_a_film_is_not_made_so_small_that_it_has_no_room():
    take = Take(FIRE, FIRE.shown_by, Shot(240, 160, 10), caption=Caption())
    with pytest.raises(InputError, match="so small"):
        small_enough(take, FORMATS[".gif"], 1000, Progress())


def test_colours_are_of_the_tools_own_look():
    assert {tuple(colour) for colour in ink_colours().tolist()} >= {(17, 22, 28), (240, 235, 223)}


def test_a_key_that_is_switched_is_seen_in_the_film():
    drive = Drive(length_s=2, steps=(Step(keys=("F1",)), Step(at_s=1, keys=())))
    strip = Take(FIRE, drive, SHOT, caption=CAPTION).strip
    shown = [strip.numbers(number) for number in range(20)]
    changes = [n for n in range(1, 20) if not np.array_equal(shown[n], shown[n - 1])]
    assert changes == [10]


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (2, "not known: bed: how fast; flames: how dark"),
        (1, "not known: bed: how fast; 1 more"),
        (0, "not known: 2 things"),
    ],
)
def test_what_has_no_room_is_counted(count, told):
    assert unknown_words(("bed: how fast", "flames: how dark"), count) == told
