"""How long a large description takes, as ratios to a small one in the same run.

Wanted: reading grows no faster than the number of parts of all cells; what one output does takes
no longer than in proportion to the cells that concern it.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from fxstudio.decoder.leaflet.evaluator import does
from fxstudio.decoder.leaflet.files import load_decoder, shipped
from fxstudio.decoder.leaflet.model import Leaflet

RUNS = 7
SMALL = shipped()["withybank_glim"]
LARGE = Path(__file__).parent / "bramble_tor.toml"


def fastest(work: Callable[[], object]) -> float:
    """Shortest of several times in s."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def parts(leaflet: Leaflet) -> int:
    """The number of parts of all its cells."""
    return sum(len(cell.parts) for cell in leaflet.cells.values())


def every_output(leaflet: Leaflet) -> None:
    """See what each output does as delivered, a hundred times."""
    for _ in range(100):
        for number in leaflet.output:
            does(leaflet, number, {})


if __name__ == "__main__":
    small, large = load_decoder(SMALL), load_decoder(LARGE)
    read = [fastest(lambda path=path: load_decoder(path)) for path in (SMALL, LARGE)]
    print(
        f"reading {1000 * read[1]:.0f} ms, ratio {read[1] / read[0]:.1f} "
        f"for {parts(large) / parts(small):.1f} times the parts"
    )
    done = [
        fastest(lambda leaflet=leaflet: every_output(leaflet)) / len(leaflet.output) / 100
        for leaflet in (small, large)
    ]
    concerned = [
        sum(map(len, leaflet.concerned.values())) / len(leaflet.output)
        for leaflet in (small, large)
    ]
    print(
        f"one output {1e6 * done[1]:.0f} us, ratio {done[1] / done[0]:.1f} "
        f"for {concerned[1] / concerned[0]:.1f} times the cells"
    )
