"""Screenshots of the window beside the ones a person has looked at.

They are kept at half their size and compared with a tolerance, as letters are drawn a little
differently by each version of the font library: on the whole, and tile by tile, so that no control
can be missing. With NEW_GOLDENS=1 in the environment they are written anew: look at them.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pygame
import pytest
from PIL import Image
from window_driver import FIRE, Driver, write_fire

GOLDENS = Path(__file__).parents[1] / "goldens" / "window"

MEAN_OFF, SHARE_OFF = 1.5, 0.02
"""Mean difference of a channel out of 255, and share of pixels that differ clearly."""

CLEARLY = 48

TILE, TILE_OFF = 8, 30
"""Side of a tile in pixels of the golden picture, and most that one may be off on average."""

REVERSE = FIRE.replace('"F2"', '"F2"\ntravel = "reverse"').replace(
    "rate_hz", 'note = "A steady bed, and flames that show in reverse only."\nrate_hz'
)

SHOTS = {
    "wide_100": ((1280, 820), 100),
    "wide_200": ((1280, 820), 200),
    "narrow_100": ((620, 900), 100),
    "narrow_200": ((620, 900), 200),
    "all_panels": ((620, 2640), 100),
    "question": ((900, 640), 125),
}


@pytest.fixture
def shoot(tmp_path, monkeypatch):
    """Makes a screenshot [h, w, 3] at half its size."""
    path = write_fire(tmp_path, REVERSE)
    monkeypatch.chdir(tmp_path)
    drivers = []

    def shot(name):
        size, percent = SHOTS[name]
        driver = Driver(path, size, percent)
        drivers.append(driver)
        for projector in (driver.studio.seen_projector, driver.studio.wish_projector):
            projector.renderer(wait=True)
        if name == "all_panels":
            driver.studio.use_decoder("withybank_glim")
            driver.studio.show_beside(True)
            driver.studio.select("flames")
        driver.let_pass(6.0)
        driver.click_option("travel", "reverse")
        driver.let_pass(2.5)
        if name == "question":
            driver.click("calm")
        driver.key(pygame.K_TAB)
        driver.studio.say("")
        driver.page.hovered = None
        driver.frame()
        driver.page.stale = True
        driver.frame(0)
        return driver, halved(driver.app.surface)

    yield shot
    for driver in drivers:
        driver.close()


def halved(surface):
    """A surface as an array [h, w, 3] at half its size."""
    pixels = pygame.surfarray.array3d(surface).swapaxes(0, 1)
    size = surface.get_width() // 2, surface.get_height() // 2
    return np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BOX))


def approved(name):
    with Image.open(GOLDENS / f"{name}.png") as image:
        return np.asarray(image.convert("RGB"))


def worst_tile(off):
    """The largest mean difference of a tile; the last ones may lie over others."""
    high, wide = (np.append(np.arange(0, n - TILE, TILE), n - TILE) for n in off.shape[:2])
    sums = np.pad(off.mean(axis=2).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
    rows, columns = np.ix_(high, wide)
    tiles = sums[rows + TILE, columns + TILE] - sums[rows, columns + TILE]
    return (tiles - sums[rows + TILE, columns] + sums[rows, columns]).max() / TILE**2


def is_as_approved(shown, golden):
    off = np.abs(golden.astype(int) - shown)
    return (
        off.mean() < MEAN_OFF
        and (off.max(axis=2) > CLEARLY).mean() < SHARE_OFF
        and worst_tile(off) < TILE_OFF
    )


@pytest.mark.parametrize("name", SHOTS)
def test_the_window_looks_as_it_was_approved(name, shoot):
    _, shown = shoot(name)
    if os.environ.get("NEW_GOLDENS"):
        Image.fromarray(shown).save(GOLDENS / f"{name}.png", optimize=True)
    golden = approved(name)
    assert golden.shape == shown.shape
    assert is_as_approved(shown, golden)


def test_no_control_could_be_missing_unnoticed(shoot):
    """Each control in turn is painted over with what is beside it."""
    driver, shown = shoot("all_panels")
    golden = approved("all_panels")
    controls = [leaf for leaf in driver.page.all_leaves() if leaf.focusable]
    assert len(controls) > 40
    for leaf in controls:
        left, top, width, height = (side // 2 for side in leaf.rect)
        seen = np.s_[top : top + height, left : left + width]
        off = np.abs(golden[seen].astype(int) - shown[top, left - 2])
        assert worst_tile(off) > TILE_OFF, leaf.key
