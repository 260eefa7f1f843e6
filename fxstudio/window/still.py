"""A still picture of the present view."""

from __future__ import annotations

import time
from dataclasses import dataclass

import pygame

from fxstudio.export.files import replacing
from fxstudio.film import renderer_for
from fxstudio.window.jobs import Job, Progress, free_path
from fxstudio.window.studio import Studio


@dataclass(frozen=True)
class StillSize:
    """Width and height of a still picture in pixels."""

    width: int = 960
    height: int = 640


def take_still(studio: Studio, size: StillSize = StillSize()) -> None:
    """Write what the picture shows now as a PNG beside the effect's file, under a free name."""
    effect = studio.seen
    light = studio.seen_projector.light(
        studio.playback.time_s, time.perf_counter(), studio.calm
    ).copy()
    path = free_path(studio.folder, f"{studio.stem}_still", ".png")

    def work(tell: Progress) -> str:
        renderer = renderer_for(effect, size.width, size.height)
        tell(1, 2)
        frame = renderer.frame(light)
        image = pygame.image.frombuffer(frame, (size.width, size.height), "RGB")
        with replacing(path) as file:
            pygame.image.save(image, file, path.name)
        tell(2, 2)
        return f"{path.name} is written, {size.width} x {size.height}, in {path.resolve().parent}"

    studio.job = Job(f"Taking {path.name}", work)
    studio.revision += 1
