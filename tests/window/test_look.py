"""The look of the window: contrast, sizes, and that nothing is cut or overlaps."""

from __future__ import annotations

from itertools import combinations

import pygame
import pytest
from window_driver import Driver

from fxstudio import style
from fxstudio.editing.playback import Throttle
from fxstudio.effect.gate import Way
from fxstudio.style import contrast
from fxstudio.window.shortcuts import show_shortcuts
from fxstudio.window.toolkit.controls.buttons import Button, Choice, Switch
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.theme import (
    EDGE_ON,
    PERCENTS,
    TEXT_ON,
)
from fxstudio.window.toolkit.widget import Text


@pytest.mark.parametrize(("colour", "ground"), TEXT_ON)
def test_text_can_be_read(colour, ground):
    """At least 4.5 to 1. Source: WCAG 2.2, success criterion 1.4.3."""
    assert contrast(colour, ground) >= 4.5


@pytest.mark.parametrize(("colour", "ground"), EDGE_ON)
def test_controls_and_focus_can_be_seen(colour, ground):
    """At least 3 to 1. Source: WCAG 2.2, success criterion 1.4.11."""
    assert contrast(colour, ground) >= 3.0


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48), ("#767676", "#ffffff", 4.54)],
)
def test_contrast_is_that_of_wcag(monkeypatch, one, other, expected):
    """21 is the largest ratio there is; #767676 is well known as the lightest grey that passes
    on white (from memory).
    """
    monkeypatch.setitem(style.COLOURS, "one", one)
    monkeypatch.setitem(style.COLOURS, "other", other)
    assert contrast("one", "other") == pytest.approx(expected, abs=0.01)
    assert contrast("other", "one") == contrast("one", "other")


SIZES = [(1280, 820), (1024, 700), (620, 900), (480, 640)]


@pytest.fixture(
    scope="module", params=[(size, percent) for size in SIZES for percent in (100, 200)], ids=str
)
def window(request):
    """One window for all tests at its size and that of its text."""
    size, percent = request.param
    driver = Driver("firehole_door", size, percent)
    driver.studio.use_decoder("withybank_glim")
    driver.studio.show_beside(True)
    driver.frame()
    yield driver
    driver.close()


@pytest.fixture
def driver(window):
    yield window
    window.back()


def test_nothing_overlaps_or_sticks_out(driver):
    width, _ = driver.page.size
    leaves = [leaf for leaf in driver.page.all_leaves() if leaf.rect.width]
    for leaf in leaves:
        assert leaf.rect.left >= 0, leaf.key
        assert leaf.rect.right <= width, leaf.key
    seen = [leaf for leaf in leaves if leaf.rect.colliderect(leaf.clip)]
    for one, other in combinations(seen, 2):
        over = one.rect.clip(one.clip).clip(other.rect.clip(other.clip))
        assert not over.width * over.height, f"{one.key} lies over {other.key}"


def nothing_is_cut(page):
    look = page.look
    for leaf in page.all_leaves():
        room = leaf.rect.width
        if isinstance(leaf, Switch):
            assert leaf.width() <= room, leaf.text
        elif isinstance(leaf, (Button, Text)):
            style = getattr(leaf, "style", "body")
            lines = leaf.lines(room)
            assert "".join(lines).replace(" ", "") == leaf.text.replace(" ", "").replace("\n", "")
            for line in lines:
                assert look.text_width(line, style) <= room + 1, line
            assert leaf.rect.height >= len(lines) * look.line_height(style)
        elif isinstance(leaf, Choice):
            for name, cell in leaf.cells:
                assert look.text_width(leaf.options[name]) <= cell.width - look.px(22)
        elif isinstance(leaf, Picker):
            assert room > look.px(60)


def test_words_of_controls_are_not_cut(driver):
    nothing_is_cut(driver.page)


@pytest.mark.parametrize("sheet", ["ask_about_flashing", "film", "open", "save_as", "shortcuts"])
def test_words_of_questions_are_not_cut(driver, sheet, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    actions = driver.app.actions
    if sheet == "shortcuts":
        show_shortcuts(actions)
    else:
        getattr(actions, sheet)()
    driver.frame()
    nothing_is_cut(driver.page)
    focused = driver.page.focused
    assert focused.rect.colliderect(focused.clip), "the focus is out of sight"


def test_every_control_has_a_key_of_its_own_and_tab_comes_to_each(driver):
    wanted = [leaf.key for leaf in driver.page.all_leaves() if leaf.focusable]
    assert len(wanted) == len(set(wanted))
    driver.page.focus_on(driver.widget(wanted[-1]))
    found = []
    for _ in wanted:
        driver.key(pygame.K_TAB)
        found.append(driver.focus)
        focused = driver.page.focused
        assert focused.rect.colliderect(focused.clip), f"{focused.key} is out of sight"
    assert found == wanted
    driver.key(pygame.K_TAB)
    assert driver.focus == wanted[0]
    driver.key(pygame.K_TAB, pygame.KMOD_SHIFT)
    assert driver.focus == wanted[-1]


@pytest.mark.parametrize("size", [(1280, 820), (1400, 900), (1920, 1080)])
def test_the_picture_is_the_largest_thing_in_a_wide_window(size):
    driver = Driver("banked_fire", size)
    picture = driver.widget("picture").cells()[0][1]
    seen = [
        rect.clip(clip) for rect, clip, ground in driver.page.root.grounds() if ground == "panel"
    ]
    assert len(seen) > 3
    assert picture.width * picture.height > max(rect.width * rect.height for rect in seen)
    assert picture.width > size[0] / 2
    driver.close()


@pytest.mark.parametrize(("size", "percent"), [((560, 900), 100), ((560, 900), 200)])
def test_the_picture_comes_first_in_a_narrow_window(size, percent):
    driver = Driver("banked_fire", size, percent)
    place = driver.widget("picture").cells()[0][1]
    assert place.width > 0.8 * size[0]
    assert place.bottom < 0.6 * size[1]
    assert all(
        driver.widget(key).rect.top > place.bottom
        for key in ("travel", "lane bed", "effect.rate_hz")
    )
    driver.close()


@pytest.mark.parametrize("percent", PERCENTS)
def test_two_pictures_stand_one_below_the_other_where_it_is_narrow(percent):
    """Their captions would be cut otherwise."""
    driver = Driver("banked_fire", (560, 900), percent)
    driver.studio.use_decoder("withybank_glim")
    driver.studio.show_beside(True)
    driver.frame()
    (caption, one), (_, other) = driver.widget("picture").cells()
    assert (one.left == other.left) == (percent >= 150)
    words = driver.app.stage.frames()[0].caption.split(",")[0]
    assert driver.page.look.text_width(words) <= caption.width
    driver.close()


@pytest.mark.parametrize("percent", PERCENTS)
def test_the_words_of_a_lane_are_not_cut(percent):
    driver = Driver("banked_fire", (560, 900), percent)
    lane, look = driver.widget("lane bed"), driver.page.look
    room = lane.areas()[0].width - look.px(8)
    for forward in (True, False):
        travel = "reverse" if forward else "forward"
        state = Throttle(forward=forward, stopped=True, keys=frozenset({"F1"}))
        why = Way("F1", travel).why_dark(state.moment)
        assert "last ran" in why
        assert look.text_width(f"off: {why}", "small") <= room
    driver.close()


def test_the_text_grows_in_steps():
    driver = Driver("banked_fire")
    heights = []
    for percent in PERCENTS:
        driver.studio.text_percent = percent
        driver.frame()
        heights.append(driver.page.look.line_height())
    driver.close()
    assert heights == sorted(set(heights))
    assert heights[-1] == pytest.approx(2 * heights[0], abs=2)


def test_states_are_told_in_words():
    driver = Driver("banked_fire")
    assert driver.widget("calm").text == "Calm view on"
    assert driver.widget("key F1").text == "Key F1 on"
    driver.click("key F1")
    assert driver.widget("key F1").text == "Key F1 off"
    assert "no unsaved changes" in driver.texts()
    driver.close()
