"""How true photographs are taken apart, and how long that takes.

Random scenes are photographed by hand (exposure, white balance, sRGB and Display P3, noise, blur,
JPEG, shifts and turns, clipped cores) and taken apart again; the table holds them against the
light that they were made of. Wanted: mean CIEDE2000 at most 2 with EXIF and 3 without, the scale of
each lamp within 3 % and 8 %, registration within half a pixel. Then four photographs of 12
megapixels, as a ratio to decoding them once; wanted: 15 s and 1 GB.

python tests/benchmarks/bench_photographs.py [CASES]
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1]))

from scenes.photograph.camera import Camera, packed, random_model
from scenes.photograph.truth import case

from fxstudio.errors import FxError
from fxstudio.scenes.photograph.apart import take_apart
from fxstudio.scenes.photograph.reading import read_photograph

CASES = 200
LARGE_PX = (4000, 3000)
AIMS = {True: (2.0, 0.03, 0.5), False: (3.0, 0.08, 0.5)}


def truth(folder: Path, cases: int) -> None:
    """Print the table of random cases."""
    print(f"{cases} cases          mean    median   95 %     most     within the aim")
    for exif, aims in AIMS.items():
        rows, refused = [], []
        for seed in range(cases):
            try:
                found = case(folder, seed, exif)
            except FxError as error:
                refused.append(f"  case {seed} was refused: {error.problem.split('/')[0]}")
                continue
            rows.append((found.delta_e, found.scale, found.registration_px))
        print("with EXIF" if exif else "without EXIF")
        for name, values, aim in zip(NAMES, np.array(rows).T, aims, strict=True):
            figures = (values.mean(), np.median(values), np.quantile(values, 0.95), values.max())
            kept = (values <= aim).sum()
            print(f"  {name:16s}", *(f"{figure:8.3f}" for figure in figures), f"  {kept}/{cases}")
        print(*refused, sep="\n", end="\n" if refused else "")


NAMES = ("CIEDE2000", "scale of a lamp", "registration px")


def speed(folder: Path) -> None:
    """Print how long four large photographs take, as a ratio to decoding them, and the memory."""
    rng = np.random.default_rng(1)
    model = random_model(rng, (800, 600), ("bed", "flames", "lamp"))
    files = {}
    for name in ("off", *model.lamps):
        light = model.room if name == "off" else model.state(**{name: 1.0})
        camera = Camera(noise=0.001, photons=5000, shift=(0.004 * (name == "bed"), 0.0))
        small = camera.picture(light, model.size, rng)
        files[name] = folder / f"large_{name}.jpg"
        files[name].write_bytes(packed(small.resize(LARGE_PX, Image.Resampling.BICUBIC), camera))
    start = time.perf_counter()
    for file in files.values():
        with Image.open(file) as image:
            image.load()
    decoding_s = time.perf_counter() - start
    start = time.perf_counter()
    taken = {name: read_photograph(file) for name, file in files.items()}
    off = taken.pop("off")
    take_apart(off, taken)
    apart_s = time.perf_counter() - start
    most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    print(
        f"four photographs of 12 megapixels: {apart_s:.1f} s, {apart_s / decoding_s:.1f} times "
        f"decoding them; at most {most_mb:.0f} MB in all"
    )


def main() -> None:
    """Print both."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else CASES
    with tempfile.TemporaryDirectory() as folder:
        speed(Path(folder))
        truth(Path(folder), cases)


if __name__ == "__main__":
    main()
