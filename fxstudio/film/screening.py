"""A quick look at the light of a film without writing one.

Only some pixels of each row and column are drawn: a sixteenth of the work shows the same light.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fxstudio.colour import luminance, rgb_to_hex, srgb_decode
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.film.indexed.palette import Palette, choose_colours
from fxstudio.film.take import Shot
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.flashes.verdict import Verdict
from fxstudio.flashes.verdict import judge as judge_frames
from fxstudio.light.figures import LampLight
from fxstudio.light.simulation import Simulation
from fxstudio.progress import Progress
from fxstudio.scenes.catalogue import draw_scene
from fxstudio.scenes.render import Renderer

LIGHT_HZ = 50.0
"""Points a second of the light of a picture: enough for all that is seen to flicker."""

LIGHT_EVERY_PX = 4

LOOK_EVERY_PX, LOOK_ACROSS = 6, 17
"""How far apart points are for a quick look at flashes, and how many there are at least across a
field of view: areas matter then, not edges."""

PALETTE_FRAMES = 8
"""Frames from which a quick look chooses its colours."""

WHOLE, GREY = "whole picture", "#9a9a9a"


def points_renderer(effect: Effect, shot: Shot, every_px: int) -> Renderer:
    """A renderer of one pixel in each `every_px` x `every_px` of the effect's scene."""
    whole = draw_scene(effect.setting, shot.width, shot.height)
    some = np.s_[:, every_px // 2 :: every_px, every_px // 2 :: every_px]
    scene = replace(
        whole,
        ambient=np.ascontiguousarray(whole.ambient[some]),
        light={name: np.ascontiguousarray(m[some]) for name, m in whole.light.items()},
    )
    return Renderer(
        scene,
        [effect.place(name) for name in effect.lamps],
        [lamp.colour.rgb for lamp in effect.lamps.values()],
    )


def quick_verdict(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
) -> Verdict:
    """About what `judge_film` finds, for a small part of its work. It may pass what fails there.

    Each point that is looked at stands for a square of pixels, and the palette is chosen from
    these points alone.
    """
    drive, shot = drive or effect.shown_by, shot or Shot()
    delays = frame_delays(shot.fps, drive.length_s)
    every = max(1, min(LOOK_EVERY_PX, int(min(shot.viewing.field_px)) // LOOK_ACROSS))
    renderer = points_renderer(effect, shot, every)
    brightness = Simulation(effect, drive, shot.seed).at(frame_times_s(delays)).light
    frames = np.stack([renderer.frame(row) for row in brightness])
    chosen = frames[:: max(1, len(frames) // PALETTE_FRAMES)].reshape(-1, 3)
    palette = Palette(choose_colours(chosen))
    points = palette.numbers(frames.reshape(-1, 3)).reshape(frames.shape[:3])
    return judge_frames(points, palette.colours, delays, shot.viewing.enlarged(every))


def traces(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
) -> list[LampLight]:
    """The light of every lamp over one loop, and last the light of the whole picture."""
    drive, shot = drive or effect.shown_by, shot or Shot()
    loop = Simulation(effect, drive, shot.seed).loop
    step_s = drive.length_s / len(loop.times_s)
    lamps = [
        LampLight(name, rgb_to_hex(effect.lamps[name].colour.rgb), loop.light[:, number], step_s)
        for number, name in enumerate(loop.lamps)
    ]
    return [*lamps, LampLight(WHOLE, GREY, *picture_light(effect, drive, shot, progress))]


def picture_light(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
) -> tuple[NDArray[np.floating], float]:
    """Mean relative luminance [n] of the whole picture over one loop, and the step in s."""
    drive, shot = drive or effect.shown_by, shot or Shot()
    renderer = points_renderer(effect, shot, LIGHT_EVERY_PX)
    count = max(2, round(drive.length_s * LIGHT_HZ))
    step_s = drive.length_s / count
    brightness = Simulation(effect, drive, shot.seed).at(np.arange(count) * step_s).light
    linear = srgb_decode(np.arange(256) / 255)
    light = np.empty(count)
    for k, row in enumerate(brightness):
        light[k] = luminance(linear[renderer.frame(row)].mean(axis=(0, 1)))
        if progress:
            progress.step(k + 1, count)
    return light, step_s
