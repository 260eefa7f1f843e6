"""Film an effect: take it, quantise the frames, judge them, and write them as a looping GIF."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
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

    def _repr_html_(self) -> str:
        """The film and its verdict, as a notebook shows them; the verdict alone if it is gone."""
        words = escape(f"{self.gif.path}: {self.verdict.summary}")
        try:
            data = b64encode(self.gif.path.read_bytes()).decode()
        except OSError:
            return f"<p>{words}</p>"
        return (
            f'<figure><img src="data:image/gif;base64,{data}" alt="{words}">'
            f"<figcaption>{words}</figcaption></figure>"
        )


FLASHES_MARK = "WARNING: flashes more than WCAG 2.3.1 allows; may harm photosensitive people."


class FlashError(FxError):
    """A film was refused, for it flashes too much; `verdict` says where and when."""

    verdict: Verdict | None = None

    @classmethod
    def of(cls, verdict: Verdict) -> FlashError:
        """The error for a verdict that does not pass."""
        found = "\n  ".join(map(str, verdict.failures))
        error = cls(
            f"the film would flash more than is safe to show\n  {found}",
            allowed=f"at most {MOST_FLASHES} flashes in any second over a quarter of a field "
            f"of view (WCAG 2.3.1), {verdict.viewing}; {STRICTER}",
            remedy="film the nearest effect that passes, or film it smaller, which flashes over "
            "less; if it has to be as it is, warn viewers",
        )
        error.verdict = verdict
        return error


def film(
    effect: Effect,
    path: Path | str,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    accept_flashes: bool = False,
    said: Sequence[str] = (),
) -> FilmReport:
    """Write one loop of an effect as a GIF, if it does not flash too much.

    Parameters
    ----------
    effect : what is filmed; a `Compiled.seen` shows what that decoder will do
    path : file to write; one that is there is replaced once the new one is whole
    drive : travel, speed and keys; the film is as long as it, in s. None: the effect's own
    shot : size in pixels, frames a second, seed and viewing; None: 480 x 320 at 25
    progress : told how far it is, and asked whether to go on; stopped, nothing is written
    accept_flashes : write it even if it flashes too much
    said : what the file shall say of itself besides, a line each

    Raises InputError for what cannot be filmed, WriteError for a file that cannot be written, and
    FlashError for a film with more flashes than WCAG 2.3.1 allows; then nothing is written.
    """
    path = Path(path)
    progress = progress or Progress()
    take = take_of(effect, drive, shot)
    check_can_write(path)
    shown = quantised(take, progress)
    progress.check()
    verdict = judge(shown.numbers, shown.colours, shown.delays_cs, take.shot.viewing)
    if not (verdict.passes or accept_flashes):
        raise FlashError.of(verdict)
    progress.check()
    gif = write_gif(path, shown, comment(take, verdict, said), progress)
    return FilmReport(gif, take.brightness.fitted, verdict)


def judge_film(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
) -> Verdict:
    """The flash verdict on a film of `effect`, of which nothing is written.

    What is counted, with its source, stands in `fxstudio.flashes.verdict`: the general and red
    flashes of WCAG 2.x, success criterion 2.3.1. It is no medical and no legal judgement.

    Parameters
    ----------
    effect, drive, shot, progress : as for `film`

    Raises InputError for what cannot be filmed.
    """
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


def comment(take: Take, verdict: Verdict, said: Sequence[str] = ()) -> str:
    """What is said in the file itself: what it shows, and if it flashes too much."""
    warning = [] if verdict.passes else [FLASHES_MARK, *map(str, verdict.failures)]
    title = f"{take.effect.title} - fxstudio {__version__}"
    return "\n".join([title, f"Shows: {take.drive}", *said, *warning])
