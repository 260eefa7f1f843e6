"""Filming and still pictures from the window, while it goes on."""

from __future__ import annotations

import os
import time
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pygame
import pytest
from PIL import Image, ImageSequence
from window_driver import Driver

from fxstudio.editing import edits, jobs
from fxstudio.editing.filming import wishes
from fxstudio.effect.drive import constant_drive
from fxstudio.film import making as film
from fxstudio.film.making import FilmFile, FilmReport, FlashError
from fxstudio.film.screening import quick_verdict
from fxstudio.film.take import Shot
from fxstudio.flashes.verdict import judge as judge_shown


@pytest.fixture
def driver(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(wishes, "estimated_bytes", lambda *_: 1)  # a trial draws, too
    driver = Driver("banked_fire")
    driver.studio.seen_projector.renderer(wait=True)
    yield driver
    driver.close()


def finish(driver, seconds=60.0):
    """Let the window run until its job is done; the shares that its bar has shown."""
    shares = []
    for _ in range(int(seconds * 200)):
        if driver.studio.job is None:
            return shares
        shares.append(driver.studio.job.share)
        driver.studio.job.wait(0.005)
        driver.frame()
    raise AssertionError("the job does not end")


def start_film(driver):
    driver.click("film")
    driver.click_option("film size", "small")
    driver.click_option("film fps", "20")
    driver.click_option("film seconds", "3")


def test_film_while_the_window_goes_on(driver, tmp_path):
    start_film(driver)
    assert "photosensitive" in driver.texts()
    driver.click("film start")
    assert driver.widget("progress")
    before = driver.studio.playback.time_s
    shares = finish(driver)
    assert driver.studio.playback.time_s > before + 0.1
    assert len({share for share in shares if 0 < share < 1}) > 3
    assert shares == sorted(shares)
    assert "banked_fire.gif is written: 3 s" in driver.texts()
    with Image.open(tmp_path / "banked_fire.gif") as film:
        assert film.size == (360, 240)
        shown_ms = [frame.info["duration"] for frame in ImageSequence.Iterator(film)]
        assert sum(shown_ms) == 3000
        assert len(shown_ms) > 30
        assert film.info["loop"] == 0
    driver.click("close message")
    assert "is written" not in driver.texts()


def test_stop_a_film(driver, tmp_path):
    start_film(driver)
    driver.click("film start")
    driver.click("stop job")
    finish(driver)
    assert "stopped, nothing was written" in driver.texts()
    assert list(tmp_path.iterdir()) == []


def test_close_the_window_while_filming(driver, tmp_path):
    start_film(driver)
    driver.click("film start")
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    driver.app.run()
    assert list(tmp_path.iterdir()) == []


def test_a_film_can_be_stopped_once_all_frames_are_drawn(driver, tmp_path, monkeypatch):
    """While it is judged there is no file, not even under a passing name."""
    seen = []

    def judge(*arguments):
        seen.append(list(tmp_path.iterdir()))
        driver.studio.job.stop()
        return judge_shown(*arguments)

    monkeypatch.setattr(film, "judge", judge)
    start_film(driver)
    driver.click("film start")
    finish(driver)
    assert seen == [[]]
    assert "stopped, nothing was written" in driver.texts()
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_told_before_the_work(driver, tmp_path, monkeypatch):
    drawn = []
    monkeypatch.setattr(film.Take, "frame", lambda *_: drawn.append(1))
    start_film(driver)
    driver.tab_to("film name")
    for _ in driver.widget("film name").draft:
        driver.key(pygame.K_BACKSPACE)
    driver.type("no_such_folder/fire")
    driver.click("film start")
    finish(driver)
    assert "make the folder first" in driver.texts()
    assert drawn == []


def test_the_window_is_gone_at_once_and_the_job_waited_for(driver, monkeypatch):
    """A job that takes its time to stop must not be ended by force, nor hold the window up."""
    waits, wait = [], jobs.Job.wait

    def note(job, seconds=None):
        waits.append((seconds, pygame.display.get_init()))
        return wait(job, seconds)

    ended = []

    def slow(progress):
        try:
            while True:
                progress.step(0, 1)
                time.sleep(0.01)
        finally:
            time.sleep(0.1)
            ended.append(1)

    monkeypatch.setattr(jobs.Job, "wait", note)
    driver.studio.job = jobs.Job("Work", slow)
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    driver.app.run()
    assert waits == [(None, False)]
    assert ended == [1]


def test_a_film_that_cannot_be_written_is_told(driver, tmp_path, monkeypatch):
    start_film(driver)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    driver.click("film start")
    finish(driver)
    assert "Error: " in driver.texts()
    assert "No space left" in driver.texts()
    assert list(tmp_path.iterdir()) == []


def test_a_film_is_not_replaced_in_silence(driver, tmp_path):
    (tmp_path / "banked_fire.gif").write_bytes(b"mine")
    driver.click("film")
    assert driver.widget("film name").draft == "banked_fire_2.gif"
    for _ in "_2.gif":
        driver.tab_to("film name")
        driver.key(pygame.K_BACKSPACE)
    assert "will be replaced" in driver.texts()
    assert driver.widget("film start").text == "Film and replace"
    driver.key(pygame.K_ESCAPE)
    assert (tmp_path / "banked_fire.gif").read_bytes() == b"mine"


def test_a_file_that_came_to_be_there_meanwhile_is_not_filmed_over(driver, tmp_path):
    driver.click("film")
    (tmp_path / "banked_fire.gif").write_bytes(b"mine")
    driver.click("film start")
    assert driver.studio.job is None
    assert driver.widget("film start").text == "Film and replace"


def test_the_film_shows_what_the_decoder_does_with_the_present_keys(driver, monkeypatch):
    filmed = {}
    monkeypatch.setattr(
        jobs,
        "film",
        lambda effect, path, drive, shot, *_, **__: (
            filmed.update(effect=effect, drive=drive, shot=shot)
            or (_ for _ in ()).throw(jobs.StoppedError)
        ),
    )
    driver.studio.use_decoder("withybank_glim")
    driver.frame()
    driver.click("key F1")
    driver.click_option("travel", "reverse")
    start_film(driver)
    driver.click("film start")
    finish(driver)
    assert filmed["effect"] == driver.studio.decoder.compiled.seen
    assert filmed["drive"].length_s == 3
    trace = filmed["drive"].at([1.0])
    assert not trace.forward[0]
    assert not trace.keys[0, 1]
    assert (filmed["shot"].width, filmed["shot"].fps) == (360, 20)


def test_a_still_picture_is_the_present_view(driver, tmp_path, monkeypatch):
    monkeypatch.setattr(jobs, "STILL_SIZE", (480, 320))
    driver.let_pass(1.0)
    driver.studio.caution_read = True
    driver.studio.set_calm(False)
    driver.click("pause")
    shown = driver.app.stage.frames()[0].frame
    driver.click("still")
    finish(driver)
    with Image.open(tmp_path / "banked_fire_still.png") as image:
        assert np.array_equal(np.asarray(image.convert("RGB")), shown)
    driver.click("still")
    finish(driver)
    assert (tmp_path / "banked_fire_still_2.png").exists()


@pytest.fixture
def flashing(driver, monkeypatch):
    """A white lamp that floods the cab five times a second; its film is refused."""
    studio = driver.studio
    studio.set(("lamps", "bed", "colour"), {"hex": "#ffffff"})
    studio.set(("lamps", "bed", "place"), "door")
    flash = {"kind": "flash", "lowest": 0.0, "highest": 1.0, "period_s": 0.2}
    studio.set(("lamps", "bed", "pattern"), flash)
    verdict = quick_verdict(studio.effect, constant_drive(keys=("F1",)), Shot(fps=20))
    assert not verdict.passes
    driver.verdict = verdict
    made = []

    def quick_film(effect, path, drive, shot, progress, accept_flashes, **more):
        # What is asked about is the same, and needs no ten seconds.
        if not accept_flashes and effect.lamps["bed"].pattern.kind == "flash":
            raise FlashError.of(verdict)
        made.append((effect, accept_flashes))
        return FilmReport(FilmFile(path, 1, 1, 1, 3.0), (), verdict)

    monkeypatch.setattr(jobs, "film", quick_film)
    driver.frame()
    start_film(driver)
    driver.click("film start")
    finish(driver)
    assert "This film would flash too much" in driver.texts()
    return driver, made


def test_a_film_that_flashes_too_much_is_asked_about(flashing):
    driver, made = flashing
    driver.key(pygame.K_ESCAPE)
    assert driver.studio.job is None
    assert made == []


def test_the_question_begins_with_the_caution_and_says_how_much_is_safe(flashing):
    driver, _ = flashing
    most = max(finding.flashes for finding in driver.verdict.failures)
    caution, count, *details = driver.page.sheets[-1].text.split("\n")
    assert "photosensitive" in caution
    assert count == f"It flashes {most} times in one second; at most 3 are safe."
    assert "field of view" in details[0]


def test_the_search_for_a_calmer_version_can_be_stopped(flashing, tmp_path):
    driver, made = flashing
    driver.click("answer 1")
    driver.click("stop job")
    finish(driver, 20)
    assert "stopped, nothing was written" in driver.texts()
    assert made == []


def test_what_a_decoder_does_is_not_calmed_into_what_it_cannot_do(flashing, monkeypatch):
    driver, _ = flashing
    driver.key(pygame.K_ESCAPE)
    driver.studio.use_decoder("withybank_glim")
    monkeypatch.setattr(
        jobs, "film", lambda *_, **__: (_ for _ in ()).throw(FlashError.of(driver.verdict))
    )
    driver.frame()
    start_film(driver)
    driver.click("film start")
    finish(driver)
    assert "Film a calmer version" not in driver.texts()
    assert "fxstudio calm" in driver.texts()


def test_it_can_be_filmed_as_it_is(flashing):
    driver, made = flashing
    driver.click("answer 2")
    finish(driver)
    assert made == [(driver.studio.effect, True)]
    assert "warn viewers" in driver.studio.message.text


def test_a_calmer_version_can_be_filmed(flashing, monkeypatch):
    driver, made = flashing
    calmer = edits.set_pattern(driver.studio.effect, "bed", "steady")
    told = []

    def calm(effect, drive, shot, progress, verdict):
        told.append(verdict)
        progress.step(1, 2)
        return SimpleNamespace(effect=calmer, changes=("bed: slower",))

    monkeypatch.setattr(jobs, "calm", calm)
    driver.click("answer 1")
    finish(driver)
    assert told == [driver.verdict]  # it is not judged a second time, with the bar at rest
    assert made == [(calmer, False)]
    assert "Calmer than your effect: bed: slower" in driver.studio.message.text
    assert driver.studio.effect != calmer


def test_a_fault_in_a_job_is_told(driver):
    def fail(progress):
        raise ZeroDivisionError("a fault")

    driver.studio.job = jobs.Job("Work", fail)
    finish(driver)
    assert "a fault in fxstudio" in driver.texts()


def test_a_film_says_what_is_not_known_of_the_decoder(driver, tmp_path):
    leaflets = Path(__file__).parents[1] / "decoder" / "leaflet" / "files"
    driver.studio.use_decoder(str(leaflets / "marsh_hollow.toml"))
    driver.frame()
    start_film(driver)
    driver.click("film start")
    finish(driver)
    told = "Note: flames: how fast: not known, drawn at 4 a second"
    assert told in driver.texts()
    with Image.open(next(tmp_path.glob("*.gif"))) as gif:
        assert told in gif.info["comment"].decode()


@pytest.mark.parametrize(
    ("size", "digits", "text"),
    [
        (752_314, 2, "750 kB"),
        (998_000, 2, "1 MB"),
        (2_346_000, 3, "2.35 MB"),
        (12_346_000, 2, "12 MB"),
        (123_456_000, 2, "120 MB"),
        (1_234, 3, "1.23 kB"),
    ],
)
def test_a_size_is_told_in_round_numbers(size, digits, text):
    assert jobs.in_bytes(size, digits) == text
