"""Film an effect: simulate it, render it and write it as a looping GIF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from fxstudio import __version__
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.errors import InputError, several
from fxstudio.export.gif import GifReport, frame_delays, frame_times_s, write_gif
from fxstudio.picture.render import Renderer
from fxstudio.picture.scene import SCENES, draw_scene
from fxstudio.simulate import Simulation

MOST_PIXELS = 600_000_000
"""Pixels of all frames together; the writer keeps a byte for each until the end."""


@dataclass(frozen=True)
class Shot:
    """How to film: width and height in pixels, frames a second, seed of the random patterns."""

    width: int = 480
    height: int = 320
    fps: float = 25.0
    seed: int = 1


@dataclass(frozen=True)
class FilmReport:
    """What was filmed: the file, and what was rounded to make the loop seamless, by lamp."""

    gif: GifReport
    fitted: tuple[tuple[str, Fitted], ...]


def renderer_for(effect: Effect, width: int, height: int) -> Renderer:
    """The renderer of an effect's scene and lamps; raises InputError for unknown places."""
    check_places(effect)
    return Renderer(
        draw_scene(effect.scene, width, height),
        [effect.place(name) for name in effect.lamps],
        [lamp.colour.rgb for lamp in effect.lamps.values()],
    )


def check_places(effect: Effect) -> None:
    """Raise InputError if the effect's scene, or a place of one of its lamps, is not drawn."""
    if effect.scene not in SCENES:
        raise InputError(
            "is not a scene",
            field="scene",
            given=effect.scene,
            allowed=", ".join(SCENES),
            remedy="choose one of these",
        )
    places = SCENES[effect.scene].places
    wrong = [
        InputError(
            f"the scene '{effect.scene}' has no place '{effect.place(name)}'",
            field=f"lamps.{name}.place",
            given=lamp.place,
            allowed=", ".join(places),
            remedy="give the lamp one of these places, or choose another scene",
        )
        for name, lamp in effect.lamps.items()
        if effect.place(name) not in places
    ]
    if wrong:
        raise several(wrong)


def film(
    effect: Effect,
    path: Path,
    drive: Drive | None = None,
    shot: Shot | None = None,
    on_frame: Callable[[int, int], None] | None = None,
) -> FilmReport:
    """Write one loop of `effect` as a GIF at `path`.

    The loop is as long as the drive (the effect's own if None). `on_frame` is called with
    (frames done, frames in all). Raises InputError or WriteError; then nothing is written.
    """
    drive, shot = drive or effect.shown_by, shot or Shot()
    delays = frame_delays(shot.fps, drive.length_s)
    if len(delays) * shot.width * shot.height > MOST_PIXELS:
        raise InputError(
            "the film is too large",
            given=f"{len(delays)} frames of {shot.width} x {shot.height}",
            allowed=f"{MOST_PIXELS // 1_000_000} million pixels in all frames together",
            remedy="make it smaller, shorter, or with fewer frames a second",
        )
    renderer = renderer_for(effect, shot.width, shot.height)
    brightness = Simulation(effect, drive, shot.seed).at(frame_times_s(delays))
    report = write_gif(
        path,
        lambda number: renderer.frame(brightness.light[number]),
        delays,
        comment=f"{effect.title} - fxstudio {__version__}",
        on_frame=on_frame,
    )
    return FilmReport(report, brightness.fitted)
