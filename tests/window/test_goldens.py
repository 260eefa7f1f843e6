"""Screenshots of the window beside the ones a person has looked at.

They are kept at half their size and compared with a tolerance, as letters are drawn a little
differently by each version of the font library. The scene's picture is left out: a grey wedge
stands in its place. With NEW_GOLDENS=1 in the environment they are written anew: look at them.
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

REVERSE = FIRE.replace('"F2"', '"F2"\ntravel = "reverse"').replace(
    "rate_hz", 'note = "A steady bed, and flames that show in reverse only."\nrate_hz'
)

SHOTS = {
    "wide_100": ((1280, 820), 100),
    "wide_200": ((1280, 820), 200),
    "narrow_100": ((620, 900), 100),
    "narrow_200": ((620, 900), 200),
    "all_panels": ((620, 2560), 100),
    "question": ((900, 640), 125),
}


@pytest.fixture
def shoot(tmp_path, monkeypatch):
    """Makes a screenshot [h, w, 3] at half its size."""
    path = write_fire(tmp_path, REVERSE)
    wedge = np.repeat(np.tile(np.linspace(0, 120, 480), (320, 1))[..., None], 3, axis=2)
    wedge = wedge.astype(np.uint8)
    drivers = []

    def shot(name):
        size, percent = SHOTS[name]
        driver = Driver(path, size, percent)
        drivers.append(driver)
        for projector in (driver.studio.seen_projector, driver.studio.wish_projector):
            monkeypatch.setattr(projector, "frame", lambda *_: wedge)
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
        pixels = pygame.surfarray.array3d(driver.app.surface).swapaxes(0, 1)
        return np.asarray(
            Image.fromarray(pixels).resize((size[0] // 2, size[1] // 2), Image.Resampling.BOX)
        )

    yield shot
    for driver in drivers:
        driver.close()


@pytest.mark.parametrize("name", SHOTS)
def test_the_window_looks_as_it_was_approved(name, shoot):
    shown = shoot(name)
    golden = GOLDENS / f"{name}.png"
    if os.environ.get("NEW_GOLDENS"):
        Image.fromarray(shown).save(golden, optimize=True)
    with Image.open(golden) as image:
        approved = np.asarray(image.convert("RGB"))
    assert approved.shape == shown.shape
    off = np.abs(approved.astype(int) - shown)
    assert off.mean() < MEAN_OFF
    assert (off.max(axis=2) > CLEARLY).mean() < SHARE_OFF


def test_a_changed_look_would_be_noticed(shoot):
    """The tolerance is small enough to see one control missing."""
    shown = shoot("wide_100").astype(int)
    with Image.open(GOLDENS / "wide_100.png") as image:
        approved = np.asarray(image.convert("RGB")).astype(int)
    changed = shown.copy()
    changed[40:240, 480:620] = changed[0, 0]  # the panel of the effect
    off = np.abs(approved - changed)
    assert off.mean() > MEAN_OFF or (off.max(axis=2) > CLEARLY).mean() > SHARE_OFF
