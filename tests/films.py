"""Films of any pictures, as several tests and benchmarks write them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fxstudio.film.gif import GifReport, write_gif
from fxstudio.film.quantise import quantised
from fxstudio.film.take import spread


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


def write_film(path, frame_at, delays_cs, sample=None, comment=None, progress=None) -> GifReport:
    """A GIF of the pictures that `frame_at` gives for their numbers."""
    shown = quantised(Pictures(frame_at, delays_cs, sample), progress)
    return write_gif(path, shown, comment, progress)
