"""Whole tasks, as a modeller does them, with the mouse and with the keyboard alone."""

from __future__ import annotations

import os
import re
import tomllib

import numpy as np
import pygame
import pytest
from window_driver import FIRE, Driver, save_outside, write_fire

from fxstudio.colour import rgb_to_hex, srgb8
from fxstudio.editing.edits import set_pattern
from fxstudio.effect.files import read_effect
from fxstudio.effect.model import Colour
from fxstudio.effect.patterns import KINDS
from fxstudio.export.table import table_text
from fxstudio.window import app
from fxstudio.window.panels import decoder as decoder_panel
from fxstudio.window.shortcuts import press


@pytest.fixture
def path(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return write_fire(tmp_path)


@pytest.fixture
def driver(path):
    driver = Driver()
    yield driver
    driver.close()


@pytest.fixture
def opened(path):
    driver = Driver(path)
    yield driver
    driver.close()


def test_make_the_flames_shine_in_reverse_only_with_the_mouse(driver, path):
    """Open, change the overlay, see its lane go dark in forward, save, undo."""
    driver.click("open")
    files = driver.widget("files")
    names = list(files.rows.values())
    files.first = names.index("heron.toml")
    driver.frame(0)
    row = next(
        cell for number, cell in driver.widget("files").cells() if names[number] == "heron.toml"
    )
    driver.click_at(row.center)
    assert driver.widget("file name").draft == "heron.toml"
    driver.click("file take")
    assert driver.studio.effect.title == "Heron's fire"

    driver.click_option("travel", "forward")
    driver.let_pass(1.0)
    assert driver.words("flames").startswith("lit, ")
    assert driver.light("flames")[-1] >= 0.2

    driver.click("lane flames")
    assert driver.studio.selected == "flames"
    driver.click_option("lamp.travel", "reverse")
    driver.let_pass(1.0)
    assert driver.words("flames") == "off: only in reverse"
    assert driver.light("flames")[-1] == 0
    assert driver.light("bed")[-1] == pytest.approx(0.35)

    driver.click_option("travel", "reverse")
    driver.let_pass(1.0)
    assert driver.words("flames").startswith("lit, ")
    assert driver.light("flames")[-1] >= 0.2

    assert "changes not saved" in driver.texts()
    driver.click("save")
    assert "no unsaved changes" in driver.texts()
    text = path.read_text()
    assert tomllib.loads(text)["lamps"]["flames"]["travel"] == "reverse"
    for comment in ("# Heron's fire, wired last winter.", "# not too bright", "# the overlay"):
        assert comment in text

    driver.click("undo")
    assert driver.studio.effect.lamps["flames"].travel == "both"
    assert "changes not saved" in driver.texts()
    driver.click("redo")
    assert driver.studio.effect.lamps["flames"].travel == "reverse"


def test_the_same_with_the_keyboard_alone(driver, path):
    driver.ctrl(pygame.K_o)
    assert driver.focus == "files"
    driver.key(pygame.K_h, text="h")
    assert driver.widget("file name").draft == "heron.toml"
    driver.key(pygame.K_RETURN)
    assert driver.studio.effect.title == "Heron's fire"

    driver.tab_to("travel")
    driver.key(pygame.K_RIGHT)
    assert driver.studio.playback.throttle.travel == "forward"
    driver.tab_to("lane flames")
    driver.key(pygame.K_SPACE)
    driver.tab_to("lamp.travel")
    driver.key(pygame.K_LEFT)
    assert driver.studio.effect.lamps["flames"].travel == "reverse"
    driver.let_pass(1.0)
    assert driver.words("flames") == "off: only in reverse"

    driver.ctrl(pygame.K_s)
    assert tomllib.loads(path.read_text())["lamps"]["flames"]["travel"] == "reverse"
    driver.ctrl(pygame.K_z)
    assert driver.studio.effect.lamps["flames"].travel == "both"
    driver.ctrl(pygame.K_y)
    assert driver.studio.effect.lamps["flames"].travel == "reverse"


def test_keys_turn_lamps_off_and_on(opened):
    assert opened.words("bed") == "lit, 35 %"
    opened.click("key F1")
    opened.let_pass(0.5)
    assert opened.words("bed") == "off: key F1 is off"
    assert opened.words("flames").startswith("lit")
    opened.tab_to("key F1")
    opened.key(pygame.K_SPACE)
    opened.let_pass(0.5)
    assert opened.words("bed") == "lit, 35 %"


def test_drag_a_slider_and_take_it_back_in_one_step(opened):
    opened.reveal("pattern.level")
    slider = opened.widget("pattern.level")
    track = slider.track
    opened.mouse(pygame.MOUSEBUTTONDOWN, track.center, button=1)
    seen = set()
    for left in range(track.centerx, track.right, 7):
        opened.mouse(pygame.MOUSEMOTION, (left, track.centery + 40), rel=(7, 0), buttons=(1, 0, 0))
        seen.add(opened.studio.lamp.pattern.level)
    opened.mouse(pygame.MOUSEBUTTONUP, (track.right, track.centery), button=1)
    assert len(seen) > 10
    assert opened.studio.lamp.pattern.level > 0.95
    assert opened.light("bed")[-1] == pytest.approx(opened.studio.lamp.pattern.level)
    opened.click("undo")
    assert opened.studio.lamp.pattern.level == 0.35
    assert not opened.studio.document.can_undo


def test_sliders_move_with_the_arrow_keys(opened):
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)
    assert opened.studio.lamp.pattern.level == pytest.approx(0.36)
    opened.key(pygame.K_PAGEUP)
    assert opened.studio.lamp.pattern.level == pytest.approx(0.46)
    opened.key(pygame.K_HOME)
    assert opened.studio.lamp.pattern.level == 0
    opened.tab_to("effect.rate_hz")
    before = opened.studio.effect.rate_hz
    opened.key(pygame.K_RIGHT)
    assert before < opened.studio.effect.rate_hz < before * 1.1


def test_every_pattern_can_be_chosen_and_its_settings_follow(opened):
    for kind in ("flicker", "flash", "beat", "filament", "steady"):
        opened.click_option("pattern.kind", kind)
        pattern = opened.studio.lamp.pattern
        assert pattern.kind == kind
        for name in type(pattern).model_fields:
            if name != "kind":
                opened.reveal(f"pattern.{name}")


def test_a_colour_by_name_number_and_hand(opened):
    studio = opened.studio
    opened.tab_to("colour name")
    assert opened.widget("colour name").chosen == "orange"
    opened.key(pygame.K_RETURN)
    opened.key(pygame.K_y, text="y")
    opened.key(pygame.K_RETURN)
    assert studio.lamp.colour.wavelength_nm == 588
    patches = opened.widget("colour name").patches
    assert patches["yellow"] == tuple(srgb8(studio.lamp.colour.rgb))

    opened.tab_to("colour.wavelength_nm")
    opened.key(pygame.K_LEFT)
    assert studio.lamp.colour.wavelength_nm == 587
    assert opened.widget("colour name").chosen == "587 nm"
    opened.click("colour name")
    opened.key(pygame.K_END)
    opened.key(pygame.K_RETURN)
    assert studio.lamp.colour.temperature_k == 6500

    opened.click_option("colour way", "hex")
    opened.reveal("colour.hex")
    field = opened.widget("colour.hex").rect
    opened.mouse(pygame.MOUSEBUTTONDOWN, field.center, button=1)
    opened.mouse(pygame.MOUSEMOTION, field.midtop, rel=(0, 9), buttons=(1, 0, 0))
    assert studio.lamp.colour.hex == "#ffffff"
    opened.mouse(pygame.MOUSEMOTION, field.midbottom, rel=(0, 9), buttons=(1, 0, 0))
    opened.mouse(pygame.MOUSEBUTTONUP, field.midbottom, button=1)
    red, green, blue = bytes.fromhex(studio.lamp.colour.hex[1:])
    assert (red, green >= 250, blue >= 250) == (0, True, True)  # cyan, in the middle
    assert opened.focus == "colour.hex"
    for _ in range(3):
        opened.key(pygame.K_UP)
    assert min(bytes.fromhex(studio.lamp.colour.hex[1:])) == 38  # three twentieths paler
    opened.key(pygame.K_z, pygame.KMOD_CTRL)
    opened.key(pygame.K_z, pygame.KMOD_CTRL)
    assert studio.lamp.colour.hex == rgb_to_hex(Colour(temperature_k=6500).rgb)


@pytest.mark.parametrize(
    ("typed", "way", "value"),
    [
        ("Warm  white", "temperature_k", 2700),
        ("amber", "wavelength_nm", 595),
        ("601", "wavelength_nm", 601),
        ("601.5nm", "wavelength_nm", 601.5),
        ("1850", "temperature_k", 1850),
        ("1850 K", "temperature_k", 1850),
        ("#12AB9f", "hex", "#12ab9f"),
        ("12ab9f", "hex", "#12ab9f"),
    ],
)
def test_a_colour_can_be_typed(opened, typed, way, value):
    opened.tab_to("colour typed")
    opened.key(pygame.K_a, pygame.KMOD_CTRL)
    opened.type(typed)
    opened.key(pygame.K_RETURN)
    assert getattr(opened.studio.lamp.colour, way) == value


@pytest.mark.parametrize(
    ("typed", "told"), [("orangey", "a name such as"), ("3000 nm", "780"), ("#12", "#ff8000")]
)
def test_what_is_no_colour_is_refused_in_plain_words(opened, typed, told):
    before = opened.studio.effect
    opened.tab_to("colour typed")
    opened.key(pygame.K_a, pygame.KMOD_CTRL)
    opened.type(typed)
    opened.key(pygame.K_TAB)
    assert opened.studio.effect == before
    assert "Error: " in opened.texts()
    assert told in opened.studio.message.text
    assert "field '" not in opened.studio.message.text
    assert opened.widget("colour typed").draft == "605 nm"


def test_rename_add_and_remove_lamps(opened):
    opened.click("lamp name")
    opened.key(pygame.K_END)
    opened.type(" of coals")
    opened.key(pygame.K_RETURN)
    assert list(opened.studio.effect.lamps) == ["bed of coals", "flames"]
    assert opened.studio.selected == "bed of coals"
    opened.click("add lamp")
    assert opened.studio.selected == "door"
    assert opened.studio.lamp.output == 5
    opened.click("remove lamp")
    assert list(opened.studio.effect.lamps) == ["bed of coals", "flames"]


def test_escape_takes_back_what_was_typed(opened):
    opened.click("effect.title")
    opened.type("xyz")
    opened.key(pygame.K_ESCAPE)
    opened.key(pygame.K_TAB)
    assert opened.studio.effect.title == "Heron's fire"


def test_a_list_opens_and_closes_with_the_keyboard(opened):
    opened.tab_to("lamp.key")
    opened.key(pygame.K_RETURN)
    assert opened.focus == "options"
    opened.key(pygame.K_ESCAPE)
    assert opened.focus == "lamp.key"
    assert opened.studio.lamp.key == "F1"
    opened.key(pygame.K_SPACE)
    for _ in range(3):
        opened.key(pygame.K_DOWN)
    opened.key(pygame.K_RETURN)
    assert opened.studio.lamp.key == "F4"
    assert opened.focus == "lamp.key"
    opened.click("lamp.key")
    opened.click_at((5, 5))
    assert not opened.page.sheets


def test_unsaved_changes_are_not_lost_without_a_question(opened, path):
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)
    opened.ctrl(pygame.K_q)
    assert "Save the changes?" in opened.texts()
    opened.key(pygame.K_ESCAPE)
    assert opened.app.running
    assert opened.studio.document.unsaved
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    opened.frame(0)
    opened.click("answer 0")
    assert not opened.app.running
    assert "level = 0.36" in path.read_text()


def test_an_effect_whose_file_vanished_is_not_lost_without_a_question(opened, path):
    path.unlink()
    opened.studio.look_at_file()
    opened.let_pass(0.1)
    opened.studio.say("")  # the passing message may have passed
    opened.frame()
    assert "heron.toml is no longer in its folder" in opened.texts()
    opened.ctrl(pygame.K_q)
    assert opened.app.running
    opened.click("answer 0")
    assert not opened.app.running
    assert "level = 0.35" in path.read_text()


@pytest.mark.parametrize(
    "altgr",
    [pygame.KMOD_LCTRL | pygame.KMOD_RALT, pygame.KMOD_LCTRL | pygame.KMOD_MODE, pygame.KMOD_MODE],
)
def test_altgr_writes_letters_and_is_no_ctrl(opened, altgr):
    """Some keyboards send AltGr as Ctrl and Alt; with Q it writes @ on a German one."""
    opened.tab_to("lamp name")
    opened.key(pygame.K_q, altgr)
    opened.type("@")
    opened.key(pygame.K_v, altgr)
    assert opened.app.running
    assert opened.widget("lamp name").draft == "bed@"
    opened.key(pygame.K_BACKSPACE, altgr)
    assert opened.widget("lamp name").draft == "bed"


def test_two_lamps_changed_by_keyboard_are_undone_one_by_one(opened):
    """The slider of the lamp's level has the same name for both lamps."""
    for field in ("lamps.bed", "lamps.flames"):
        opened.studio.set((*field.split("."), "pattern"), {"kind": "steady", "level": 0.5})
    for lamp in ("bed", "flames"):
        opened.tab_to("lamp")
        opened.key(pygame.K_HOME if lamp == "bed" else pygame.K_RIGHT)
        assert opened.studio.selected == lamp
        opened.tab_to("pattern.level")
        opened.key(pygame.K_RIGHT)
    lamps = opened.studio.effect.lamps
    assert [lamps[name].pattern.level for name in lamps] == [0.51, 0.51]
    opened.ctrl(pygame.K_z)
    lamps = opened.studio.effect.lamps
    assert [lamps[name].pattern.level for name in lamps] == [0.51, 0.5]


def test_undo_of_a_rename_stays_with_the_lamp(opened):
    opened.studio.select("flames")
    opened.studio.rename("overlay")
    opened.ctrl(pygame.K_z)
    assert opened.studio.selected == "flames"
    opened.ctrl(pygame.K_y)
    assert opened.studio.selected == "overlay"


def test_changes_can_be_thrown_away_on_purpose(opened, path):
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)
    opened.ctrl(pygame.K_n)
    opened.click("answer 1")
    assert opened.studio.effect.title == "A new fire"
    assert path.read_text() == FIRE


def test_a_new_effect_asks_for_a_name_and_offers_no_overwriting_in_silence(driver, tmp_path, path):
    driver.ctrl(pygame.K_s)
    assert driver.focus == "file name"
    name = driver.widget("file name")
    for _ in name.draft:
        driver.key(pygame.K_BACKSPACE)
    driver.type("heron.toml")
    assert "will be replaced" in driver.texts()
    assert driver.widget("file take").text == "Replace it"
    for _ in "heron.toml":
        driver.key(pygame.K_BACKSPACE)
    driver.type("mine")
    assert driver.widget("file take").text == "Save"
    driver.tab_to("file take")
    driver.key(pygame.K_RETURN)
    assert read_effect(tmp_path / "mine.toml") == driver.studio.effect
    assert path.read_text() == FIRE
    assert not driver.studio.document.unsaved


def test_choosing_a_file_in_the_list_does_not_replace_it(driver, path):
    driver.ctrl(pygame.K_s)
    files = driver.widget("files")
    files.choose(str(path))
    assert path.read_text() == FIRE
    assert driver.widget("file take").text == "Replace it"
    driver.click("file take")
    assert read_effect(path) == driver.studio.effect


def test_a_file_that_came_to_be_there_meanwhile_is_asked_about(driver, tmp_path):
    driver.ctrl(pygame.K_s)
    target = tmp_path / driver.widget("file name").draft
    target.write_text(FIRE)
    driver.click("file take")
    assert target.read_text() == FIRE
    assert driver.widget("file take").text == "Replace it"


def test_an_effect_that_came_with_it_is_saved_as_ones_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    driver = Driver("banked_fire")
    shipped = driver.studio.document.path
    before = shipped.read_bytes()
    driver.tab_to("pattern.level")
    driver.key(pygame.K_RIGHT)
    driver.ctrl(pygame.K_s)
    assert "stay as they are" in driver.texts()
    driver.click("file take")
    assert shipped.read_bytes() == before
    assert read_effect(tmp_path / "banked_fire.toml").lamps["bed"].pattern.level == 0.36
    driver.close()


def test_a_full_disk_loses_nothing_and_is_told(opened, path, monkeypatch):
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    opened.ctrl(pygame.K_s)
    monkeypatch.undo()
    assert "No space left" in opened.texts()
    assert "make room on the disk" in opened.texts()
    assert path.read_text() == FIRE
    assert opened.studio.document.unsaved
    opened.ctrl(pygame.K_s)
    assert "level = 0.36" in path.read_text()
    assert not opened.studio.document.unsaved


def change_outside(driver, path, text):
    save_outside(path, text)
    driver.app.looked_s = -1e9
    driver.frame()


def test_the_file_is_read_again_when_another_editor_saves_it(opened, path):
    change_outside(opened, path, FIRE.replace("0.35", "0.7"))
    assert opened.studio.lamp.pattern.level == 0.7
    opened.let_pass(0.1)
    assert opened.light("bed")[-1] == pytest.approx(0.7)


def test_a_file_that_breaks_keeps_the_picture_and_tells_the_error(opened, path):
    change_outside(opened, path, FIRE.replace("0.35", '"bright"'))
    assert "the last good effect is shown" in opened.texts()
    assert "lamps, bed, pattern: the brightness has the wrong type" in opened.texts()
    assert opened.studio.lamp.pattern.level == 0.35
    opened.let_pass(0.2)
    assert opened.light("bed")[-1] == pytest.approx(0.35)
    change_outside(opened, path, FIRE)
    assert "the last good effect" not in opened.texts()


def test_changes_on_both_sides_are_asked_about(opened, path):
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)
    change_outside(opened, path, FIRE.replace("0.35", "0.7"))
    assert "Another program changed heron.toml" in opened.texts()
    opened.click("take outside")
    assert opened.studio.lamp.pattern.level == 0.7
    opened.ctrl(pygame.K_z)
    assert opened.studio.lamp.pattern.level == 0.36


@pytest.mark.parametrize(
    "text", [FIRE.replace("0.2,", "0.3,").replace("by eye", "measured"), "title = "]
)
def test_saving_asks_before_it_replaces_what_another_program_wrote(opened, path, text):
    """Even if the file was not looked at since."""
    opened.tab_to("pattern.level")
    opened.key(pygame.K_RIGHT)
    save_outside(path, text)
    opened.app.looked_s = 1e12
    opened.ctrl(pygame.K_s)
    assert "Saving replaces what the other program wrote" in opened.texts()
    opened.key(pygame.K_ESCAPE)
    assert path.read_text() == text
    assert opened.studio.document.unsaved
    opened.ctrl(pygame.K_s)
    opened.click("answer 1")
    saved = read_effect(path)
    assert saved.lamps["bed"].pattern.level == 0.36
    assert saved.lamps["flames"].pattern.lowest == 0.2
    assert ("# measured" in path.read_text()) == ("# measured" in text)
    assert not opened.studio.document.unsaved


def test_the_decoder_says_what_it_will_do(opened):
    """The picture, lanes and values follow the decoder; compromises lead to their lamps."""
    opened.tab_to("decoder")
    for _ in range(3):
        opened.key(pygame.K_DOWN)
    studio = opened.studio
    assert studio.decoder.name == "withybank_glim"
    compiled = studio.decoder.compiled
    opened.let_pass(0.5)
    assert "What the decoder will do" in opened.app.stage.frames()[0].caption
    assert compiled.compromises
    for number, entry in enumerate(compiled.compromises):
        note = opened.widget(f"compromise {number}")
        assert entry.what in note.title.lower()
        assert entry.why[1:] in "".join(note.texts)
    at = next(n for n, entry in enumerate(compiled.compromises) if entry.lamp == "flames")
    assert studio.selected == "bed"
    opened.click(f"compromise {at}")
    assert opened.focus == "lamp"
    assert studio.selected == opened.widget("lamp").chosen == "flames"
    for key in ("lamp", "lamp name", "lamp.key"):
        assert opened.widget(key).clip.contains(opened.widget(key).rect), f"{key} is not seen"
    # A decoder that holds its levels makes the lane a staircase.
    steps = np.diff(opened.light("flames"))
    assert np.mean(np.abs(steps) < 1e-6) > 0.8


def test_the_wish_stands_beside_what_will_be_seen(opened):
    opened.studio.use_decoder("withybank_glim")
    opened.frame()
    assert len(opened.app.stage.frames()) == 1
    opened.click("beside")
    assert [shown.caption.split(",")[0] for shown in opened.app.stage.frames()] == [
        "What the decoder will do",
        "What you wish",
    ]
    assert opened.app.stage.traces.of("flames").wish is not None


def test_the_rate_is_set_in_hertz_and_as_the_decoders_own_value(opened):
    opened.studio.use_decoder("withybank_glim")
    opened.frame()
    rate = opened.studio.decoder.description.rate
    opened.tab_to("rate value")
    before = rate.nearest(opened.studio.effect.rate_hz)
    opened.key(pygame.K_RIGHT)
    assert rate.nearest(opened.studio.effect.rate_hz) == before + 1
    assert opened.studio.effect.rate_hz == pytest.approx(rate.hz(before + 1), rel=1e-5)
    assert opened.studio.decoder.compiled.by_cv[rate.address] == before + 1


def test_the_values_are_copied_as_text(opened, monkeypatch):
    copied = []
    monkeypatch.setattr(decoder_panel, "copy", lambda text: copied.append(text) or True)
    opened.studio.use_decoder("withybank_glim")
    opened.frame()
    opened.click("copy")
    studio = opened.studio
    title = f"{studio.effect.title}, for {studio.decoder.description.title}"
    assert copied == [table_text(title, studio.decoder.compiled)]
    assert "on the clipboard" in studio.message.text


def test_a_decoder_without_these_outputs_is_told_and_the_wish_is_shown(opened):
    for lamp, output in (("bed", 30), ("flames", 31)):
        opened.studio.select(lamp)
        opened.studio.set_lamp("output", output)
    opened.studio.use_decoder("withybank_glim")
    opened.frame()
    assert "no lamp of the effect is on an output" in opened.texts()
    assert "What you wish" in opened.app.stage.frames()[0].caption


def test_the_calm_view_stays_until_the_caution_is_read(opened):
    assert opened.studio.calm
    opened.click("calm")
    assert "seizures" in opened.texts()
    opened.key(pygame.K_ESCAPE)
    assert opened.studio.calm
    opened.click("calm")
    opened.key(pygame.K_RETURN)  # the first answer is the careful one
    assert opened.studio.calm
    opened.click("calm")
    opened.click("answer 1")
    assert not opened.studio.calm
    assert opened.widget("calm").text == "Calm view off"
    opened.click("calm")
    assert opened.studio.calm
    opened.click("calm")
    assert not opened.studio.calm


def test_time_stands_still_while_paused(opened):
    opened.let_pass(0.5)
    opened.click("pause")
    at = opened.studio.playback.time_s
    opened.let_pass(0.5)
    assert opened.studio.playback.time_s == at
    opened.ctrl(pygame.K_p)
    opened.let_pass(0.5)
    assert opened.studio.playback.time_s > at


def test_text_size_by_keyboard(opened):
    opened.ctrl(pygame.K_PLUS)
    assert opened.page.look.percent == 125
    opened.ctrl(pygame.K_MINUS)
    opened.ctrl(pygame.K_MINUS)
    assert opened.page.look.percent == 100


def test_the_wheel_scrolls_and_tab_brings_back(opened, monkeypatch):
    place = opened.widget("effect.title").rect.center
    monkeypatch.setattr(pygame.mouse, "get_pos", lambda: place)
    for _ in range(10):
        pygame.event.post(pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=-1))
    opened.frame(0)
    title = opened.widget("effect.title")
    assert not title.rect.colliderect(title.clip)
    opened.tab_to("effect.title")
    title = opened.widget("effect.title")
    assert title.clip.contains(title.rect)


SIGNS = {
    "plus": {pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS},
    "minus": {pygame.K_MINUS, pygame.K_KP_MINUS},
}


def test_the_help_on_shortcuts_names_each_and_no_other(opened):
    line = opened.widget("effect.title")
    opened.click("shortcuts")
    named = re.findall(r"Ctrl-(?:Shift-)?(\w+)", opened.texts())
    expected = set().union(*(SIGNS.get(name) or {pygame.key.key_code(name)} for name in named))
    keys = {getattr(pygame, name) for name in dir(pygame) if name.startswith("K_")}
    taken = {  # a question is open, so none of them does anything
        key
        for key in keys
        for mod in (pygame.KMOD_CTRL, pygame.KMOD_CTRL | pygame.KMOD_SHIFT)
        if press(opened.app.actions, pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod))
    }
    taken |= {
        key
        for key in range(pygame.K_a, pygame.K_z + 1)
        if line.handle(pygame.event.Event(pygame.KEYDOWN, key=key, mod=pygame.KMOD_CTRL))
    }
    assert taken == expected
    opened.key(pygame.K_ESCAPE)
    assert not opened.page.sheets


def test_each_shortcut_does_what_the_help_says(opened, monkeypatch):
    done = []
    actions, studio = opened.app.actions, opened.studio
    for owner, name in [
        (actions, "new"),
        (actions, "open"),
        (actions, "save"),
        (actions, "save_as"),
        (actions, "quit"),
        (studio, "undo"),
        (studio, "redo"),
    ]:
        monkeypatch.setattr(owner, name, lambda name=name: done.append(name))
    monkeypatch.setattr(studio, "pause", lambda on: done.append("pause" if on else "go on"))
    monkeypatch.setattr(actions, "text_size", lambda step: done.append(f"text {step:+}"))
    for letter, mod, expected in [
        ("n", 0, "new"),
        ("o", 0, "open"),
        ("s", 0, "save"),
        ("s", pygame.KMOD_SHIFT, "save_as"),
        ("z", 0, "undo"),
        ("y", 0, "redo"),
        ("p", 0, "pause"),
        ("q", 0, "quit"),
        ("+", 0, "text +1"),
        ("-", 0, "text -1"),
    ]:
        opened.key(ord(letter), pygame.KMOD_CTRL | mod)
        assert done[-1:] == [expected], letter


def test_the_wheel_moves_the_page_and_the_help_with_it(opened, monkeypatch):
    place = opened.widget("effect.title").rect.center
    monkeypatch.setattr(pygame.mouse, "get_pos", lambda: place)
    opened.mouse(pygame.MOUSEMOTION, place, rel=(1, 0), buttons=(0, 0, 0))
    assert opened.page.hovered is opened.widget("effect.title")
    for _ in range(3):
        pygame.event.post(pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=-1))
        opened.frame(0)
    assert opened.widget("effect.title").rect.centery < place[1]
    hovered = opened.page.hovered
    assert hovered is None or hovered.rect.collidepoint(place)
    opened.studio.say("")
    opened.studio.select("flames")
    opened.frame()
    hovered = opened.page.hovered
    assert hovered is None or hovered in opened.page.all_leaves()


def test_the_line_below_tells_what_a_control_is_for(opened):
    def at(key):
        place = opened.widget(key).rect.center
        opened.mouse(pygame.MOUSEMOTION, place, rel=(1, 0), buttons=(0, 0, 0))

    at("picture")
    assert opened.app.status_line == app.HINT
    opened.tab_to("save")
    assert opened.app.status_line == opened.widget("save").help
    at("calm")
    assert opened.app.status_line == opened.widget("calm").help


def test_a_button_takes_what_the_decoder_can_do_and_undo_gives_it_back(opened):
    """The words in the window speak of no field of a file."""
    studio = opened.studio
    studio.use_decoder("withybank_glim")
    opened.frame()
    wish, before = studio.effect, studio.decoder.compiled.compromises
    at = next(n for n, told in enumerate(before) if told.what == "flicker style")
    button = opened.widget(f"accept {at}")
    assert button.text == f"Set {before[at].change.what} to {before[at].change.text}"
    assert "in the effect" not in opened.texts()
    assert "lowest =" not in opened.texts()
    opened.tab_to(f"accept {at}")
    opened.key(pygame.K_RETURN)
    assert studio.effect.lamps["flames"].pattern.style == before[at].change.value
    left = {told.what for told in studio.decoder.compiled.compromises}
    assert left == {told.what for told in before} - {"flicker style"}
    opened.ctrl(pygame.K_z)
    assert studio.effect == wish


def presses_of_tab(driver, key):
    """How many presses of Tab lead from where the focus is to a control."""
    for presses in range(60):
        if driver.focus == key:
            return presses
        driver.key(pygame.K_TAB)
    raise AssertionError(f"Tab never comes to {key}")


@pytest.mark.parametrize("kind", KINDS)
def test_the_brightness_is_near_the_name_of_the_lamp(opened, kind):
    opened.studio.edit(set_pattern, "bed", kind)
    opened.frame()
    fields = opened.studio.lamp.pattern.model_fields_set | set(KINDS[kind].model_fields)
    for start in ("lamp name", "lamp"):
        for field in fields & {"level", "lowest", "highest"}:
            opened.page.focus_on(opened.widget(start))
            assert presses_of_tab(opened, f"pattern.{field}") <= 6


def test_one_key_leads_from_a_lane_to_its_controls_and_one_back(opened):
    opened.tab_to("lane flames")
    opened.key(pygame.K_RETURN)
    assert (opened.studio.selected, opened.focus) == ("flames", "pattern.highest")
    seen = opened.widget("pattern.highest")
    assert seen.clip.contains(seen.rect)
    opened.ctrl(pygame.K_l)
    assert opened.focus == "lane flames"
    opened.key(pygame.K_UP)
    opened.tab_to("lane bed", shift=True)
    opened.key(pygame.K_SPACE)
    assert (opened.studio.selected, opened.focus) == ("bed", "lane bed")


def test_when_a_control_goes_the_focus_stays_near(opened):
    studio = opened.studio
    studio.use_decoder("withybank_glim")
    studio.set(("lamps", "bed", "pattern", "level"), 0.4)  # the decoder has 0.349
    opened.frame()
    last = len(studio.decoder.compiled.compromises) - 1
    opened.tab_to(f"accept {last}")
    opened.key(pygame.K_RETURN)
    assert len(studio.decoder.compiled.compromises) == last
    assert opened.focus == f"accept {last - 1}"


def test_keys_are_those_of_the_locomotive(opened):
    """One word for one thing: what the keyboard does is a shortcut."""
    assert opened.widget("shortcuts").text == "Shortcuts"
    assert "Function key" in opened.texts()
    opened.click("shortcuts")
    assert "Keys" not in opened.texts()
