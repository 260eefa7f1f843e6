"""Film an effect: take it, quantise the frames, judge them, and write them as a looping GIF."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fxstudio import __version__
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.errors import FxError, InputError
from fxstudio.film.gif import GifReport, frame_delays, frame_times_s, write_gif
from fxstudio.film.palette import Bytes
from fxstudio.film.quantise import quantised, telling_frames
from fxstudio.flashes.map import draw_flash_map
from fxstudio.flashes.verdict import MOST_FLASHES, Verdict, Viewing, judge
from fxstudio.light.simulation import Brightness, Simulation
from fxstudio.progress import Progress
from fxstudio.scenes.catalogue import draw_scene
from fxstudio.scenes.render import Renderer
from fxstudio.whole_files import check_writable

MOST_PIXELS = 240_000_000
"""Pixels of all frames together: a minute at 480 x 320 and 25 frames a second. All are kept until
the end, 3 to 6 bytes each as measured: at most 1.5 GB."""


@dataclass(frozen=True)
class Shot:
    """How to film: width and height in pixels, frames a second, seed of the random patterns,
    and how the film is assumed to be seen when its flashes are judged.
    """

    width: int = 480
    height: int = 320
    fps: float = 25.0
    seed: int = 1
    viewing: Viewing = field(default_factory=Viewing)


class TooLargeError(InputError):
    """A film would have more pixels than are kept at once."""


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

    Raises InputError for a frame rate, a length or a size that cannot be filmed.
    """

    effect: Effect
    drive: Drive
    shot: Shot

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


@dataclass(frozen=True)
class FilmReport:
    """What was filmed: the file, what was rounded to loop without a seam, by lamp, the flashes."""

    gif: GifReport
    fitted: tuple[tuple[str, Fitted], ...]
    verdict: Verdict


FLASHES_MARK = "WARNING: flashes more than WCAG 2.3.1 allows; may harm photosensitive people."


@dataclass(eq=False)
class FlashError(FxError):
    """A film was refused, for it flashes too much; `verdict` says where and when."""

    verdict: Verdict | None = None

    @classmethod
    def of(cls, verdict: Verdict) -> FlashError:
        """The error for a verdict that does not pass."""
        found = "\n  ".join(map(str, verdict.failures))
        return cls(
            f"the film would flash more than is safe to show\n  {found}",
            allowed=f"at most {MOST_FLASHES} flashes in any second over a quarter of a field "
            f"of view (WCAG 2.3.1), {verdict.viewing}",
            remedy="film the nearest effect that passes, or film it smaller, which flashes over "
            "less; if it has to be as it is, warn viewers",
            verdict=verdict,
        )


def film(
    effect: Effect,
    path: Path,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    accept_flashes: bool = False,
) -> FilmReport:
    """Write one loop of `effect` as a GIF at `path`.

    The loop is as long as the drive (the effect's own if None). Raises InputError or WriteError,
    or FlashError if the film flashes too much and `accept_flashes` is not set; then nothing is
    written, nor where `progress` is stopped.
    """
    progress = progress or Progress()
    take = take_of(effect, drive, shot)
    check_writable(path)
    shown = quantised(take, progress)
    progress.check()
    verdict = judge(shown.numbers, shown.colours, shown.delays_cs, take.shot.viewing)
    if not (verdict.passes or accept_flashes):
        raise FlashError.of(verdict)
    progress.check()
    gif = write_gif(path, shown, comment(effect, verdict), progress)
    return FilmReport(gif, take.brightness.fitted, verdict)


def judge_film(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
) -> Verdict:
    """The flash verdict on a film of `effect`, of which nothing is written."""
    take = take_of(effect, drive, shot)
    shown = quantised(take, progress)
    return judge(shown.numbers, shown.colours, shown.delays_cs, take.shot.viewing)


def flash_map(
    effect: Effect, verdict: Verdict, drive: Drive | None = None, shot: Shot | None = None
) -> Bytes:
    """Where a film of `effect` flashes, drawn over its brightest frame: [h, w, 3]."""
    take = take_of(effect, drive, shot)
    brightest = int(take.brightness.light.sum(axis=1).argmax())
    return draw_flash_map(verdict, take.frame(brightest))


def take_of(effect: Effect, drive: Drive | None = None, shot: Shot | None = None) -> Take:
    """A take of `effect` under its own drive and as films usually are, where nothing is said."""
    return Take(effect, drive or effect.shown_by, shot or Shot())


def comment(effect: Effect, verdict: Verdict) -> str:
    """What is said in the file itself: of which effect it is, and if it flashes too much."""
    warning = [] if verdict.passes else [FLASHES_MARK, *map(str, verdict.failures)]
    return "\n".join([f"{effect.title} - fxstudio {__version__}", *warning])
