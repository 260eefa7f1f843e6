"""A line of text: selecting with keys and mouse, and Enter in the sheets that ask for a name."""

from __future__ import annotations

import pygame
import pytest
from window_driver import Driver, write_fire

from fxstudio.window.toolkit.controls import entry as entries
from fxstudio.window.toolkit.controls.entry import Entry

SHIFT = pygame.KMOD_SHIFT
CTRL = pygame.KMOD_CTRL


@pytest.fixture
def opened(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    driver = Driver(write_fire(tmp_path))
    yield driver
    driver.close()


@pytest.fixture
def line(opened):
    """The line of the title, `Heron's fire`, and its cursor at the end."""
    opened.tab_to("effect.title")
    return opened


def draft(driver) -> str:
    return driver.widget("effect.title").draft


@pytest.mark.parametrize(
    ("keys", "typed", "after"),
    [
        ([(pygame.K_a, CTRL)], "Coal", "Coal"),
        ([(pygame.K_LEFT, SHIFT)] * 4, "ember", "Heron's ember"),
        ([(pygame.K_HOME, SHIFT)], "x", "x"),
        ([(pygame.K_HOME, 0), (pygame.K_END, SHIFT), (pygame.K_DELETE, 0)], "", ""),
        ([(pygame.K_HOME, 0), (pygame.K_RIGHT, SHIFT), (pygame.K_BACKSPACE, 0)], "", "eron's fire"),
        ([(pygame.K_LEFT, SHIFT | CTRL)], "coal", "Heron's coal"),
        ([(pygame.K_a, CTRL), (pygame.K_LEFT, 0)], "x", "xHeron's fire"),
        ([(pygame.K_a, CTRL), (pygame.K_RIGHT, 0)], "x", "Heron's firex"),
    ],
)
def test_what_is_typed_takes_the_place_of_what_is_selected(line, keys, typed, after):
    for key, mod in keys:
        line.key(key, mod)
    line.type(typed)
    assert draft(line) == after


def letter(driver, number: int) -> tuple[int, int]:
    """Where the letter of this number begins in the title."""
    widget = driver.widget("effect.title")
    before = driver.page.look.text_width(widget.draft[:number])
    return widget.rect.left + driver.page.look.px(8) + before + 1, widget.rect.centery


@pytest.mark.parametrize(
    ("clicks", "at", "after"), [(2, 1, "x's fire"), (2, 9, "Heron's x"), (3, 2, "x")]
)
def test_clicks_select_a_word_and_then_all(opened, clicks, at, after):
    for _ in range(clicks):
        opened.click_at(letter(opened, at))
    opened.type("x")
    assert draft(opened) == after


def test_slow_clicks_select_nothing(opened, monkeypatch):
    monkeypatch.setattr(entries, "SECOND_CLICK_MS", 0)
    opened.click_at(letter(opened, 0))
    opened.click_at(letter(opened, 0))
    opened.type("x")
    assert draft(opened) == "xHeron's fire"


def test_dragging_selects(opened):
    opened.mouse(pygame.MOUSEBUTTONDOWN, letter(opened, 0), button=1)
    opened.mouse(pygame.MOUSEMOTION, letter(opened, 5), rel=(9, 0), buttons=(1, 0, 0))
    opened.mouse(pygame.MOUSEBUTTONUP, letter(opened, 5), button=1)
    opened.type("Owl")
    assert draft(opened) == "Owl's fire"


def test_cut_and_paste(line, monkeypatch):
    held = []
    monkeypatch.setattr(entries, "copy", lambda text: held.append(text) or True)
    monkeypatch.setattr(entries, "paste", lambda: held[-1])
    line.key(pygame.K_LEFT, SHIFT | CTRL)
    line.key(pygame.K_x, CTRL)
    assert (draft(line), held) == ("Heron's ", ["fire"])
    line.key(pygame.K_a, CTRL)
    line.key(pygame.K_v, CTRL)
    assert draft(line) == "fire"


def test_no_more_than_the_longest_is_taken_for_what_is_selected(opened):
    short = Entry(opened.page.look, "short", "12345", lambda text: None, longest=5)
    for event in (
        pygame.event.Event(pygame.KEYDOWN, key=pygame.K_a, mod=CTRL),
        pygame.event.Event(pygame.TEXTINPUT, text="abcdefg"),
        pygame.event.Event(pygame.TEXTINPUT, text="h"),
    ):
        short.handle(event)
    assert short.draft == "abcde"


def test_enter_in_the_name_of_save_as_saves(opened, tmp_path):
    opened.key(pygame.K_s, CTRL | SHIFT)
    assert opened.focus == "file name"
    opened.key(pygame.K_a, CTRL)
    opened.type("owl.toml")
    opened.key(pygame.K_RETURN)
    assert not opened.page.sheets
    assert (tmp_path / "owl.toml").is_file()
    assert opened.studio.document.name == "owl.toml"


def test_a_name_can_be_changed_in_its_middle(opened):
    """The sheet is built anew after each letter; the cursor stays."""
    opened.key(pygame.K_s, CTRL | SHIFT)
    opened.key(pygame.K_HOME)
    opened.type("old_")
    assert opened.widget("file name").draft == "old_heron.toml"


def test_enter_in_the_name_of_a_film_films(opened):
    opened.click("film")
    opened.tab_to("film name")
    opened.key(pygame.K_RETURN)
    assert not opened.page.sheets
    assert opened.studio.job is not None
