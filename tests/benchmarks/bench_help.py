"""How long `fxstudio --help` takes, as a ratio to importing numpy. Wanted: below 1.5."""

from __future__ import annotations

import subprocess
import sys
import time

RUNS = 15


def fastest(*arguments: str) -> float:
    """Shortest wall time in s of a Python process over some runs."""

    def once() -> float:
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - start

    return min(once() for _ in range(RUNS))


if __name__ == "__main__":
    numpy_s = fastest("-c", "import numpy")
    help_s = fastest("-m", "fxstudio", "--help")
    print(f"--help {1000 * help_s:.0f} ms, import numpy {1000 * numpy_s:.0f} ms")
    print(f"ratio {help_s / numpy_s:.2f}")
