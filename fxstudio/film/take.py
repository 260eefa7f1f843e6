"""One loop of an effect made ready to be filmed."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Bytes, Floats
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError
from fxstudio.film.captions.caption import Caption, caption_strip
from fxstudio.film.captions.lanes import Lanes
from fxstudio.film.captions.strip import Strip, em_of, on_top, with_strip
from fxstudio.film.quality import GOOD, Quality
from fxstudio.film.rolling import Motion, Rolling
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.flashes.fields import Viewing
from fxstudio.light.simulation import Brightness, Simulation
from fxstudio.scenes.catalogue import draw_scene
from fxstudio.scenes.render import Renderer

SPREAD_FRAMES = 12
"""Frames looked at first, spread over the film ..."""
TELLING_FRAMES = 6
"""... and so many more for what those do not show; see `telling_frames`."""

MOST_PIXELS = 4_000_000_000
"""Pixels of all frames together: over four minutes at 960 x 640 and 25 frames a second. Memory does
not grow with it, but it takes some minutes."""


SMALLEST_WITH_STRIP = (200, 120)
"""Width and height of a film with a caption; the picture has at least half of that height."""


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
    caption : what stands under the picture; the film has the size of its shot with it
    lanes : whether the lamps' light over time stands under the picture
    still : whether wheels and ground stand still, however fast the engine runs

    Raises InputError for a frame rate, a length or a size that cannot be filmed.
    """

    effect: Effect
    drive: Drive
    shot: Shot
    said: tuple[str, ...] = ()
    caption: Caption | None = None
    lanes: bool = False
    still: bool = False

    def __post_init__(self) -> None:
        count, shot = len(self.delays_cs), self.shot
        if count * shot.width * shot.height > MOST_PIXELS:
            raise TooLargeError(
                "the film is too large",
                given=f"{count} frames of {shot.width} x {shot.height}",
                allowed=f"{MOST_PIXELS // 1_000_000} million pixels in all frames together",
                remedy="make it smaller, shorter, or with fewer frames a second",
            )
        if not self.has_room(shot):
            raise InputError(
                "leaves no room for what stands under the picture",
                field="size",
                given=f"{shot.width}x{shot.height}",
            ).allowing(
                f"{SMALLEST_WITH_STRIP[0]}x{SMALLEST_WITH_STRIP[1]} and more, higher with much "
                "to say",
                remedy="make it larger, or leave out the caption or the lanes",
            )

    @cached_property
    def delays_cs(self) -> NDArray[np.int64]:
        """How long each frame stands, in 1/100 s; see `frame_delays`."""
        return frame_delays(self.shot.fps, self.drive.length_s)

    @cached_property
    def times_s(self) -> Floats:
        """When each frame begins, in s."""
        return frame_times_s(self.delays_cs)

    @cached_property
    def brightness(self) -> Brightness:
        """The light [frames, lamps], and what was rounded for the loop to close, by lamp."""
        return self.simulation.at(self.times_s)

    @cached_property
    def simulation(self) -> Simulation:
        """The loop that is filmed."""
        return Simulation(self.effect, self.drive, self.shot.seed)

    @cached_property
    def telling(self) -> list[int]:
        """Numbers of the frames that tell the film apart."""
        return telling_frames(self.brightness.light, self.phases)

    @cached_property
    def phases(self) -> NDArray[np.int64]:
        """The phase [frames] of what moves, all 0 if nothing does."""
        if self.still or not self.effect.setting.move:
            return np.zeros(len(self.times_s), np.int64)
        return Rolling(self.drive).phases(self.times_s)

    @property
    def motion(self) -> Motion | None:
        """Which pixels move when, if any do."""
        moving = self.renderer.scene.moving if self.phases.any() else None
        return Motion(moving.pixels, self.phases) if moving else None

    @cached_property
    def renderer(self) -> Renderer:
        """What draws the pictures of the frames."""
        under = self.strip.height if self.strip else 0
        return renderer_for(self.effect, self.shot.width, self.shot.height - under)

    @cached_property
    def strip(self) -> Strip | None:
        """What stands under the picture."""
        return self._strip_of(self.shot)

    def _strip_of(self, shot: Shot) -> Strip | None:
        strips = self._own_strips(shot)
        if self.caption:
            trace = self.drive.at(self.times_s)
            strips.append(caption_strip(self.caption, shot.width, trace, self.times_s))
        return on_top(strips)

    def _own_strips(self, shot: Shot) -> list[Strip]:
        """What stands under the picture and above the caption, in a film of that shot."""
        return [self.lanes_strip(shot.width, shot)] if self.lanes else []

    def lanes_strip(self, width: int, shot: Shot) -> Strip:
        """The lamps' light in lanes, `width` pixels wide, for a film of that shot."""
        lanes = Lanes(self.simulation, width, shot.height, em_of(shot.width))
        return lanes.strip(self.times_s)

    def has_room(self, shot: Shot) -> bool:
        """Whether a film of that size has room for what stands under the picture."""
        strip = self._strip_of(shot)
        if strip is None:
            return True
        width, height = SMALLEST_WITH_STRIP
        return shot.width >= width and shot.height - strip.height >= height / 2

    def frame(self, number: int) -> Bytes:
        """The picture of frame `number` without its strip, [h, w, 3] in sRGB."""
        return self.renderer.frame(self.brightness.light[number], int(self.phases[number]))

    def whole(self, number: int) -> Bytes:
        """Frame `number` with its strip, [h, w, 3] in sRGB."""
        return with_strip(self.frame(number), self.strip, number)


def telling_frames(light: ArrayLike, phases: ArrayLike = 0) -> list[int]:
    """Numbers of frames that tell a film apart, for the lamps' light [n, lamps] in its n frames.

    Some spread evenly, and those whose light differs most from all others chosen: each lamp
    at its brightest and darkest, alone and together. Of each of the `phases` [n] of what moves
    the brightest.
    """
    levels = np.asarray(light, float)
    levels = levels.reshape(len(levels), -1)
    chosen = spread(len(levels))
    far = np.min([((levels - levels[n]) ** 2).sum(axis=1) for n in chosen], axis=0)
    for _ in range(TELLING_FRAMES):
        chosen.append(int(far.argmax()))
        far = np.minimum(far, ((levels - levels[chosen[-1]]) ** 2).sum(axis=1))
    of_frames = np.broadcast_to(phases, len(levels))
    brightest = np.argsort(-levels.sum(axis=1), kind="stable")
    _, first = np.unique(of_frames[brightest], return_index=True)
    if len(first) > 1:
        chosen += brightest[first].tolist()
    return sorted(set(chosen))


def spread(count: int) -> list[int]:
    """Numbers of up to `SPREAD_FRAMES` frames, evenly spread over a film of `count`."""
    return [int(n) for n in np.unique(np.linspace(0, count - 1, SPREAD_FRAMES).astype(int))]
