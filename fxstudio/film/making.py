"""Film an effect: take it, quantise the frames, judge them, and write them as a looping GIF."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fxstudio import __version__
from fxstudio.arrays import Bytes
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.errors import FxError
from fxstudio.film.gif import GifReport, write_gif
from fxstudio.film.quantise import quantised
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.count import MOST_FLASHES
from fxstudio.flashes.map import draw_flash_map
from fxstudio.flashes.verdict import STRICTER, Verdict, judge
from fxstudio.progress import Progress
from fxstudio.whole_files import check_can_write


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
            f"of view (WCAG 2.3.1), {verdict.viewing}; {STRICTER}",
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
    check_can_write(path)
    shown = quantised(take, progress)
    progress.check()
    verdict = judge(shown.numbers, shown.colours, shown.delays_cs, take.shot.viewing)
    if not (verdict.passes or accept_flashes):
        raise FlashError.of(verdict)
    progress.check()
    gif = write_gif(path, shown, comment(take, verdict), progress)
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


def comment(take: Take, verdict: Verdict) -> str:
    """What is said in the file itself: what it shows, and if it flashes too much."""
    warning = [] if verdict.passes else [FLASHES_MARK, *map(str, verdict.failures)]
    title = f"{take.effect.title} - fxstudio {__version__}"
    return "\n".join([title, f"Shows: {take.drive}", *warning])
