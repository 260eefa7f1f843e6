"""The sheet for a film offers what the command can, says how large it will be, and opens it."""

from __future__ import annotations

import sys

import pygame
import pytest
from PIL import Image
from window_driver import Driver

from fxstudio.editing.filming import wishes
from fxstudio.editing.jobs import Job
from fxstudio.film import formats
from fxstudio.film.captions.caption import Caption
from fxstudio.film.choices import table
from fxstudio.film.choices.table import FILM_CHOICES, switch
from fxstudio.film.formats import FORMATS
from fxstudio.film.quality import BEST, DRAFT
from fxstudio.window.sheets import film as sheet_module


@pytest.fixture
def driver(tmp_path, monkeypatch):
    """A window in an empty folder, whose trials are done at once."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(wishes, "estimated_bytes", lambda *_: 1_234_000)
    driver = Driver("banked_fire")
    driver.studio.seen_projector.renderer(wait=True)
    driver.click("film")
    yield driver
    driver.studio.try_size(None)
    driver.close()


@pytest.fixture
def wanted(driver, monkeypatch):
    """Presses Film; the film that would be made."""

    def press():
        found = []
        monkeypatch.setattr(driver.page.sheets[-1], "film", found.append)
        driver.click("film start")
        driver.click("film")
        return found[0]

    return press


def choose(driver, name, word):
    driver.click_option(f"film {name}", word)


def finish(driver):
    for _ in range(2000):
        if driver.studio.job is None:
            return
        driver.studio.job.wait(0.02)
        driver.frame()
    raise AssertionError("the job does not end")


def told(driver):
    """The page once the trial is done."""
    driver.studio.trial.wait(20)
    driver.frame()
    return driver.texts()


@pytest.mark.parametrize(
    ("name", "word", "what"),
    [
        ("format", ".webp", lambda film: film.path.name == "banked_fire.webp"),
        ("format", "/", lambda film: film.pictures and film.path.name == "banked_fire_pictures"),
        ("size", "square", lambda film: (film.shot.width, film.shot.height) == (480, 480)),
        ("quality", "draft", lambda film: film.shot.quality == DRAFT),
        ("tour", "on", lambda film: film.caption and film.caption.words[0] == (0, "all off")),
        ("seconds", "12", lambda film: film.drive.length_s == 12),
        ("caption", "plain", lambda film: film.caption == Caption()),
        ("fps", "50", lambda film: film.shot.fps == 50),
        ("max_size", "2MB", lambda film: (film.most_bytes, film.shot.quality) == (2_000_000, BEST)),
        (
            "poster",
            ".jpg",
            lambda film: film.poster and film.poster.name == "banked_fire_poster.jpg",
        ),
    ],
)
def test_what_is_chosen_is_filmed(driver, wanted, name, word, what):
    assert not what(wanted())
    choose(driver, name, word)
    assert what(wanted())


def test_all_choices_of_the_table_are_offered(driver):
    for name, row in FILM_CHOICES.items():
        words = set(driver.widget(f"film {name}").options)
        assert set(row.words) - words <= {end for end, kind in FORMATS.items() if not kind.usable}


def test_a_new_row_of_the_table_is_all_that_a_new_choice_needs(driver, wanted, monkeypatch):
    row = switch("Shadows of the lamps.", label="shadows", given="shadows")
    for module in (table, wishes, sheet_module):
        monkeypatch.setattr(module, "FILM_CHOICES", {**FILM_CHOICES, "shadows": row})
    assert wanted().more["shadows"] is False
    choose(driver, "shadows", "on")
    assert "Shadows" in driver.texts()
    assert wanted().more["shadows"] is True


@pytest.mark.parametrize(
    ("name", "good", "value", "bad", "allowed"),
    [
        ("size", "800x200", lambda film: film.shot.width == 800, "8x8", "64 to 1920"),
        ("seconds", "7.5", lambda film: film.drive.length_s == 7.5, "soon", "like 2.5"),
        ("fps", "12", lambda film: film.shot.fps == 12, "51", "at most 50"),
        ("max_size", "700 kB", lambda film: film.most_bytes == 700_000, "much", "kB or MB"),
    ],
)
def test_something_else_can_be_typed(driver, wanted, name, good, value, bad, allowed):
    choose(driver, name, sheet_module.OWN)
    driver.tab_to(f"film {name} typed")
    driver.type_over(bad)
    assert allowed in driver.texts()
    assert "--" not in driver.texts()
    assert not driver.widget("film start").usable
    driver.type_over(good)
    assert allowed not in driver.texts()
    assert value(wanted())


def test_the_name_and_the_format_go_together(driver, wanted):
    driver.tab_to("film name")
    driver.type_over("night.avif")
    assert driver.widget("film format").chosen == ".avif"
    choose(driver, "format", ".png")
    assert driver.widget("film name").draft == "night.png"
    choose(driver, "format", "/")
    assert driver.widget("film name").draft == "night"
    driver.tab_to("film name")
    driver.type_over("on/v1.2")
    assert wanted().path.name == "v1.2"
    choose(driver, "format", ".gif")
    driver.tab_to("film name")
    driver.type_over("v1.2")
    assert wanted().path.name == "v1.2.gif"


def test_the_choices_hold_for_the_next_film_but_not_its_name(driver):
    choose(driver, "quality", "best")
    driver.tab_to("film name")
    driver.type_over("mine.webp")
    driver.key(pygame.K_ESCAPE)
    driver.key(pygame.K_ESCAPE)
    assert not driver.page.sheets
    driver.click("film")
    assert driver.widget("film quality").chosen == "best"
    assert driver.widget("film name").draft == "banked_fire.webp"


def test_what_another_choice_settles_is_not_asked(driver):
    choose(driver, "tour", "on")
    choose(driver, "format", "/")
    keys = {leaf.key for leaf in driver.page.all_leaves()}
    assert not {"film seconds", "film quality", "film max_size"} & keys
    assert driver.widget("film caption").chosen == "full"


def test_video_that_cannot_be_packed_is_told(driver, monkeypatch):
    monkeypatch.setattr(formats, "find_spec", lambda _: None)
    driver.page.rebuild(driver.page.size)
    assert ".mp4" not in driver.widget("film format").options
    assert "fxstudio[video]" in driver.texts()
    monkeypatch.setattr(formats, "find_spec", lambda name: name)
    driver.page.rebuild(driver.page.size)
    assert ".mp4" in driver.widget("film format").options
    assert "fxstudio[video]" not in driver.texts()


def test_video_that_cannot_be_packed_cannot_be_typed_either(driver, monkeypatch):
    monkeypatch.setattr(formats, "find_spec", lambda _: None)
    driver.tab_to("film name")
    driver.type_over("fire.mp4")
    assert not driver.widget("film start").usable


def test_a_folder_that_holds_something_is_not_filmed_into(driver, tmp_path):
    choose(driver, "format", "/")
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "0001.png").write_bytes(b"mine")
    driver.tab_to("film name")
    driver.type_over("mine")
    assert sheet_module.NOT_EMPTY in driver.texts()
    assert not driver.widget("film start").usable


def test_a_poster_is_not_replaced_in_silence(driver, tmp_path):
    (tmp_path / "banked_fire_poster.png").write_bytes(b"mine")
    choose(driver, "poster", ".png")
    assert "banked_fire_poster.png is there already" in driver.texts()
    assert driver.widget("film start").text == "Film and replace"


# How large it will be


def test_it_says_about_how_large_the_film_will_be(driver):
    assert "about 1.2 MB" in told(driver)
    choose(driver, "max_size", "1MB")
    assert "at most 1 MB" in told(driver)


def test_a_trial_is_made_for_each_film_once_and_ends_with_the_sheet(driver, monkeypatch):
    tried = []

    def waiting(wanted):
        def work(progress):
            while True:
                progress.step(0, 1)

        tried.append(Job("Trying", work))
        return tried[-1]

    monkeypatch.setattr("fxstudio.editing.studio.size_trial", waiting)
    choose(driver, "fps", "50")
    assert sheet_module.TRYING in driver.texts()
    driver.tab_to("film name")
    driver.type_over("other.gif")  # as large as before
    choose(driver, "fps", "20")
    assert len(tried) == 2
    assert tried[0].wait(5)
    driver.key(pygame.K_ESCAPE)
    assert tried[1].wait(5)
    assert driver.studio.trial is None


def test_the_page_shows_it_as_soon_as_it_is_known(driver):
    """Though the time stands still."""
    driver.studio.pause(True)
    driver.studio.trial.wait(20)
    driver.frame()
    assert "about 1.2 MB" in driver.texts()


def test_why_it_cannot_be_filmed_is_told_before(driver):
    for name, typed in (("size", "1920x1920"), ("seconds", "60")):
        choose(driver, name, sheet_module.OWN)
        driver.tab_to(f"film {name} typed")
        driver.type_over(typed)
    assert "the film is too large" in told(driver)


# Once it is there


def test_a_film_with_all_that_goes_with_it(driver, tmp_path, monkeypatch):
    for name, word in (("format", ".webp"), ("size", "small"), ("seconds", "3"), ("poster", ".jpg"),
                       ("caption", "full")):  # fmt: skip
        choose(driver, name, word)
    driver.click("film start")
    assert driver.widget("progress")
    finish(driver)
    texts = driver.texts()
    size = (tmp_path / "banked_fire.webp").stat().st_size
    assert f"banked_fire.webp is written: 3 s, {size / 1e3:.3g} kB" in texts
    assert "Flashes: it passes WCAG 2.3.1" in texts
    assert "banked_fire_poster.jpg" in texts
    with Image.open(tmp_path / "banked_fire_poster.jpg") as picture:
        assert picture.size == (360, 240)
    asked = []
    monkeypatch.setattr("fxstudio.editing.studio.OpenedFolder", lambda folder: asked.append(folder))
    driver.click("open folder")
    assert asked == [tmp_path]


def test_a_folder_of_pictures_is_opened_itself(driver, tmp_path):
    choose(driver, "format", "/")
    choose(driver, "size", "small")
    choose(driver, "fps", sheet_module.OWN)
    driver.tab_to("film fps typed")
    driver.type_over("2")
    driver.click("film start")
    finish(driver)
    assert "is written: 12 pictures, 6 s" in driver.texts()
    assert driver.studio.message.folder == tmp_path / "banked_fire_pictures"
    assert len(list(driver.studio.message.folder.iterdir())) == 12


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has a call for it")
def test_a_system_that_opens_no_folder_is_told(driver, tmp_path, monkeypatch):
    driver.back()
    monkeypatch.setenv("PATH", str(tmp_path))
    driver.studio.say("It is written.", stays=True, folder=tmp_path)
    driver.frame()
    driver.click("open folder")
    assert "the folder cannot be opened from here" in driver.texts()
    assert f"go to {tmp_path}" in driver.texts()


def test_a_stopped_film_has_no_folder_to_open(driver):
    driver.click("film start")
    driver.click("stop job")
    finish(driver)
    assert "nothing was written" in driver.texts()
    assert "Open the folder" not in driver.texts()


def test_all_of_it_with_the_keyboard_alone(driver, wanted):
    driver.tab_to("film format")
    driver.key(pygame.K_RIGHT)
    driver.tab_to("film size")
    for _ in range(9):
        driver.key(pygame.K_RIGHT)
    driver.tab_to("film size typed")
    driver.type_over("300x200")
    driver.tab_to("film tour")
    driver.key(pygame.K_RIGHT)
    film = wanted()
    assert film.path.suffix == ".webp"
    assert (film.shot.width, film.caption.title) == (300, driver.studio.effect.title)
