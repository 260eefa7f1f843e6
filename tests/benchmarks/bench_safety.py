"""What flash analysis costs, as a share of filming.

Run: python tests/benchmarks/bench_safety.py
Goal: below 0.35. Every pixel is judged, and the search for the size at which a film still passes
is part of it. In the last rows all of the picture flashes, in the last too slowly to fail.
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as fxstudio itself does

import tempfile
from pathlib import Path
from time import process_time

import numpy as np

from fxstudio.effect.files import find_effect, read_effect
from fxstudio.film.indexed.quantise import quantised
from fxstudio.film.take import renderer_for
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.flashes.verdict import judge
from fxstudio.light.simulation import Simulation

sys.path.append(str(Path(__file__).parent.parent))  # what the tests make films with
from films import Pictures, write_film

FPS, WIDTH, HEIGHT = 25, 480, 320


def fastest(work, times=3):
    """Least time of the processor for `work` in s: what else the machine does only adds."""
    took = []
    for _ in range(times):
        start = process_time()
        work()
        took.append(process_time() - start)
    return min(took)


def scene(name):
    """Frames of a shipped effect."""
    effect = read_effect(find_effect(name))
    delays = frame_delays(FPS, effect.shown_by.length_s)
    renderer = renderer_for(effect, WIDTH, HEIGHT)
    light = Simulation(effect, effect.shown_by, 1).at(frame_times_s(delays)).light
    return delays, lambda k: renderer.frame(light[k])


def whole_picture(levels):
    """Every pixel goes up and down with `levels` [n], in colours of its own."""
    x = np.linspace(0, 1, WIDTH * HEIGHT).reshape(HEIGHT, WIDTH)

    def frame(k):
        red = 255 * (0.3 + 0.7 * levels[k] * (0.5 + 0.5 * x))
        return np.stack([red, 250 * x * levels[k], 40 * (1 - levels[k]) + 0 * x], -1).astype("u1")

    return np.full(len(levels), 4), frame


def measure(delays, frame):
    """Seconds to film without analysis, and seconds of analysis alone."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "film.gif"
        film_s = fastest(lambda: write_film(path, frame, delays))
    shown = quantised(Pictures(frame, delays))
    return film_s, fastest(lambda: judge(shown.numbers, shown.colours, delays).summary)


def main():
    """One line for each picture."""
    names = ("banked_fire", "firehole_door", "flashing_tail", "twin_flicker")
    pictures = {name: scene(name) for name in names}
    pictures["quick and wide"] = whole_picture(np.random.default_rng(1).random(150))
    pictures["slow and wide"] = whole_picture(0.5 + 0.5 * np.cos(np.arange(150) * np.pi / 6.25))
    for name, (delays, frame) in pictures.items():
        film_s, judge_s = measure(delays, frame)
        print(f"{name:14} {len(delays)} frames: analysis / filming = {judge_s / film_s:.2f}")


if __name__ == "__main__":
    main()
