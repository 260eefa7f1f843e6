"""The window shows what the film shows, and the truth where it must."""

from __future__ import annotations

import threading

import numpy as np
import pygame
import pytest
from window_driver import Driver

from fxstudio.editing import edits, projector
from fxstudio.film.take import Shot, Take, renderer_for
from fxstudio.film.timing import frame_times_s
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.views import Picture


@pytest.fixture
def driver():
    driver = Driver("chimney_first")
    driver.studio.seen_projector.renderer(wait=True)
    yield driver
    driver.close()


def filmed(effect, drive, numbers):
    """Frames of a film before its colours are reduced, and their times."""
    take = Take(effect, drive, Shot())
    times = frame_times_s(take.delays_cs)
    return [(times[number], take.frame(number)) for number in numbers]


def show_truth(driver):
    driver.studio.caution_read = True
    driver.studio.set_calm(False)


def at(driver, time_s):
    """The picture's frame at a time."""
    driver.studio.playback.time_s = time_s
    driver.studio.load()
    return driver.app.stage.frames()[0].frame


def test_a_frame_in_the_window_is_the_filmed_frame(driver):
    """Same time, same seed: the same pixels, as an array and on the surface."""
    show_truth(driver)
    studio = driver.studio
    for time_s, frame in filmed(studio.effect, studio.effect.drive, (0, 37, 120, 224)):
        assert np.array_equal(at(driver, time_s), frame)
        picture = Picture(Theme(), driver.app.stage.frames, 1, 10**6)
        surface = pygame.Surface((480, 320 + picture.caption_height))
        picture.lay_out(surface.get_rect(), surface.get_rect())
        picture.draw(surface, False)
        place = picture.cells()[0][1]
        assert place.size == (480, 320)
        drawn = pygame.surfarray.array3d(surface.subsurface(place)).swapaxes(0, 1)
        assert np.array_equal(drawn, frame)


def test_the_same_with_a_decoder(driver):
    show_truth(driver)
    studio = driver.studio
    studio.use_decoder("withybank_glim")
    studio.seen_projector.renderer(wait=True)
    ((time_s, frame),) = filmed(studio.decoder.compiled.seen, studio.effect.drive, (50,))
    assert np.array_equal(at(driver, time_s), frame)


def test_the_calm_view_changes_the_picture_but_not_the_lanes(driver):
    traces = {}
    frames = {}
    for calm in (False, True):
        driver.studio.caution_read = True
        driver.studio.set_calm(calm)
        driver.studio.playback.play_own(driver.studio.effect.drive)
        driver.let_pass(1.7)
        traces[calm] = driver.light("flames").copy()
        frames[calm] = driver.app.stage.frames()[0].frame
    assert np.array_equal(traces[False], traces[True])
    assert not np.array_equal(frames[False], frames[True])


def test_the_caption_says_what_is_shown(driver):
    def captions():
        driver.frame()
        return [shown.caption for shown in driver.app.stage.frames()]

    assert captions() == ["What you wish, calm view"]
    show_truth(driver)
    assert captions() == ["What you wish"]
    driver.studio.use_decoder("withybank_glim")
    driver.studio.show_beside(True)
    found = len(driver.studio.decoder.compiled.compromises)
    assert found > 1
    assert captions() == [f"What the decoder will do, {found} compromises", "What you wish"]


def test_a_lane_shows_the_simulated_brightness(driver):
    driver.let_pass(2.0)
    trace = driver.app.stage.traces.of("flames")
    expected = driver.studio.seen_projector.at([driver.studio.playback.time_s]).light[0, 1]
    assert trace.light[-1] == expected
    driver.let_pass(3.0)  # the drive reverses at 5 s: flames are forward only
    trace = driver.app.stage.traces.of("flames")
    assert not trace.lit[-1]
    assert trace.lit[0]


def test_a_smaller_and_a_larger_window_show_the_same_picture(driver):
    show_truth(driver)
    means = []
    for size in ((1300, 900), (1700, 1200)):
        pygame.display.set_mode(size, pygame.RESIZABLE)
        driver.frame(0)
        driver.studio.pause(True)
        driver.frame(0)
        picture = driver.widget("picture").cells()[0][1]
        surface = driver.app.surface.subsurface(picture)
        means.append(pygame.surfarray.array3d(surface).mean(axis=(0, 1)))
    assert means[0] == pytest.approx(means[1], abs=1.0)


def test_a_new_scene_is_drawn_beside_the_running_window(driver, monkeypatch):
    """The window goes on while a scene is drawn, and shows it then."""
    gate, draw_scene = threading.Event(), projector.draw_scene

    def slow(*arguments):
        gate.wait(20)
        return draw_scene(*arguments)

    monkeypatch.setattr(projector, "draw_scene", slow)
    show_truth(driver)
    driver.click("pause")
    studio = driver.studio
    studio.edit(edits.set_scene, "front")
    driver.frame()
    assert driver.app.stage.frames()[0].frame is None
    gate.set()
    studio.seen_projector.renderer(wait=True)
    driver.frame()
    light = studio.seen_projector.at([studio.playback.time_s]).light[0]
    expected = renderer_for(studio.effect, 480, 320).frame(light)
    assert np.array_equal(driver.app.stage.frames()[0].frame, expected)
