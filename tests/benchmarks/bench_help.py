"""How long help takes, as a ratio to importing numpy.

Wanted: below 1.5 for `fxstudio --help`, which loads the table of commands alone. The help of one
command loads what the command loads: numpy, the models of files and the colours of the terminal.
"""

from __future__ import annotations

import subprocess
import sys
import time

RUNS = 15
HELPS = (("--help",), ("wires", "--help"), ("film", "--help"))


def fastest(*calls: tuple[str, ...]) -> list[float]:
    """Shortest wall time in s of each Python process, run in turn: a slow spell meets all."""

    def once(arguments: tuple[str, ...]) -> float:
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - start

    rounds = [[once(call) for call in calls] for _ in range(RUNS)]
    return [min(times) for times in zip(*rounds, strict=True)]


if __name__ == "__main__":
    numpy_s, *helps_s = fastest(
        ("-c", "import numpy"), *(("-m", "fxstudio", *words) for words in HELPS)
    )
    print(f"import numpy {1000 * numpy_s:.0f} ms")
    for words, help_s in zip(HELPS, helps_s, strict=True):
        print(f"{' '.join(words)} {1000 * help_s:.0f} ms, ratio {help_s / numpy_s:.2f}")
