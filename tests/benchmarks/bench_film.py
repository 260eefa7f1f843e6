"""How fast, small and true a film is, beside imageio's own way of writing the same frames.

    python tests/benchmarks/bench_film.py [effect ...]

Without names it films three lamps in the cab: 480 x 320, 6 s, 25 frames a second. Only the
ratios mean anything: times hang on the machine. CIEDE2000 (ISO/CIE 11664-6) by colour-science.
"""

from __future__ import annotations

import sys
import tempfile
import time
import warnings
from pathlib import Path

import imageio.v3 as imageio
import numpy as np

from fxstudio.editing.document import NEW_EFFECT
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.model import Effect
from fxstudio.film.take import renderer_for, telling_frames
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.light.simulation import Simulation

sys.path.append(str(Path(__file__).parent.parent))  # what the tests read films with
from films import write_film
from published import read_gif

THREE_LAMPS = {
    **NEW_EFFECT,
    "title": "Three lamps",
    "lamps": {
        **NEW_EFFECT["lamps"],
        "door": {
            "output": 5,
            "key": "F3",
            "colour": {"temperature_k": 2100},
            "pattern": {"kind": "flicker", "style": "smooth", "lowest": 0.2, "highest": 0.7},
        },
    },
}


def seconds(*works) -> list[float]:
    """Shortest of three times on the wall for each piece of work, taken in turn."""
    times = []
    for work in [*works] * 3:
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return [min(times[n :: len(works)]) for n in range(len(works))]


def ciede2000(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        lab = [colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb / 255)) for rgb in (one, two)]
        return colour.delta_E(*lab, method="CIE 2000")


def compare(effect: Effect, folder: Path) -> None:
    delays = frame_delays(25, effect.shown_by.length_s)
    light = Simulation(effect, effect.shown_by, 1).at(frame_times_s(delays)).light
    renderer = renderer_for(effect, 480, 320)
    ours, theirs = folder / "ours.gif", folder / "theirs.gif"

    frames = [renderer.frame(row) for row in light]

    def film():
        telling = telling_frames(light)
        return write_film(ours, lambda n: renderer.frame(light[n]), delays, sample=telling)

    def plain():
        imageio.imwrite(theirs, frames, duration=40, loop=0)

    film_s, plain_s = seconds(film, plain)
    report = film()

    print(f"{effect.title}: {report.frames} frames, {report.duration_s:g} s")
    print(f"  time   {film_s:6.2f} s  to {plain_s:6.2f} s : {plain_s / film_s:.1f} times faster")
    sizes = [path.stat().st_size / 1e6 for path in (ours, theirs)]
    print(f"  size   {sizes[0]:6.2f} MB to {sizes[1]:6.2f} MB", end="")
    print(f" : {sizes[1] / sizes[0]:.1f} times smaller")
    looked = np.stack(frames)[::10].reshape(-1, 3)[::17]
    for name, path in (("ours", ours), ("plain", theirs)):
        error = ciede2000(
            looked, read_gif(path).at(frame_times_s(delays))[::10].reshape(-1, 3)[::17]
        )
        high = np.percentile(error, 95)
        print(f"  colour {name:6} CIEDE2000 mean {error.mean():.2f}, 95th percentile {high:.2f}")


def main(names: list[str]) -> None:
    effects = [read_effect(find_effect(name)) for name in names]
    with tempfile.TemporaryDirectory() as folder:
        for effect in effects or [Effect.model_validate(THREE_LAMPS)]:
            compare(effect, Path(folder))


if __name__ == "__main__":
    main(sys.argv[1:])
