"""How long `fxstudio --help` takes, as a ratio to importing numpy. Wanted: below 1.5."""

from __future__ import annotations

import subprocess
import sys
import time

RUNS = 15


def fastest(*calls: tuple[str, ...]) -> list[float]:
    """Shortest wall time in s of each Python process, run in turn: a slow spell meets all."""

    def once(arguments: tuple[str, ...]) -> float:
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - start

    rounds = [[once(call) for call in calls] for _ in range(RUNS)]
    return [min(times) for times in zip(*rounds, strict=True)]


if __name__ == "__main__":
    numpy_s, help_s = fastest(("-c", "import numpy"), ("-m", "fxstudio", "--help"))
    print(f"--help {1000 * help_s:.0f} ms, import numpy {1000 * numpy_s:.0f} ms")
    print(f"ratio {help_s / numpy_s:.2f}")
