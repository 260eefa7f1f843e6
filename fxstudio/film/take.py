"""One loop of an effect made ready to be filmed."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError
from fxstudio.film.quality import GOOD, Quality
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.flashes.fields import Viewing
from fxstudio.light.simulation import Brightness, Simulation
from fxstudio.scenes.catalogue import draw_scene
from fxstudio.scenes.render import Renderer

SPREAD_FRAMES = 12
"""Frames looked at first, spread over the film ..."""
TELLING_FRAMES = 6
"""... and so many more for what those do not show; see `telling_frames`."""

MOST_PIXELS = 1_000_000_000
"""Pixels of all frames together: over a minute at 960 x 640 and 25 frames a second. None is kept,
but it takes some minutes."""


@dataclass(frozen=True)
class Shot:
    """How to film: width and height in pixels, frames a second, seed of the random patterns,
    how the film is assumed to be seen when its flashes are judged, and how much of it is kept.
    """

    width: int = 480
    height: int = 320
    fps: float = 25.0
    seed: int = 1
    viewing: Viewing = field(default_factory=Viewing)
    quality: Quality = GOOD


class TooLargeError(InputError):
    """A film would have more pixels than can be filmed in reasonable time."""


def renderer_for(effect: Effect, width: int, height: int) -> Renderer:
    """The renderer of an effect's scene and lamps."""
    return Renderer(
        draw_scene(effect.setting, width, height),
        [effect.place(name) for name in effect.lamps],
        [lamp.colour.rgb for lamp in effect.lamps.values()],
    )


@dataclass(frozen=True)
class Take:
    """One loop of an effect under a drive, ready to be filmed: frames for `quantised`.

    said : what the file shall say of itself besides, a line each

    Raises InputError for a frame rate, a length or a size that cannot be filmed.
    """

    effect: Effect
    drive: Drive
    shot: Shot
    said: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        count, shot = len(self.delays_cs), self.shot
        if count * shot.width * shot.height > MOST_PIXELS:
            raise TooLargeError(
                "the film is too large",
                given=f"{count} frames of {shot.width} x {shot.height}",
                allowed=f"{MOST_PIXELS // 1_000_000} million pixels in all frames together",
                remedy="make it smaller, shorter, or with fewer frames a second",
            )

    @cached_property
    def delays_cs(self) -> NDArray[np.int64]:
        """How long each frame stands, in 1/100 s; see `frame_delays`."""
        return frame_delays(self.shot.fps, self.drive.length_s)

    @cached_property
    def brightness(self) -> Brightness:
        """The light [frames, lamps], and what was rounded for the loop to close, by lamp."""
        times_s = frame_times_s(self.delays_cs)
        return Simulation(self.effect, self.drive, self.shot.seed).at(times_s)

    @cached_property
    def telling(self) -> list[int]:
        """Numbers of the frames that tell the film apart."""
        return telling_frames(self.brightness.light)

    @cached_property
    def renderer(self) -> Renderer:
        """What draws the frames."""
        return renderer_for(self.effect, self.shot.width, self.shot.height)

    def frame(self, number: int) -> Bytes:
        """Frame `number`, [h, w, 3] in sRGB."""
        return self.renderer.frame(self.brightness.light[number])


def telling_frames(light: ArrayLike) -> list[int]:
    """Numbers of frames that tell a film apart, for the lamps' light [n, lamps] in its n frames.

    Some spread evenly, and those whose light differs most from all others chosen: each lamp
    at its brightest and darkest, alone and together.
    """
    levels = np.asarray(light, float)
    levels = levels.reshape(len(levels), -1)
    chosen = spread(len(levels))
    far = np.min([((levels - levels[n]) ** 2).sum(axis=1) for n in chosen], axis=0)
    for _ in range(TELLING_FRAMES):
        chosen.append(int(far.argmax()))
        far = np.minimum(far, ((levels - levels[chosen[-1]]) ** 2).sum(axis=1))
    return sorted(set(chosen))


def spread(count: int) -> list[int]:
    """Numbers of up to `SPREAD_FRAMES` frames, evenly spread over a film of `count`."""
    return [int(n) for n in np.unique(np.linspace(0, count - 1, SPREAD_FRAMES).astype(int))]
