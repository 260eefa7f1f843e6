"""Work that takes a while, done beside the window. Knows nothing of pygame."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError
from fxstudio.film.calmer import calm
from fxstudio.film.take import FlashError, Shot, film
from fxstudio.flashes.verdict import Verdict

Progress = Callable[[int, int], None]


class StoppedError(Exception):
    """The person has stopped a job."""


class Job:
    """One piece of work in a thread of its own.

    `work` is called with a function to tell (steps done, steps in all) and returns the message
    to show at the end. It is stopped where it tells its progress.

    refused : what to do if a film was refused because it flashes too much
    """

    def __init__(self, title: str, work: Callable[[Progress], str]) -> None:
        self.title = title
        self.share = 0.0
        self.message = ""
        self.error: Exception | None = None
        self.refused: Callable[[FlashError], object] | None = None
        self._stop = threading.Event()
        self._work = work
        self._thread = threading.Thread(target=self._run, name=title, daemon=True)
        self._thread.start()

    @property
    def done(self) -> bool:
        """Whether it has ended, well or not."""
        return not self._thread.is_alive()

    def stop(self) -> None:
        """Ask it to end; nothing half-done is left behind once it has."""
        self._stop.set()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until it has ended; whether it has."""
        self._thread.join(seconds)
        return self.done

    def _tell(self, done: int, total: int) -> None:
        if self._stop.is_set():
            raise StoppedError
        self.share = done / max(1, total)

    def _run(self) -> None:
        try:
            self.message = self._work(self._tell)
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
    it flashes more than is safe to show.
    """

    effect: Effect
    path: Path
    drive: Drive
    shot: Shot
    accept_flashes: bool = False


def film_job(wanted: Film) -> Job:
    """Film an effect as it is; refused if it flashes too much and that is not accepted."""
    return Job(f"Filming {wanted.path.name}", lambda tell: _film(wanted, tell))


def calmer_film_job(wanted: Film, verdict: Verdict) -> Job:
    """Film the effect nearest to it that does not flash too much; `verdict` is that on it."""

    def work(tell: Progress) -> str:
        def searched(done: int, most: int) -> None:
            tell(done, 2 * most)

        def filmed(done: int, most: int) -> None:
            tell(most + done, 2 * most)

        found = calm(wanted.effect, wanted.drive, wanted.shot, searched, verdict=verdict)
        written = _film(replace(wanted, effect=found.effect), filmed)
        return "\n".join([written, *(f"Calmer than your effect: {text}" for text in found.changes)])

    return Job(f"Filming a calmer {wanted.path.name}", work)


def _film(wanted: Film, tell: Progress) -> str:
    report = film(
        wanted.effect, wanted.path, wanted.drive, wanted.shot, tell, wanted.accept_flashes
    )
    gif = report.gif
    lines = [
        f"{gif.path.name} is written: {gif.duration_s:g} s, {gif.bytes / 1e6:.2f} MB, "
        f"in {gif.path.resolve().parent}"
    ]
    if not report.verdict.passes:
        lines.append("It flashes more than is safe to show: warn viewers before you show it.")
    lines += [f"To loop without a seam, {lamp}: {entry}" for lamp, entry in report.fitted]
    return "\n".join(lines)
