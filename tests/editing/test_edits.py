"""Edits: each gives an effect that a file may hold, or refuses in plain words."""

from __future__ import annotations

import re
from itertools import product

import pytest
from decoders import DECODERS

from fxstudio.decoder.values.compile import compile_effect
from fxstudio.documents.models import field_facts
from fxstudio.documents.reading import parse
from fxstudio.editing import edits
from fxstudio.editing.document import Document
from fxstudio.effect.files import find_effect, read_effect, shipped_effects
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import KINDS
from fxstudio.effect.writing import to_text
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import SCENES


@pytest.fixture
def fire():
    return read_effect(find_effect("banked_fire"))


def usable(effect):
    """Whether the effect can be written, read again as the same, and drawn."""
    import tomllib

    again = parse(Effect, tomllib.loads(to_text(effect)))
    return again == effect


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("title",), "Night"),
        (("rate_hz",), 12.5),
        (("lamps", "bed", "key"), "always"),
        (("lamps", "bed", "travel"), "reverse"),
        (("lamps", "flames", "pattern", "style"), "hold"),
        (("lamps", "bed", "place"), "door"),
    ],
)
def test_a_field_is_set(fire, path, value):
    edited = edits.set_field(fire, path, value)
    here = edited.model_dump()
    for name in path:
        here = here[name]
    assert here == value
    assert usable(edited)


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("title",), "", "is empty"),
        (("rate_hz",), 99.0, "is too large"),
        (("lamps", "bed", "key"), "F99", "is not a function key"),
        (("lamps", "bed", "place"), "roof", "has no place 'roof'"),
        (("lamps", "bed", "colour"), {"hex": "orange"}, "is not a colour"),
    ],
)
def test_a_value_that_is_not_allowed_is_refused_in_words(fire, path, value, words):
    with pytest.raises(InputError, match=words):
        edits.set_field(fire, path, value)


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (lambda fire: edits.rename_lamp(fire, "bed", ""), ["the name is empty"]),
        (
            lambda fire: edits.rename_lamp(fire, "bed", 41 * "x"),
            ["the name is too long", "at most 40 letters"],
        ),
        (lambda fire: edits.rename_lamp(fire, "bed", "flames"), ["another lamp is called"]),
        (lambda fire: edits.set_field(fire, ("title",), ""), ["the title is empty"]),
        (
            lambda fire: edits.set_field(fire, ("rate_hz",), 99.0),
            ["the shared rate is too large", "99 Hz", "0.2 Hz to 25 Hz"],
        ),
        (
            lambda fire: edits.set_colour(
                edits.rename_lamp(fire, "bed", "a.b"), "a.b", "wavelength_nm", 9000.0
            ),
            ["the wavelength is too large", "9000 nm", "380 nm to 780 nm"],
        ),
        (
            lambda fire: edits.set_field(fire, ("lamps", "flames", "pattern", "lowest"), -1.0),
            ["the lowest brightness is too small", "-100 %", "0 % to 100 %"],
        ),
        (
            lambda fire: edits.set_field(fire, ("lamps", "bed", "key"), "F99"),
            ["this is not a"],
        ),
    ],
)
def test_a_refused_edit_speaks_no_names_of_a_file(fire, edit, told):
    with pytest.raises(InputError) as caught:
        edit(fire)
    text = caught.value.in_words()
    assert [words for words in told if words not in text] == []
    assert re.findall(r"field '|\w_\w|\[key|lamps\.|in \"quotes", text) == []


def test_an_end_pushes_the_other_one_along(fire):
    path = ("lamps", "flames", "pattern")
    dark = edits.set_field(fire, (*path, "highest"), 0.05).lamps["flames"].pattern
    assert (dark.lowest, dark.highest) == (0.05, 0.05)
    effect = edits.set_field(fire, (*path, "highest"), 0.5)
    bright = edits.set_field(effect, (*path, "lowest"), 0.8).lamps["flames"].pattern
    assert (bright.lowest, bright.highest) == (0.8, 0.8)


@pytest.mark.parametrize(("first", "second"), list(product(KINDS, KINDS)))
def test_any_pattern_can_follow_any_other(fire, first, second):
    effect = edits.set_field(fire, ("lamps", "bed", "pattern"), {"kind": first})
    edited = edits.set_pattern(effect, "bed", second)
    pattern = edited.lamps["bed"].pattern
    assert pattern.kind == second
    assert usable(edited)


def test_a_pattern_keeps_how_bright_it_is(fire):
    flickering = edits.set_pattern(fire, "bed", "flicker").lamps["bed"].pattern
    assert flickering.highest == 0.35
    assert flickering.lowest <= 0.35


@pytest.mark.parametrize(("name", "scene"), list(product(shipped_effects(), SCENES)))
def test_any_effect_fits_any_scene(name, scene):
    effect = edits.set_scene(read_effect(find_effect(name)), scene)
    assert effect.scene == scene
    assert effect.setting is SCENES[scene]
    assert effect.source == find_effect(name)
    assert usable(effect)


def test_a_change_of_scene_can_be_undone(fire):
    document = Document()
    document.open(find_effect("banked_fire"))
    document.edit(edits.set_scene(document.effect, "front"))
    assert {document.effect.place(name) for name in fire.lamps} <= set(SCENES["front"].places)
    document.undo()
    assert document.effect == fire
    assert document.effect.setting is SCENES["cab"]
    document.redo()
    assert document.effect.setting is SCENES["front"]
    with pytest.raises(InputError, match="is not a scene"):
        edits.set_field(document.effect, ("scene",), "kitchen")


def test_a_renamed_lamp_stays_where_it_is(fire):
    effect = edits.rename_lamp(fire, "bed", "grate")
    assert list(effect.lamps) == ["grate", "flames"]
    assert effect.place("grate") == "bed"
    assert effect.lamps["grate"].pattern == fire.lamps["bed"].pattern
    assert edits.rename_lamp(effect, "grate", "bed").place("bed") == "bed"
    with pytest.raises(InputError, match="another lamp is called 'flames' already"):
        edits.rename_lamp(effect, "grate", "flames")


def test_lamps_are_added_on_free_outputs_until_there_are_none(fire):
    effect = fire
    for _ in range(30):
        effect, name = edits.add_lamp(effect)
        assert name in effect.lamps
    assert sorted(lamp.output for lamp in effect.lamps.values()) == list(range(1, 33))
    assert usable(effect)
    with pytest.raises(InputError, match="every output"):
        edits.add_lamp(effect)


def test_the_last_lamp_stays(fire):
    effect = edits.remove_lamp(fire, "bed")
    assert list(effect.lamps) == ["flames"]
    with pytest.raises(InputError, match="needs a lamp"):
        edits.remove_lamp(effect, "flames")


def test_two_lamps_change_places_on_their_outputs(fire):
    effect = edits.move_to_output(fire, "bed", 4)
    assert effect.lamps["bed"].output == 4
    assert effect.lamps["flames"].output == 3
    assert edits.move_to_output(fire, "bed", 9).lamps["bed"].output == 9


@pytest.mark.parametrize(
    ("way", "value"), [("hex", "#ff8000"), ("wavelength_nm", 590.0), ("temperature_k", 2700.0)]
)
def test_a_colour_is_given_in_one_way(fire, way, value):
    colour = edits.set_colour(fire, "bed", way, value).lamps["bed"].colour
    assert colour.model_fields_set == {way}
    assert getattr(colour, way) == value


def test_the_outputs_offered_are_those_the_model_allows(fire):
    outputs = field_facts(Lamp)["output"].whole_numbers
    for number in (outputs[0], outputs[-1]):
        edits.move_to_output(fire, "bed", number)
    for number in (outputs[0] - 1, outputs[-1] + 1):
        with pytest.raises(InputError):
            edits.set_field(fire, ("lamps", "bed", "output"), number)


@pytest.mark.parametrize("name", ["title", "locomotive", "note"])
def test_the_longest_text_is_what_the_model_allows(fire, name):
    most = field_facts(Effect)[name].longest
    edits.set_field(fire, (name,), "x" * most)
    with pytest.raises(InputError, match="too long"):
        edits.set_field(fire, (name,), "x" * (most + 1))


def test_the_longest_name_of_a_lamp_is_what_the_model_allows(fire):
    most = field_facts(Effect)["lamps"].longest
    edits.rename_lamp(fire, "bed", "x" * most)
    with pytest.raises(InputError):
        edits.rename_lamp(fire, "bed", "x" * (most + 1))


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
@pytest.mark.parametrize("key", ["F1", "F12", "always"])
def test_a_lamp_added_on_a_decoder_has_an_output_and_a_key_that_can_be_had(fire, decoder, key):
    """Lamp by lamp, until no output of the decoder is free."""
    effect = edits.set_field(fire, ("lamps", "bed", "key"), key)
    free = set(decoder.index) - {lamp.output for lamp in effect.lamps.values()}
    assert free
    for _ in range(len(free)):
        effect, name = edits.add_lamp(effect, decoder)
        free.remove(effect.lamps[name].output)
        told = compile_effect(effect, decoder).compromises
        assert not [each for each in told if each.lamp == name and each.what in ("key", "travel")]
    effect, name = edits.add_lamp(effect, decoder)
    assert effect.lamps[name].output not in decoder.index
    assert usable(effect)
