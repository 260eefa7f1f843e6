"""A still picture of the present view."""

from __future__ import annotations

from fxstudio.editing.jobs import Job
from fxstudio.editing.paths import free_path
from fxstudio.editing.studio import Studio
from fxstudio.film.png import png_bytes
from fxstudio.film.take import renderer_for
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing

SIZE = (960, 640)
"""Width and height of a still picture in pixels."""


def take_still(studio: Studio) -> None:
    """Write what the picture shows now as a PNG beside the effect's file, under a free name."""
    effect, size = studio.seen, SIZE
    light = studio.seen_projector.light(studio.playback.time_s, studio.calm).copy()
    path = free_path(studio.folder, f"{studio.stem}_still", ".png")

    def work(progress: Progress) -> str:
        renderer = renderer_for(effect, *size)
        progress.step(1, 2)
        with replacing(path) as file:
            file.write(png_bytes(renderer.frame(light)))
        progress.step(2, 2)
        return f"{path.name} is written, {size[0]} x {size[1]}, in {path.resolve().parent}"

    studio.job = Job(f"Taking {path.name}", work)
