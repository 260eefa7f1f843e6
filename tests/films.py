"""Films of any pictures, as several tests and benchmarks write them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fxstudio.colour import luminance, srgb_decode
from fxstudio.effect.model import Effect
from fxstudio.film.captions.strip import Strip
from fxstudio.film.gif import write_gif
from fxstudio.film.indexed.quantise import quantised
from fxstudio.film.quality import GOOD
from fxstudio.film.rolling import Motion
from fxstudio.film.take import spread
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing


@dataclass(frozen=True)
class Pictures:
    """Frames from a function of their number."""

    frame: Callable[[int], np.ndarray]
    delays_cs: Sequence[int]
    sample: Sequence[int] | None = None
    strip: Strip | None = None
    motion: Motion | None = None

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
    with replacing(path) as file:
        write_gif(shown, file, comment, progress.part(0.5, 1))
        progress.check()
    return Written(
        path.stat().st_size, len(delays_cs), sum(map(int, delays_cs)) / 100, len(shown.colours)
    )


def of_one_lamp(scene, place, style, rate_hz, lowest, highest, length_s=6.0) -> Effect:
    """An effect of one lamp that flickers in a place of a scene."""
    pattern = {"kind": "flicker", "style": style, "lowest": lowest, "highest": highest}
    lamp = {
        "output": 4,
        "key": "F1",
        "place": place,
        "colour": {"temperature_k": 1900},
        "pattern": pattern,
    }
    on = {"at_s": 0.0, "travel": "forward", "keys": ["F1"]}
    return Effect.model_validate(
        {
            "title": f"{style} {rate_hz:g} a second, {place}",
            "scene": scene,
            "rate_hz": rate_hz,
            "lamps": {"lamp": lamp},
            "drive": {"length_s": length_s, "steps": [on]},
        }
    )


LINEAR = srgb_decode(np.arange(256) / 255)

LIT = 0.1
"""A pixel is lit where its light swings by this share of the largest swing in the picture."""


def lit_light(*films: np.ndarray) -> list[np.ndarray]:
    """Mean relative luminance [n] of the lit area of films [n, h, w, 3], lit as in the first."""
    low, high = (luminance(LINEAR[edge]) for edge in (films[0].min(axis=0), films[0].max(axis=0)))
    lit = high - low >= LIT * (high - low).max()
    return [np.array([luminance(LINEAR[frame[lit]]).mean() for frame in film]) for film in films]
