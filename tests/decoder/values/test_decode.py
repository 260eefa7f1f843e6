"""What values make a decoder show, and what is refused."""

from __future__ import annotations

import pytest
from decoders import CARROW, DECODERS, GLIM, TOLLEY, effect

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.decode import brightness, decode, decode_values
from fxstudio.effect.patterns import Flicker, Steady
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


def test_brightness_worked_out_by_hand():
    flicker = Flicker(lowest=0.4, highest=0.8)
    # Half level: 0.2 to 0.4. Of 11 levels each is a tenth.
    assert brightness(flicker, 0.5, None, 11) == pytest.approx((0.4, 0.2))
    # A darkest moment of a quarter is a quarter of the brightest one, not of full.
    assert brightness(flicker, 0.5, 0.25, 101) == pytest.approx((0.4, 0.1))
    # Of 5 levels each is a quarter, and the nearest is taken.
    assert brightness(flicker, 0.5, None, 5) == pytest.approx((0.5, 0.25))
    assert brightness(Steady(level=0.3), 1.0, None, 5) == (0.25, None)


def test_an_output_without_a_key_is_dark_with_a_note():
    seen = decode({CvAddress(35): 0}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    assert seen.effect.lamps["bed"].pattern.summary() == "steady at 0 %"
    assert seen.notes == ("bed (output 3) stays dark: no key switches it",)


def test_an_output_that_may_shine_in_no_direction_is_dark_with_a_note():
    seen = decode({CvAddress(143): 224}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    assert seen.effect.lamps["bed"].pattern.summary() == "steady at 0 %"
    assert seen.notes == ("bed (output 3) stays dark: its travel lets it shine in no direction",)


def test_the_first_of_several_keys_is_shown_with_a_note():
    seen = decode({CvAddress(33): 5}, GLIM, effect(bed={"output": 3, "key": "F1"}))
    assert (seen.effect.lamps["bed"].key, seen.effect.lamps["bed"].travel) == ("F0", "forward")
    assert seen.notes == ("bed (output 3) is switched by any of F0, F1; F0 is shown",)


def refused(values, decoder=GLIM) -> InputError:
    with pytest.raises(InputError) as caught:
        decode_values(values, decoder)
    return caught.value


def test_a_code_without_a_meaning_is_refused():
    assert str(refused({CvAddress(143): 252})) == (
        "field 'CV143 bits 0 to 2': the effect code 4 of output 3 means nothing to "
        "Withybank Glim 4\n"
        "  given:   252\n"
        "  allowed: codes 0 (steady), 1 (ember), 2 (flame), 3 (gutter), 5 (warning)\n"
        "  do:      choose one of these codes and work out the value again"
    )


def test_a_level_beyond_full_is_refused():
    error = refused({CvAddress(121): 101}, CARROW)
    assert (error.field, error.given, error.allowed) == ("CV121", 101, "codes 0 to 100")


def test_a_rate_outside_its_range_is_refused():
    error = refused({CvAddress(149): 201})
    assert error.problem == "is outside the shared rate of Withybank Glim 4"
    assert (error.given, error.allowed) == (201, "0 to 200")


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
