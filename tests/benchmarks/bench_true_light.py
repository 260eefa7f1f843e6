"""How true the light of films is, and how small they are: read back from the files.

    python tests/benchmarks/bench_true_light.py [encoder]

Prints for each film the correlation of the light of the lit area with the true light, the ratio
of the standard deviations, the share of the frames that move when the light does, pixels that
change though they stand still, CIEDE2000 (mean, 95th and 99th percentile) and the size; 480 x 320,
25 frames a second. The films are all shipped effects, one lamp in four ways, and others by chance.
With the command of an outside general-purpose GIF encoder, one that takes `-o FILE` and PNG files
at quality 90, the same is printed of its films, and the ratios of the sizes and of the times on
the processor.
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as fxstudio itself does

import resource
import shutil
import subprocess
import tempfile
import warnings
from pathlib import Path
from time import process_time

import imageio.v3 as imageio
import numpy as np

from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.film.making import film
from fxstudio.film.take import Shot, Take
from fxstudio.film.timing import frame_times_s
from fxstudio.scenes.catalogue import SCENES

sys.path.append(str(Path(__file__).parent.parent))  # what the tests read films with
from films import lit_light, of_one_lamp
from published import read_gif

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

BY_CHANCE, SEED = 8, 20_261


def of_chance(chance: np.random.Generator, number: int) -> Effect:
    """An effect of up to three lamps in some scene."""
    scene = sorted(SCENES)[number % len(SCENES)]
    places = sorted(SCENES[scene].places)
    lamps = {}
    for lamp in range(chance.integers(1, 4)):
        lowest, highest = np.sort(chance.uniform(0.05, 1.0, 2)).round(2).tolist()
        style = str(chance.choice(["smooth", "hold"]))
        lamps[f"lamp{lamp}"] = {
            "output": lamp + 1,
            "key": "F1",
            "place": str(chance.choice(places)),
            "colour": {"temperature_k": int(chance.integers(1500, 3000))},
            "pattern": {
                "kind": "flicker",
                "style": style,
                "lowest": lowest,
                "highest": min(1.0, max(highest, lowest + 0.1)),
            },
        }
    on = {"at_s": 0.0, "travel": "forward", "keys": ["F1"]}
    return Effect.model_validate(
        {
            "title": f"by chance {number}",
            "scene": scene,
            "rate_hz": round(float(chance.uniform(1.5, 8)), 1),
            "lamps": lamps,
            "drive": {"length_s": 6.0, "steps": [on]},
        }
    )


def all_films() -> list[Effect]:
    chance = np.random.default_rng(SEED)
    return [
        *(read_effect(path) for path in shipped_effects().values()),
        of_one_lamp("cab", "flames", "smooth", 5.5, 0.1, 1.0),
        of_one_lamp("ashpan", "ashpan", "smooth", 3.2, 0.1, 1.0),
        of_one_lamp("cab", "bed", "smooth", 2.3, 0.1, 0.28),
        of_one_lamp("cab", "flames", "hold", 5.5, 0.1, 1.0),
        *(of_chance(chance, number) for number in range(BY_CHANCE)),
    ]


def ciede2000(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    lab = [colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb / 255)) for rgb in (one, two)]
    return colour.delta_E(*lab, method="CIE 2000")


def figures(true: np.ndarray, path: Path, times_s: np.ndarray) -> str:
    shown = read_gif(path).at(times_s)
    one, other = lit_light(true, shown)
    moving = np.abs(np.diff(one)) > 0.002 * np.ptp(one)
    moves = np.mean(np.diff(other)[moving] != 0)
    still = (true == true[0]).all(axis=(0, 3))
    uneasy = np.count_nonzero((shown[:, still] != shown[0, still]).any(axis=(0, 2)))
    error = ciede2000(*(film[::6].reshape(-1, 3)[::23] for film in (true, shown)))
    high, higher = np.percentile(error, (95, 99))
    return (
        f"{np.corrcoef(one, other)[0, 1]:.4f} {other.std() / one.std():6.3f} {moves:5.0%} "
        f"{uneasy:6} {error.mean():5.2f} {high:5.2f} {higher:5.2f} {path.stat().st_size / 1e3:6.0f}"
    )


def children_s() -> float:
    """Time on the processor of all processes that were begun and are done."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main(encoder: str | None) -> None:
    ratios, times = [], []
    print(f"{'':24} correl. ratio moves uneasy  mean   95%   99%     kB")
    with tempfile.TemporaryDirectory() as folder:
        ours, theirs = Path(folder, "ours.gif"), Path(folder, "theirs.gif")
        for effect in all_films():
            take = Take(effect, effect.shown_by, Shot())
            true = np.stack([take.frame(k) for k in range(len(take.delays_cs))])
            times_s = frame_times_s(take.delays_cs)
            start = process_time()
            film(effect, ours, accept_flashes=True)
            took = process_time() - start
            print(
                f"{effect.title[:24]:24} {figures(true, ours, times_s)}  {took:.1f} s", flush=True
            )
            if encoder:
                names = [Path(folder, f"{k:04}.png") for k in range(len(true))]
                for name, frame in zip(names, true, strict=True):
                    imageio.imwrite(name, frame, compress_level=1)
                options = ["--quality", "90", "--fps", "25", "-o", str(theirs)]
                start = children_s()
                subprocess.run(
                    [encoder, *options, *map(str, names)], check=True, capture_output=True
                )
                theirs_s = children_s() - start
                times.append(took / theirs_s)
                ratios.append(ours.stat().st_size / theirs.stat().st_size)
                print(
                    f"{'  the other encoder':24} {figures(true, theirs, times_s)}  {theirs_s:.1f} s"
                )
                print(f"{'  size':24} x {ratios[-1]:.2f}, time x {times[-1]:.2f}", flush=True)
    if ratios:
        print(f"size: x {np.median(ratios):.2f} in the median, x {max(ratios):.2f} at most")
        print(f"time: x {np.median(times):.2f} in the median, x {max(times):.2f} at most")
    else:
        print("another encoder: absent")


if __name__ == "__main__":
    main(shutil.which(sys.argv[1]) if sys.argv[1:] else None)
