"""An effect on a decoder that is described so far."""

from __future__ import annotations

from decoder.interview.answering import answered, answers_in

from fxstudio.decoder.interview.delivered_look import (
    delivered_look,
    delivered_words,
    draws_what_is_not_known,
)
from fxstudio.effect.files import find_effect, read_effect

FIRE = read_effect(find_effect("banked_fire"))
"""Lamps on outputs 3 and 4."""


def test_lamps_have_the_light_of_their_outputs():
    leaflet = answered(answers_in("marsh_hollow")).leaflet
    seen = delivered_look(FIRE, leaflet)
    assert {lamp.pattern.kind for lamp in seen.lamps.values()} == {"steady"}
    assert not draws_what_is_not_known(FIRE, leaflet)
    assert delivered_words(leaflet)[0] == "white (output 1): steady at 100 %, on F0, forward only."


def test_what_is_not_known_is_as_wished_and_lamps_on_other_outputs_stay():
    answers = answers_in("rook_lane")
    answers[1] = "bed, flames, red, violet"
    answers[10] = "0 steady; 1 flicker"
    leaflet = answered(answers).leaflet
    assert draws_what_is_not_known(FIRE, leaflet)
    seen = delivered_look(FIRE, leaflet)
    flames = next(name for name, lamp in FIRE.lamps.items() if lamp.pattern.kind == "flicker")
    assert seen.lamps[flames].pattern.lowest == FIRE.lamps[flames].pattern.lowest
    rook = answered(answers_in("rook_lane")).leaflet
    assert delivered_look(FIRE, rook) == FIRE
