"""About how large a film will be, from a quick trial on a few of its frames.

Runs of frames spread over what changes in the film are packed, and their first frames alone as
well: what the rest of the runs takes is what their changes cost. How much changes in the whole film
the light says, which is known of all frames.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes, Floats
from fxstudio.film.captions.strip import Strip
from fxstudio.film.formats import FilmFormat
from fxstudio.film.png import png_bytes
from fxstudio.film.rolling import Motion
from fxstudio.film.take import Take, telling_frames
from fxstudio.progress import Progress

RUNS, RUN = 3, 16
"""How many runs of frames are tried, and how many frames each has."""
POWER = 0.5
"""What a change costs grows with this power of it: a small one changes nearly as many pixels."""
PICTURES_TRIED = 5
"""Pictures of a folder that are tried."""
STILL = 0.1
"""What a frame costs whose light does not change, in changes of one frame on average."""
MOVED = 0.3
"""What a frame costs besides in which something moves."""


@dataclass(frozen=True, eq=False)
class Excerpt:
    """Some frames of a take, as frames for `quantised` again."""

    take: Take
    numbers: Sequence[int]

    @property
    def delays_cs(self) -> NDArray[np.int64]:
        """How long each stands, in 1/100 s."""
        return self.take.delays_cs[list(self.numbers)]

    @property
    def telling(self) -> list[int]:
        """Numbers, among these, of those that tell them apart."""
        some = list(self.numbers)
        return telling_frames(self.take.brightness.light[some], self.take.phases[some])

    @property
    def motion(self) -> Motion | None:
        """Which of their pixels move when."""
        whole = self.take.motion
        return whole and Motion(whole.pixels, whole.phases[list(self.numbers)])

    @property
    def strip(self) -> Strip | None:
        """What stands under them."""
        whole = self.take.strip
        if whole is None:
            return None
        return Strip(whole.colours, whole.height, lambda at: whole.numbers(self.numbers[at]))

    def frame(self, number: int) -> Bytes:
        """The picture of one of them, [h, w, 3]."""
        return self.take.frame(self.numbers[number])


def estimated_bytes(take: Take, kind: FilmFormat | None, progress: Progress) -> int:
    """About how large a film of this kind will be; None: all pictures of a folder together."""
    count = len(take.delays_cs)
    if kind is None:
        return _pictures(take, progress)

    def packed(numbers: Sequence[int], start: float, end: float) -> int:
        part = progress.part(start, end)
        return kind.size(Excerpt(take, numbers), take.shot.quality, part)

    if count <= RUNS * RUN:
        return packed(range(count), 0, 1)
    change = _change(take)
    runs = _runs(change)
    first = packed([0], 0, 0.1)
    firsts = packed([run[0] for run in runs], 0.1, 0.3)
    whole = packed([number for run in runs for number in run], 0.3, 1)
    tried = sum(float(change[run[1:]].sum()) for run in runs)
    return round(first + max(0, whole - firsts) * float(change[1:].sum()) / tried)


def _runs(change: Floats) -> list[NDArray[np.int64]]:
    """Numbers of the frames of each run: as much changes from the middle of one to the next."""
    done = np.cumsum(change) / change.sum()
    middles = np.searchsorted(done, (np.arange(RUNS) + 0.5) / RUNS)
    runs: list[NDArray[np.int64]] = []
    for at, middle in enumerate(middles):
        first = runs[-1][-1] + 1 if runs else 0
        last = len(change) - (RUNS - at) * RUN
        start = max(first, min(middle - RUN // 2, last))
        runs.append(np.arange(start, start + RUN))
    return runs


def _change(take: Take) -> Floats:
    """How much each frame changes from the one before, [frames]: 1 on average, never nothing."""
    light = take.brightness.light
    change: Floats = np.abs(np.diff(light, axis=0, prepend=light[:1])).sum(axis=1) ** POWER
    change = change / (change.mean() or 1.0)
    change += STILL + MOVED * (np.diff(take.phases, prepend=take.phases[:1]) != 0)
    return change


def _pictures(take: Take, progress: Progress) -> int:
    count = len(take.delays_cs)
    numbers = np.unique(np.linspace(0, count - 1, PICTURES_TRIED).astype(int))
    size = 0
    for done, number in enumerate(numbers, 1):
        size += len(png_bytes(take.whole(int(number))))
        progress.step(done, len(numbers))
    return round(size * count / len(numbers))
