"""Work that takes a while, done beside the window. Knows nothing of pygame."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from fxstudio.arrays import Floats
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError
from fxstudio.film.calmer import calm
from fxstudio.film.making import FlashError, film
from fxstudio.film.png import png_bytes
from fxstudio.film.take import Shot, renderer_for
from fxstudio.flashes.verdict import Verdict
from fxstudio.progress import Progress, StoppedError
from fxstudio.whole_files import replacing

STILL_SIZE = (960, 640)
"""Width and height of a still picture in pixels."""


class Job:
    """One piece of work in a thread of its own.

    `work` is called with its progress, at whose steps it may be stopped, and returns the message
    to show at the end.

    refused : what to do if a film was refused because it flashes too much
    """

    def __init__(self, title: str, work: Callable[[Progress], str]) -> None:
        self.title = title
        self.message = ""
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
            self.message = f"{self.title}: stopped, nothing was written"
        except FxError as error:
            self.message, self.error = str(error), error
        except MemoryError as error:
            self.message, self.error = f"{self.title}: there is not enough memory for it", error
        except Exception as error:  # a fault in fxstudio must be seen, not lost with the thread
            self.message, self.error = f"{self.title}: a fault in fxstudio: {error!r}", error


@dataclass(frozen=True)
class Film:
    """A film to make: of what, where to, shown by which drive, how, and whether to accept that
    it flashes more than is safe to show; `said` is what it has to say of itself besides.
    """

    effect: Effect
    path: Path
    drive: Drive
    shot: Shot
    accept_flashes: bool = False
    said: tuple[str, ...] = ()


def film_job(wanted: Film) -> Job:
    """Film an effect as it is; refused if it flashes too much and that is not accepted."""
    return Job(f"Filming {wanted.path.name}", lambda progress: _film(wanted, progress))


def calmer_film_job(wanted: Film, verdict: Verdict) -> Job:
    """Film the effect nearest to it that does not flash too much; `verdict` is that on it."""

    def work(progress: Progress) -> str:
        searching, filming = progress.part(0, 0.5), progress.part(0.5, 1)
        found = calm(wanted.effect, wanted.drive, wanted.shot, searching, verdict)
        written = _film(replace(wanted, effect=found.effect), filming)
        return "\n".join([written, *(f"Calmer than your effect: {text}" for text in found.changes)])

    return Job(f"Filming a calmer {wanted.path.name}", work)


def still_job(effect: Effect, light: Floats, path: Path) -> Job:
    """Write a picture of `effect` as PNG; `light` [lamps] is how bright its lamps are."""

    def work(progress: Progress) -> str:
        width, height = STILL_SIZE
        renderer = renderer_for(effect, width, height)
        progress.step(1, 2)
        with replacing(path) as file:
            file.write(png_bytes(renderer.frame(light)))
        progress.step(2, 2)
        return f"{path.name} is written, {width} x {height}, in {path.resolve().parent}"

    return Job(f"Taking {path.name}", work)


def _film(wanted: Film, progress: Progress) -> str:
    report = film(
        wanted.effect,
        wanted.path,
        wanted.drive,
        wanted.shot,
        progress,
        wanted.accept_flashes,
        said=wanted.said,
    )
    file = report.file
    lines = [
        f"{file.path.name} is written: {file.duration_s:g} s, {file.bytes / 1e6:.2f} MB, "
        f"in {file.path.resolve().parent}"
    ]
    if not report.verdict.passes:
        lines.append("It flashes more than is safe to show: warn viewers before you show it.")
    lines += [f"To loop without a seam, {lamp}: {entry}" for lamp, entry in report.fitted]
    lines += wanted.said
    return "\n".join(lines)
