"""Several pieces of work at once, each in a process of its own, with one progress bar."""

from __future__ import annotations

import signal
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import redirect_stdout
from io import StringIO
from multiprocessing import get_context
from typing import Any

from fxstudio.cli.shown import console
from fxstudio.errors import FxError
from fxstudio.progress import Progress, StoppedError

EVERY_S = 0.1


class _Lines:
    """What a process shares with the one that began it: how far each is, and whether to stop."""

    shares: Any = None
    stopped: Any = None


def _begin(shares: Any, stopped: Any) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one that began it is asked, and tells it
    _Lines.shares, _Lines.stopped = shares, stopped


def _work(do: Callable[..., None], number: int, given: tuple[Any, ...]) -> tuple[str, Any]:
    """What a piece of work says, and its error."""

    def step(share: float) -> None:
        _Lines.shares[number] = share
        if _Lines.stopped.is_set():
            progress.stop()

    progress = Progress(step)
    said = StringIO()
    try:
        with redirect_stdout(said):
            do(*given, progress)
    except StoppedError:
        return "", None
    except FxError as error:
        return said.getvalue(), error
    return said.getvalue(), None


def side_by_side(
    what: str, do: Callable[..., None], each: Sequence[tuple[Any, ...]], jobs: int
) -> list[FxError]:
    """Call `do` with each of some tuples and a progress, in so many processes.

    What they say is printed in their order once all before them are done. Gives the errors: one
    does not end the others. Interrupted, all stop and leave no file half-written.
    """
    context = get_context("spawn")
    shares, stopped = context.Array("d", len(each)), context.Event()
    errors = []
    with (
        console.progress(what) as progress,
        ProcessPoolExecutor(jobs, context, _begin, (shares, stopped)) as pool,
    ):
        works: list[Future[tuple[str, Any]]] = [
            pool.submit(_work, do, number, given) for number, given in enumerate(each)
        ]
        try:
            for work in works:
                while not _is_done(work):
                    progress.step(sum(shares[:]), len(each))
                said, error = work.result()
                if said:
                    console.say(said.rstrip())
                errors += [error] if error else []
        except BaseException:
            stopped.set()
            pool.shutdown(cancel_futures=True)
            raise
    return errors


def _is_done(work: Future[Any]) -> bool:
    try:
        work.exception(EVERY_S)
    except TimeoutError:
        return False
    return True
