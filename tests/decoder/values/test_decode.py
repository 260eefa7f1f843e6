"""What values make a decoder show, and what is refused."""

from __future__ import annotations

import pytest
from decoders import CARROW, DECODERS, GLIM, TOLLEY, effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.looks import LookOf, light_of
from fxstudio.decoder.values.decode import decode, decode_values
from fxstudio.effect.patterns import Flicker
from fxstudio.errors import InputError


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
def test_as_delivered_every_output_is_steady_on_its_key(decoder):
    seen = decode_values({}, decoder)
    assert seen.title == decoder.title
    assert list(seen.lamps) == [f"output {output.number}" for output in decoder.outputs]
    for output, lamp in zip(decoder.outputs, seen.lamps.values(), strict=True):
        assert (lamp.key, lamp.travel) == (output.key, output.travel)
        assert lamp.pattern.summary() == "steady at 100 %"
        assert lamp.place in seen.setting.places  # so that it can be drawn


def test_names_colours_and_places_come_from_the_effect_that_is_alike():
    like = effect(fire={"output": 4, "key": "F9", "place": "door"}, gone={"output": 30})
    seen = decode_values({}, GLIM, like)
    assert list(seen.lamps) == ["fire"]
    fire = seen.lamps["fire"]
    assert (fire.place, fire.colour, fire.key) == ("door", like.lamps["fire"].colour, "F2")
    assert seen.title == "Fire"


@pytest.mark.parametrize(
    ("lowest", "levels", "ends"),
    [
        (None, 11, (0.2, 0.4)),  # half level: of 11 levels each is a tenth
        (0.25, 101, (0.1, 0.4)),  # a darkest moment is a share of the brightest one, not of full
        (None, 5, (0.25, 0.5)),  # of 5 levels each is a quarter, and the nearest is taken
        (None, None, (0.2, 0.4)),
    ],
)
def test_brightness_worked_out_by_hand(lowest, levels, ends):
    flicker = LookOf("fire", Flicker, {"style": "hold", "lowest": 0.4, "highest": 0.8})
    said = {} if lowest is None else {"lowest": lowest}
    light, unknown = light_of(flicker, said, 0.5, None, levels)
    assert (light.lowest, light.highest) == pytest.approx(ends)
    assert unknown == {}


def test_an_output_without_a_key_is_dark_with_a_note():
    seen = decode({CvAddress(35): 0}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    assert seen.effect.lamps["bed"].pattern.summary() == "steady at 0 %"
    assert seen.notes == ("bed (output 3) stays dark: no key switches it",)


def test_an_output_that_may_shine_in_no_direction_is_dark_with_a_note():
    seen = decode({CvAddress(143): 224}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    assert seen.effect.lamps["bed"].pattern.summary() == "steady at 0 %"
    assert seen.notes == ("bed (output 3) stays dark: its travel lets it shine in no direction",)


def test_each_of_several_keys_is_shown():
    bed = decode({CvAddress(33): 5}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    ways = {(way.key, way.travel) for way in bed.effect.lamps["bed"].ways}
    assert ways == {("F0", "forward"), ("F1", "both")}
    assert bed.notes == ()


def refused(values, decoder=GLIM) -> InputError:
    with pytest.raises(InputError) as caught:
        decode_values(values, decoder)
    return caught.value


@pytest.mark.parametrize(
    ("decoder", "cv", "value", "allowed", "others"),
    [
        (GLIM, 143, 252, "0 to 3, 5, 8 to 11", {}),  # effect code 4 means nothing
        (CARROW, 121, 101, "0 to 100", {}),  # a level beyond full
        (GLIM, 149, 201, "0 to 200", {143: 249}),  # a rate outside its range, output 3 flickers
    ],
)
def test_a_value_without_a_meaning_is_refused(decoder, cv, value, allowed, others):
    held = {CvAddress(other): at for other, at in others.items()}
    error = refused({**held, CvAddress(cv): value}, decoder)
    assert error.problem == f"is no value of {decoder.title}"
    assert (error.field, error.given) == (f"CV{cv}", value)
    assert error.allowed.startswith(allowed)


@pytest.mark.parametrize("value", [256, -1, 1.5, True])
def test_a_value_that_is_no_byte_is_refused(value):
    error = refused({CvAddress(143): value})
    assert error.problem == "is not what a CV can hold"
    assert error.allowed == "a whole number from 0 to 255"


def test_an_unknown_cv_is_refused():
    error = refused({CvAddress(1): 3})
    assert error.field == "CV1"
    assert error.problem == "is not a CV that the description of Withybank Glim 4 knows"
    assert "CV141, CV142" in error.allowed
    assert refused({CvAddress(260, (40, 10)): 1}, TOLLEY).field == "CV260 (CV31 = 40, CV32 = 10)"
