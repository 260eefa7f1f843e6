"""Make the picture of the window in the README: `python tests/picture_of_window.py`."""

from __future__ import annotations

from pathlib import Path

import pygame
from PIL import Image
from window_driver import Driver

WHERE = Path(__file__).parent.parent / "previews" / "window.png"


def main() -> None:
    """Show the shipped fire on a decoder for some seconds, and take the picture."""
    driver = Driver("banked_fire", size=(1280, 820))
    driver.studio.use_decoder("withybank_glim")
    driver.studio.seen_projector.renderer(wait=True)  # scenes are drawn in a thread
    driver.let_pass(8.0)
    surface = driver.app.surface
    pixels = pygame.surfarray.array3d(surface).swapaxes(0, 1)
    Image.fromarray(pixels).save(WHERE, optimize=True)
    driver.close()


if __name__ == "__main__":
    main()
