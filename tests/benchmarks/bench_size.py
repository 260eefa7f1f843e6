"""How good the trial of a film's size is: its guess over the true size, and its share of the time.

Wanted: 0.7 to 1.3. `python tests/benchmarks/bench_size.py .webp .gif`; without formats, of all.
"""

from __future__ import annotations

import sys
import time

from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.film.choices.estimate import estimated_bytes
from fxstudio.film.formats import FORMATS
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress

SIZE = 300, 200


def trial(name: str, ending: str) -> tuple[float, float]:
    """The guess over the true size, and the seconds it took over those of the film."""
    effect, kind = read_effect(shipped_effects()[name]), FORMATS[ending]
    take = Take(effect, effect.shown_by, Shot(*SIZE))
    take.frame(0)  # the scene is drawn before the clock runs
    begun = time.perf_counter()
    guess = estimated_bytes(take, kind, Progress())
    between = time.perf_counter()
    size = kind.size(take, take.shot.quality, Progress())
    ended = time.perf_counter()
    return guess / size, (between - begun) / (ended - between)


if __name__ == "__main__":
    endings = sys.argv[1:] or [end for end, kind in FORMATS.items() if kind.usable]
    for name in shipped_effects():
        for ending in endings:
            off, share = trial(name, ending)
            print(f"{name:16} {ending:6} size {off:.2f}, time {share:.2f}", flush=True)
