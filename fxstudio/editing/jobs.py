"""Work that takes a while, done beside the window. Knows nothing of pygame."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from fxstudio.arrays import Floats
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError
from fxstudio.film.calmer import calm
from fxstudio.film.captions.caption import Caption
from fxstudio.film.making import FilmReport, FlashError, film, film_pictures, poster, take_of
from fxstudio.film.png import jpeg_bytes, png_bytes
from fxstudio.film.take import Shot, Take, renderer_for
from fxstudio.flashes.verdict import Verdict
from fxstudio.progress import Progress, StoppedError
from fxstudio.whole_files import replacing

STILL_SIZE = (960, 640)
"""Width and height of a still picture in pixels."""


class Job:
    """One piece of work in a thread of its own.

    `work` is called with its progress, at whose steps it may be stopped, and returns the message
    to show at the end.

    folder : where what it writes will lie
    refused : what to do if a film was refused because it flashes too much
    """

    def __init__(
        self, title: str, work: Callable[[Progress], str], folder: Path | None = None
    ) -> None:
        self.title, self.folder = title, folder
        self.message, self.stopped = "", False
        self.error: Exception | None = None
        self.refused: Callable[[FlashError], object] | None = None
        self._progress = Progress()
        self._work = work
        self._thread = threading.Thread(target=self._run, name=title, daemon=True)
        self._thread.start()

    @property
    def done(self) -> bool:
        """Whether it has ended, well or not."""
        return not self._thread.is_alive()

    @property
    def share(self) -> float:
        """How much of it is done, 0..1."""
        return self._progress.share

    def stop(self) -> None:
        """Ask it to end; nothing half-done is left behind once it has."""
        self._progress.stop()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until it has ended; whether it has."""
        self._thread.join(seconds)
        return self.done

    def _run(self) -> None:
        try:
            self.message = self._work(self._progress)
        except StoppedError:
            self.message, self.stopped = f"{self.title}: stopped, nothing was written", True
        except FxError as error:
            self.message, self.error = str(error), error
        except MemoryError as error:
            self.message, self.error = f"{self.title}: there is not enough memory for it", error
        except Exception as error:  # a fault in fxstudio must be seen, not lost with the thread
            self.message, self.error = f"{self.title}: a fault in fxstudio: {error!r}", error


@dataclass(frozen=True)
class Film:
    """A film to make: of what, where to, shown by which drive, and how.

    accept_flashes : whether to accept that it flashes more than is safe to show
    said : what it has to say of itself besides
    caption : what stands under the picture
    most_bytes : how large the file may be
    pictures : whether it is a folder of pictures
    poster : where to write a picture of it, besides
    left_out : how many looks there was no time for
    more : all else that `making.film` is told, by name
    """

    effect: Effect
    path: Path
    drive: Drive
    shot: Shot
    accept_flashes: bool = False
    said: tuple[str, ...] = ()
    caption: Caption | None = None
    most_bytes: int | None = None
    pictures: bool = False
    poster: Path | None = None
    left_out: int = 0
    more: Mapping[str, Any] = field(default_factory=dict)

    @property
    def take(self) -> Take:
        """Its frames; raises InputError for what cannot be filmed."""
        take = take_of(self.effect, self.drive, self.shot)
        return replace(take, said=self.said, caption=self.caption, **self.more)

    @property
    def folder(self) -> Path:
        """Where it will lie."""
        path = self.path.absolute()
        return path if self.pictures else path.parent


def film_job(wanted: Film) -> Job:
    """Film an effect as it is; refused if it flashes too much and that is not accepted."""
    title = f"Filming {wanted.path.name}"
    return Job(title, lambda progress: _film(wanted, progress), wanted.folder)


def calmer_film_job(wanted: Film, verdict: Verdict) -> Job:
    """Film the effect nearest to it that does not flash too much; `verdict` is that on it."""

    def work(progress: Progress) -> str:
        searching, filming = progress.part(0, 0.5), progress.part(0.5, 1)
        found = calm(wanted.effect, wanted.drive, wanted.shot, searching, verdict)
        written = _film(replace(wanted, effect=found.effect), filming)
        return "\n".join([written, *(f"Calmer than your effect: {text}" for text in found.changes)])

    return Job(f"Filming a calmer {wanted.path.name}", work, wanted.folder)


def still_job(effect: Effect, light: Floats, phase: int, path: Path) -> Job:
    """Write a picture of `effect` as PNG; `light` [lamps] is how bright its lamps are, and `phase`
    that of what moves in the scene.
    """

    def work(progress: Progress) -> str:
        width, height = STILL_SIZE
        renderer = renderer_for(effect, width, height)
        progress.step(1, 2)
        with replacing(path) as file:
            file.write(png_bytes(renderer.frame(light, phase)))
        progress.step(2, 2)
        return f"{path.name} is written, {width} x {height}, in {path.resolve().parent}"

    return Job(f"Taking {path.name}", work, path.resolve().parent)


def _film(wanted: Film, progress: Progress) -> str:
    about = (wanted.effect, wanted.path, wanted.drive, wanted.shot, progress, wanted.accept_flashes)
    if wanted.pictures:
        report = film_pictures(*about, caption=wanted.caption, **wanted.more)
    else:
        report = film(
            *about,
            most_bytes=wanted.most_bytes,
            said=wanted.said,
            caption=wanted.caption,
            **wanted.more,
        )
    return "\n".join([*_report(wanted, report), *_poster(wanted), *wanted.said])


def _report(wanted: Film, report: FilmReport) -> Iterator[str]:
    """What a person is told of a film that was written."""
    file = report.file
    what = f"{file.frames} pictures, " if wanted.pictures else ""
    yield (
        f"{file.path.name} is written: {what}{file.duration_s:g} s, {in_bytes(file.bytes)}, "
        f"in {file.path.resolve().parent}"
    )
    if report.verdict.passes:
        yield f"Flashes: it {report.verdict.summary}."
    else:
        yield "It flashes more than is safe to show: warn viewers before you show it."
    if report.given_up:
        yield f"Given up to be so small: {'; '.join(report.given_up)}."
    if wanted.left_out:
        yield f"Looks that the tour had no time for: {wanted.left_out}."
    yield from (f"To loop without a seam, {lamp}: {entry}" for lamp, entry in report.fitted)


def _poster(wanted: Film) -> Iterator[str]:
    """Write the picture of a film, if one is wanted, and tell of it."""
    if wanted.poster is None:
        return
    packed = png_bytes if wanted.poster.suffix == ".png" else jpeg_bytes
    picture = poster(wanted.effect, wanted.drive, wanted.shot, wanted.caption, **wanted.more)
    with replacing(wanted.poster) as file:
        file.write(packed(picture))
    yield f"{wanted.poster.name}, its brightest frame, lies beside it."


def in_bytes(size: int, digits: int = 3) -> str:
    """A size for people: `1.23 MB`, `350 kB`."""
    rounded = float(f"{size:.{digits}g}")
    return f"{rounded / 1e6:g} MB" if rounded >= 1e6 else f"{rounded / 1e3:g} kB"
