"""What lies below a question is dimmed once, however long the question stays."""

from __future__ import annotations

import numpy as np
import pygame
import pytest
from window_driver import Driver, write_fire


@pytest.fixture
def opened(tmp_path):
    driver = Driver(write_fire(tmp_path), size=(1280, 620))
    driver.studio.pause(True)
    yield driver
    driver.close()


@pytest.mark.parametrize("sheet", ["film", "open", "calm", "shortcuts"])
def test_the_band_beside_the_picture_stays_as_it_was(opened, sheet):
    opened.let_pass(1.0)
    opened.click(sheet)
    assert opened.page.sheets
    opened.page.stale = True
    opened.frame()
    picture = opened.widget("picture")
    (_, shown), band = picture.cells()[0], picture.rect.copy()
    band.width = shown.left - band.left
    assert band.width > 20, "this window has no band beside the picture"

    def seen() -> np.ndarray:
        return pygame.surfarray.array3d(opened.app.surface.subsurface(band))

    first = seen()
    assert first.max() > 0
    opened.let_pass(1.0)
    np.testing.assert_array_equal(seen(), first)
