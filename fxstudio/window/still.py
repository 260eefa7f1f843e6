"""A still picture of the present view."""

from __future__ import annotations

import pygame

from fxstudio.export.files import replacing
from fxstudio.film import renderer_for
from fxstudio.window.jobs import Job, Progress
from fxstudio.window.places import free_path
from fxstudio.window.studio import Studio

SIZE = (960, 640)
"""Width and height of a still picture in pixels."""


def take_still(studio: Studio) -> None:
    """Write what the picture shows now as a PNG beside the effect's file, under a free name."""
    effect, size = studio.seen, SIZE
    light = studio.seen_projector.light(studio.playback.time_s, studio.calm).copy()
    path = free_path(studio.folder, f"{studio.stem}_still", ".png")

    def work(tell: Progress) -> str:
        renderer = renderer_for(effect, *size)
        tell(1, 2)
        image = pygame.image.frombuffer(renderer.frame(light), size, "RGB")
        with replacing(path) as file:
            pygame.image.save(image, file, path.name)
        tell(2, 2)
        return f"{path.name} is written, {size[0]} x {size[1]}, in {path.resolve().parent}"

    studio.job = Job(f"Taking {path.name}", work)
    studio.revision += 1
