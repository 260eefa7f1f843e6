"""Work that takes a while, done beside the window. Knows nothing of pygame."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError
from fxstudio.film import Shot, film

Progress = Callable[[int, int], None]


class StoppedError(Exception):
    """The person has stopped a job."""


class Job:
    """One piece of work in a thread of its own.

    `work` is called with a function to tell (steps done, steps in all) and returns the message
    to show at the end. It is stopped where it tells its progress.
    """

    def __init__(self, title: str, work: Callable[[Progress], str]) -> None:
        self.title = title
        self.share = 0.0
        self.message = ""
        self.failed = False
        self._stop = threading.Event()
        self._work = work
        self._thread = threading.Thread(target=self._run, name=title, daemon=True)
        self._thread.start()

    @property
    def done(self) -> bool:
        """Whether it has ended, well or not."""
        return not self._thread.is_alive()

    def stop(self) -> None:
        """Ask it to end; nothing half-done is left behind."""
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
            self.message, self.failed = str(error), True
        except MemoryError:
            self.message, self.failed = f"{self.title}: there is not enough memory for it", True
        except Exception as error:  # a fault in fxstudio must be seen, not lost with the thread
            self.message, self.failed = f"{self.title}: a fault in fxstudio: {error!r}", True


def film_job(effect: Effect, path: Path, drive: Drive, shot: Shot) -> Job:
    """Film `effect` as a GIF at `path`."""

    def work(tell: Progress) -> str:
        report = film(effect, path, drive, shot, tell)
        gif = report.gif
        lines = [
            f"{gif.path.name} is written: {gif.frames} frames, {gif.duration_s:g} s, "
            f"{gif.bytes / 1e6:.2f} MB, in {gif.path.resolve().parent}"
        ]
        lines += [f"To loop without a seam, {lamp}: {entry}" for lamp, entry in report.fitted]
        return "\n".join(lines)

    return Job(f"Filming {path.name}", work)


def free_path(folder: Path, stem: str, suffix: str) -> Path:
    """A path in `folder` that is not taken: `stem.png`, `stem_2.png` ..."""
    path, number = folder / f"{stem}{suffix}", 1
    while path.exists():
        number += 1
        path = folder / f"{stem}_{number}{suffix}"
    return path
