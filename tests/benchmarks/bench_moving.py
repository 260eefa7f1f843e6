"""What wheels, rods and sleepers add to a film: sizes with them over sizes without.

Wanted: at most 1.5 for each shipped effect. `python tests/benchmarks/bench_moving.py .gif .webp`;
without formats, of GIFs; 480 x 320, 25 frames a second. Printed besides: turns of the wheels in the
loop, and pixels that move. Effects whose scene has nothing that moves are left out.
"""

from __future__ import annotations

import sys
from dataclasses import replace

from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.film.formats import FORMATS
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress

MOST = 1.5


def sizes(take: Take, ending: str) -> tuple[int, int]:
    """Bytes with and without what moves."""
    with_it, without = (
        FORMATS[ending].size(each, each.shot.quality, Progress())
        for each in (take, replace(take, still=True))
    )
    return with_it, without


if __name__ == "__main__":
    largest = 0.0
    for name, path in shipped_effects().items():
        effect = read_effect(path)
        take = Take(effect, effect.shown_by, Shot())
        if take.motion is None:
            continue
        changes = int((take.phases[1:] != take.phases[:-1]).sum())
        for ending in sys.argv[1:] or [".gif"]:
            moving, still = sizes(take, ending)
            largest = max(largest, moving / still)
            print(
                f"{name:22} {ending:6} {still / 1e3:6.0f} -> {moving / 1e3:6.0f} kB, "
                f"{moving / still:.2f} x; {changes} of {len(take.phases)} frames move, "
                f"{len(take.motion.pixels)} pixels",
                flush=True,
            )
    print(f"largest {largest:.2f} x, wanted at most {MOST}")
