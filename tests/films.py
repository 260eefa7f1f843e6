"""Films of any pictures, as several tests and benchmarks write them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fxstudio.film.gif import gif_bytes
from fxstudio.film.indexed.quantise import quantised
from fxstudio.film.quality import GOOD
from fxstudio.film.take import spread
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing


@dataclass(frozen=True)
class Pictures:
    """Frames from a function of their number."""

    frame: Callable[[int], np.ndarray]
    delays_cs: Sequence[int]
    sample: Sequence[int] | None = None

    @property
    def telling(self) -> Sequence[int]:
        """Those said, or some evenly spread."""
        return spread(len(self.delays_cs)) if self.sample is None else self.sample


@dataclass(frozen=True)
class Written:
    """A GIF that was written; colours in its table without that of transparent pixels."""

    bytes: int
    frames: int
    duration_s: float
    colours: int


def write_film(path, frame_at, delays_cs, sample=None, comment=None, progress=None) -> Written:
    """A GIF of the pictures that `frame_at` gives for their numbers."""
    progress = progress or Progress()
    shown = quantised(Pictures(frame_at, delays_cs, sample), GOOD, progress.part(0, 0.5))
    data = gif_bytes(shown, comment, progress.part(0.5, 1))
    progress.check()
    with replacing(path) as file:
        file.write(data)
    return Written(len(data), len(delays_cs), sum(map(int, delays_cs)) / 100, len(shown.colours))
