"""How far a long piece of work is, and the way to stop it."""

from __future__ import annotations

from collections.abc import Callable


class StoppedError(Exception):
    """A person has stopped the work."""


class Progress:
    """Goes along with a piece of work, which tells it how far it is and ends where it is stopped.

    Parameters
    ----------
    on_step : called with the share done, 0..1, at each step; a share may be less than the one
        before, where a part of the work has to be done again
    """

    def __init__(self, on_step: Callable[[float], object] | None = None) -> None:
        self.share = 0.0
        self._on_step = on_step
        self._stopped = False

    def step(self, done: float, total: float) -> None:
        """Tell that `done` of `total` is done; raises StoppedError if it shall end here."""
        self.check()
        self.share = done / max(1, total)
        if self._on_step:
            self._on_step(self.share)

    def check(self) -> None:
        """Raise StoppedError if the work shall end here."""
        if self._stopped:
            raise StoppedError

    def stop(self) -> None:
        """Ask the work to end at its next step."""
        self._stopped = True

    def part(self, start: float, end: float) -> Progress:
        """The progress of a part of the work, from the share `start` of the whole to `end`."""
        return _Part(self, start, end)


class _Part(Progress):
    def __init__(self, whole: Progress, start: float, end: float) -> None:
        super().__init__(lambda share: whole.step(start + (end - start) * share, 1))
        self._whole = whole

    def check(self) -> None:
        self._whole.check()

    def stop(self) -> None:
        self._whole.stop()
