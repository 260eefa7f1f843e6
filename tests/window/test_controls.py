"""Every field of a file has a control in the window, and each control makes an ordinary edit."""

from __future__ import annotations

import pygame
import pytest
from window_driver import Driver, write_fire

from fxstudio.editing.edits import set_colour, set_pattern
from fxstudio.effect.model import Colour, Effect, Lamp
from fxstudio.effect.patterns import KINDS
from fxstudio.errors import FxError

WITHOUT = {
    "effect.lamps": "the panel of the lamp",
    "effect.drive": "played and filmed, not changed",
    "lamp.colour": "its own fields have controls",
    "lamp.pattern": "its own fields have controls",
    "lamp.together": "said in the file",
    "lamp.unless": "said in the file",
    "lamp.also": "said in the file",
    "lamp.dim": "said in the file",
    "lamp.rate_hz": "said in the file",
    "lamp.current_ma": "said in the file",
}
"""Fields that have no control of their own, and what stands for it."""


@pytest.fixture
def opened(tmp_path):
    driver = Driver(write_fire(tmp_path))
    yield driver
    driver.close()


def controls(driver):
    driver.frame()
    return {leaf.key for leaf in driver.page.all_leaves() if leaf.focusable}


@pytest.mark.parametrize(("name", "model"), [("effect", Effect), ("lamp", Lamp)])
def test_each_field_has_a_control_or_a_reason(opened, name, model):
    fields = {f"{name}.{field}" for field in model.model_fields}
    none = {field for field in WITHOUT if field.startswith(name)}
    assert fields - controls(opened) == none


@pytest.mark.parametrize("kind", KINDS)
def test_each_field_of_a_pattern_has_a_control(opened, kind):
    opened.studio.edit(set_pattern, "bed", kind)
    assert {f"pattern.{field}" for field in KINDS[kind].model_fields} <= controls(opened)


def test_each_way_to_give_a_colour_has_a_control(opened):
    values = {"hex": "#ff8000", "wavelength_nm": 605.0, "temperature_k": 1900.0}
    for way in Colour.model_fields:
        opened.studio.edit(set_colour, "bed", way, values[way])
        assert f"colour.{way}" in controls(opened)


@pytest.mark.parametrize(
    ("field", "option", "value"),
    [("while_off", "off", True), ("motion", "moving", "moving"), ("travel", "forward", "forward")],
)
def test_when_a_lamp_shines_is_an_edit_that_undo_takes_back(opened, field, option, value):
    before = opened.studio.effect
    opened.click_option(f"lamp.{field}", option)
    assert getattr(opened.studio.lamp, field) == value
    opened.ctrl(pygame.K_z)
    assert opened.studio.effect == before


def test_a_lamp_that_shines_while_its_key_is_off_lights_when_it_is_switched_off(opened):
    opened.click_option("lamp.while_off", "off")
    opened.let_pass(0.5)
    assert opened.words("bed") == "off: key F1 is on"
    opened.click("key F1")
    opened.let_pass(0.5)
    assert opened.words("bed") == "lit, 35 %"


def test_a_lamp_that_shines_only_while_moving_waits_for_it(opened):
    opened.click_option("lamp.motion", "moving")
    opened.let_pass(0.5)
    assert opened.words("bed") == "off: only while moving"
    opened.click_option("travel", "forward")
    opened.let_pass(0.5)
    assert opened.words("bed") == "lit, 35 %"


def test_a_lamp_without_a_key_cannot_wait_for_it_to_be_off(opened):
    opened.click_option("lamp.while_off", "off")
    opened.tab_to("lamp.key")
    opened.key(pygame.K_RETURN)
    opened.key(pygame.K_HOME)
    opened.key(pygame.K_RETURN)
    lamp = opened.studio.lamp
    assert (lamp.key, lamp.while_off) == ("always", False)
    assert "lamp.while_off" not in controls(opened)


def test_what_a_name_became_is_shown_even_if_nothing_changed(opened):
    """Blanks around a name are no part of it, so the effect stays as it is."""
    before = opened.studio.effect
    opened.tab_to("lamp name")
    opened.type("  ")
    opened.key(pygame.K_RETURN)
    assert opened.studio.effect is before
    assert opened.widget("lamp name").draft == "bed"


CHANGES = {
    "paused": lambda studio: studio.pause(True),
    "smoothness": lambda studio: setattr(studio, "fps", 60),
    "text size": lambda studio: setattr(studio, "text_percent", 125),
    "a decoder": lambda studio: studio.use_decoder("withybank_glim"),
    "the wish beside it": lambda studio: studio.show_beside(True),
    "another lamp": lambda studio: studio.select("flames"),
    "a key": lambda studio: studio.playback.switch("F1"),
    "the speed": lambda studio: studio.playback.run(33.0),
    "a message": lambda studio: studio.say("A message."),
    "an edit": lambda studio: studio.set(("title",), "Another"),
    "its undoing": lambda studio: studio.undo(),
    "a file that broke": lambda studio: setattr(studio.document, "broken", FxError("broken")),
}


def test_the_page_is_built_anew_when_something_it_shows_has_changed_and_not_else(opened):
    opened.let_pass(0.1)
    for what, change in CHANGES.items():
        before = opened.widget("lamp")
        opened.let_pass(0.1)
        assert opened.widget("lamp") is before, f"before {what}"
        change(opened.studio)
        opened.frame()
        assert opened.widget("lamp") is not before, what
