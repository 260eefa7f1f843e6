"""Nothing that is typed, and no fault, ends the window with the edits lost."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np
import pygame
import pytest
from window_driver import FIRE, Driver, write_fire

from fxstudio.editing.decoder import decoder_titles
from fxstudio.editing.paths import there, typed_path
from fxstudio.effect.files import read_effect
from fxstudio.window import app
from fxstudio.window.toolkit import clipboard

TYPED = ["/", "~", "~nobody_of_this_name", "x" * 300, "é" * 190, ".", "..", "//", "nul/x"]


@pytest.fixture
def driver(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    driver = Driver(write_fire(tmp_path))
    yield driver
    driver.close()


@pytest.fixture(scope="module")
def window(tmp_path_factory):
    """One window for tests that leave the effect as it is."""
    driver = Driver(write_fire(tmp_path_factory.mktemp("shared")))
    yield driver
    driver.close()


@pytest.fixture
def shared(window):
    yield window
    window.back()


@pytest.mark.parametrize(
    ("opens", "entry", "button"),
    [
        ("save as", "file name", "file take"),
        ("open", "file name", "file take"),
        ("film", "film name", "film start"),
    ],
)
@pytest.mark.parametrize("text", TYPED)
def test_whatever_is_typed_as_a_name_the_window_goes_on(shared, opens, entry, button, text):
    shared.click(opens)
    shared.page.focus_on(shared.widget(entry))
    shared.type_over(text)
    assert shared.widget(entry).draft in (text, text[:200])
    assert shared.widget(button).usable == (shared.page.sheets[-1].path is not None)


@pytest.mark.parametrize("text", ["/", "~nobody_of_this_name", "", "  "])
def test_no_name_is_no_path(text, tmp_path):
    assert typed_path(tmp_path, text, ".toml") is None


def test_a_name_gets_its_ending_once(tmp_path):
    assert typed_path(tmp_path, " fire ", ".toml") == tmp_path / "fire.toml"
    assert typed_path(tmp_path, "fire.GIF", ".gif") == tmp_path / "fire.GIF"


def test_what_cannot_be_looked_at_is_not_there(tmp_path):
    def forbidden(path):
        raise PermissionError

    assert not there(tmp_path / ("x" * 300), Path.exists)
    assert not there(tmp_path, forbidden)
    assert there(tmp_path, Path.is_dir)


def test_a_folder_that_may_not_be_looked_into_can_be_typed(driver, monkeypatch):
    def forbidden(self):
        if self.name == "kept":
            raise PermissionError(13, "Permission denied")
        return os.path.isfile(self)

    monkeypatch.setattr(Path, "is_file", forbidden)
    driver.click("open")
    driver.tab_to("file name")
    driver.type("kept")
    assert driver.widget("file take").usable


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other disks refuse such names")
def test_a_file_name_that_is_no_text_is_drawn(driver, tmp_path):
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.toml")).write_text(FIRE)
    driver.click("open")
    files = driver.widget("files")
    assert "\udcff.toml" in files.rows.values()
    driver.frame()
    assert drawn(driver, files.rect) > 2


def test_a_title_and_a_name_with_a_nul_are_drawn(tmp_path):
    text = FIRE.replace("Heron's fire\"", 'Heron\\u0000s"', 1).replace("bed]", '"b\\u0000d"]')
    text = text.replace("output = 3", 'output = 3\nplace = "bed"')
    driver = Driver(write_fire(tmp_path, text))
    assert "\0" in driver.studio.effect.title
    driver.let_pass(0.1)
    assert drawn(driver, driver.widget("lamp name").rect) > 2
    driver.close()


def fail_at_the_next_step(driver, monkeypatch):
    def fail(*_):
        raise ZeroDivisionError("a fault")

    monkeypatch.setattr(driver.app, "step", fail)


def test_a_fault_leaves_the_unsaved_changes_in_a_file(driver, tmp_path, monkeypatch):
    driver.studio.set(("lamps", "bed", "pattern", "level"), 0.7)
    wanted = driver.studio.effect
    fail_at_the_next_step(driver, monkeypatch)
    with pytest.raises(app.RescuedError, match=r"a fault.*heron\.rescued\.toml") as caught:
        driver.app.run()
    assert isinstance(caught.value.__cause__, ZeroDivisionError)
    assert read_effect(tmp_path / "heron.rescued.toml") == wanted
    assert "# green wire" in (tmp_path / "heron.rescued.toml").read_text()
    assert (tmp_path / "heron.toml").read_text() == FIRE


def test_an_earlier_rescue_is_not_replaced(driver, tmp_path):
    driver.studio.set(("lamps", "bed", "pattern", "level"), 0.7)
    first, second = (driver.studio.document.rescue(tmp_path) for _ in range(2))
    assert first != second


def test_changes_are_rescued_elsewhere_if_the_folder_is_gone(driver, tmp_path, monkeypatch):
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    driver.studio.set(("lamps", "bed", "pattern", "level"), 0.7)
    assert driver.studio.document.rescue(tmp_path / "gone").parent == home


def test_a_fault_without_unsaved_changes_is_told_as_it_is(driver, tmp_path, monkeypatch):
    fail_at_the_next_step(driver, monkeypatch)
    with pytest.raises(ZeroDivisionError):
        driver.app.run()
    assert [path.name for path in tmp_path.iterdir()] == ["heron.toml"]


def test_an_error_of_saving_stands_in_the_sheet(driver):
    driver.click("save as")
    driver.tab_to("file name")
    driver.type("x/fire")
    driver.click("file take")
    assert "make the folder first" in driver.page.sheets[-1].problem
    assert "make the folder first" in driver.texts()
    assert driver.studio.message.text == ""
    driver.tab_to("file name")
    driver.type("y")
    assert "make the folder first" not in driver.texts()


def test_an_error_of_opening_stands_in_the_sheet(driver, tmp_path):
    (tmp_path / "bad.toml").write_text("title = ")
    driver.click("open")
    driver.tab_to("file name")
    driver.type("bad.toml")
    driver.click("file take")
    assert "is not valid TOML" in driver.page.sheets[-1].problem


def drawn(driver, rect):
    """How many colours are seen in a part of the window."""
    pixels = pygame.surfarray.array2d(driver.app.surface.subsurface(rect))
    return len(np.unique(pixels))


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("size", [(50, 400), (400, 50), (20, 20), (1, 1)])
def test_the_smallest_windows_are_drawn(driver, size, percent):
    """However small, it has been laid out for its own size and something is seen in it."""
    driver.studio.text_percent = percent
    pygame.display.set_mode(size, pygame.RESIZABLE)
    driver.studio.use_decoder("withybank_glim")
    for beside in (False, True):
        driver.studio.show_beside(beside)
        driver.let_pass(0.1)
    driver.app.actions.save_as()
    driver.let_pass(0.1)
    assert driver.page.size == size
    assert drawn(driver, driver.app.surface.get_rect()) > (1 if min(size) > 1 else 0)


def test_arrows_through_the_decoders_open_no_sheet(driver):
    driver.tab_to("decoder")
    for _ in range(len(decoder_titles()) + 3):
        driver.key(pygame.K_DOWN)
    assert not driver.page.sheets
    assert driver.studio.decoder.name == list(decoder_titles())[-1]
    driver.key(pygame.K_RETURN)
    driver.key(pygame.K_END)
    driver.key(pygame.K_RETURN)
    assert "Open a decoder description" in driver.texts()


def test_a_pygame_without_a_clipboard_copies_and_pastes_nothing(monkeypatch):
    class Missing:
        def __getattr__(self, name):
            raise NotImplementedError("scrap module not available")

    monkeypatch.setattr(pygame, "scrap", Missing())
    assert clipboard.copy("CV143 = 152") is False
    assert clipboard.paste() == ""
