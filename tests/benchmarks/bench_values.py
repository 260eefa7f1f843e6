"""How long the values for an effect take, beside a fixed piece of work in the same run.

    python tests/benchmarks/bench_values.py

The largest leaflet has eight outputs, each with eight settings of its own; `suit` goes over ten
decoders. Only the ratios mean anything: times hang on the machine. Aimed at: 100 ms and 1 s.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

import numpy as np

from fxstudio.decoder.leaflet.files import load_decoder, shipped
from fxstudio.decoder.move import suit
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import read_effect, shipped_effects

sys.path.append(str(Path(__file__).parent.parent))
from decoders import effect

FILES = Path(__file__).parent.parent / "decoder" / "leaflet" / "files"
LEAFLETS = {path.stem: load_decoder(path) for path in sorted(FILES.glob("*.toml"))}
SHIPPED = {name: load_decoder(name) for name in shipped()}

KINDS = (
    {"kind": "steady", "level": 0.3},
    {"kind": "flicker", "style": "hold", "lowest": 0.2},
    {"kind": "filament", "level": 0.8, "rise_s": 0.3, "fall_s": 0.5},
    {"kind": "flash", "lowest": 0.0},
)
EIGHT = effect(
    4.0,
    **{
        f"lamp {n}": {"output": n, "key": f"F{n - 1}", "pattern": KINDS[n % len(KINDS)]}
        for n in range(1, 9)
    },
)


def best_s(work, times: int = 5) -> float:
    """The shortest of some runs."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def fixed_work() -> None:
    """A sort of a million numbers: what all is measured against."""
    np.sort(np.random.default_rng(0).random(1_000_000))


def main() -> None:
    unit = best_s(fixed_work)
    every = SHIPPED | LEAFLETS
    twice = every | {f"{name} again": leaflet for name, leaflet in every.items()}
    ten = dict(list(twice.items())[:10])
    fire = read_effect(shipped_effects()["banked_fire"])
    works = {
        "compile, eight lamps on the largest leaflet": (
            lambda: compile_effect(EIGHT, LEAFLETS["tarn_end"]),
            0.1,
        ),
        "suit, ten decoders": (lambda: suit(fire, ten), 1.0),
    }
    for name, leaflet in every.items():
        if any(lamp.output in leaflet.output for lamp in fire.lamps.values()):
            work = partial(compile_effect, fire, leaflet)
            works[f"compile, the fire on {name}"] = (work, 0.1)
    print(f"a sort of a million numbers: {unit * 1e3:.0f} ms")
    for name, (work, aim_s) in works.items():
        took = best_s(work)
        print(f"{name}: {took * 1e3:.0f} ms, {took / unit:.1f} sorts; aim {aim_s * 1e3:.0f} ms")


if __name__ == "__main__":
    main()
