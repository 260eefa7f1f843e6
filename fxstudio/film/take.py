"""Film an effect: simulate it, render it and write it as a looping GIF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from fxstudio import __version__
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.errors import FxError, InputError, several
from fxstudio.film.gif import (
    GifReport,
    frame_delays,
    frame_times_s,
    quantised,
    telling_frames,
    write_gif,
)
from fxstudio.film.palette import Bytes
from fxstudio.flashes.map import draw_flash_map
from fxstudio.flashes.verdict import MOST_FLASHES, STRICTER, Verdict, Viewing
from fxstudio.flashes.verdict import judge as judge_frames
from fxstudio.light.simulation import Simulation
from fxstudio.scenes.catalogue import SCENES, draw_scene
from fxstudio.scenes.render import Renderer

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


@dataclass(frozen=True)
class FilmReport:
    """What was filmed: the file, what was rounded to loop without a seam, by lamp, the flashes."""

    gif: GifReport
    fitted: tuple[tuple[str, Fitted], ...]
    verdict: Verdict


class TooLargeError(InputError):
    """A film would have more pixels than are kept at once."""


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
            f"of view (WCAG 2.3.1), {verdict.viewing}; {STRICTER}",
            remedy="film the nearest effect that passes, or film it smaller, which flashes over "
            "less; if it has to be as it is, warn viewers",
            verdict=verdict,
        )


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
    accept_flashes: bool = False,
) -> FilmReport:
    """Write one loop of `effect` as a GIF at `path`.

    The loop is as long as the drive (the effect's own if None). `on_frame` is called with
    (frames done, frames in all). Raises InputError or WriteError, or FlashError if the film
    flashes too much and `accept_flashes` is not set; then nothing is written. A film that
    flashes too much says so in its comment.
    """
    take = _Take(effect, drive, shot)
    verdicts: list[Verdict] = []

    def check(shown: Bytes, colours: Bytes) -> str | None:
        verdicts.append(judge_frames(shown, colours, take.delays, take.shot.viewing))
        if verdicts[0].passes:
            return None
        if not accept_flashes:
            raise FlashError.of(verdicts[0])
        return "\n".join([FLASHES_MARK, *map(str, verdicts[0].failures)])

    report = write_gif(
        path,
        take.frame,
        take.delays,
        sample=take.telling,
        comment=f"{effect.title} - fxstudio {__version__}",
        on_frame=on_frame,
        check=check,
    )
    return FilmReport(report, take.brightness.fitted, verdicts[0])


def judge(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    on_frame: Callable[[int, int], None] | None = None,
) -> Verdict:
    """The flash verdict on a film of `effect`, of which nothing is written."""
    take = _Take(effect, drive, shot)
    shown, colours = quantised(take.frame, len(take.delays), take.telling, on_frame)
    return judge_frames(shown, colours, take.delays, take.shot.viewing)


def flash_map(
    effect: Effect, verdict: Verdict, drive: Drive | None = None, shot: Shot | None = None
) -> Bytes:
    """Where a film of `effect` flashes, drawn over its brightest frame: [h, w, 3]."""
    take = _Take(effect, drive, shot)
    brightest = int(take.brightness.light.sum(axis=1).argmax())
    return draw_flash_map(verdict, take.frame(brightest))


class _Take:
    """One loop of an effect made ready to be filmed. Raises InputError."""

    def __init__(self, effect: Effect, drive: Drive | None, shot: Shot | None) -> None:
        drive, shot = drive or effect.shown_by, shot or Shot()
        self.shot = shot
        self.delays = frame_delays(shot.fps, drive.length_s)
        if len(self.delays) * shot.width * shot.height > MOST_PIXELS:
            raise TooLargeError(
                "the film is too large",
                given=f"{len(self.delays)} frames of {shot.width} x {shot.height}",
                allowed=f"{MOST_PIXELS // 1_000_000} million pixels in all frames together",
                remedy="make it smaller, shorter, or with fewer frames a second",
            )
        self.renderer = renderer_for(effect, shot.width, shot.height)
        self.brightness = Simulation(effect, drive, shot.seed).at(frame_times_s(self.delays))
        self.telling = telling_frames(self.brightness.light)

    def frame(self, number: int) -> Bytes:
        """Frame `number`, [h, w, 3] in sRGB."""
        return self.renderer.frame(self.brightness.light[number])
