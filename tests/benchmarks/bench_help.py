"""How long help takes, as a ratio to importing typer.

Wanted: below 1.5 for `fxstudio --help`, which loads the table of commands alone, and below 5 for
the help of one command, which loads its options and the colours of the terminal.
"""

from __future__ import annotations

import subprocess
import sys
import time

from fxstudio.cli.commands import BY_NAME

RUNS = 7
HELPS = ((), *((name,) for name in BY_NAME))


def fastest(*calls: tuple[str, ...]) -> list[float]:
    """Shortest wall time in s of each Python process, run in turn: a slow spell meets all."""

    def once(arguments: tuple[str, ...]) -> float:
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)
        return time.perf_counter() - start

    rounds = [[once(call) for call in calls] for _ in range(RUNS)]
    return [min(times) for times in zip(*rounds, strict=True)]


if __name__ == "__main__":
    typer_s, *helps_s = fastest(
        ("-c", "import typer"), *(("-m", "fxstudio", *words, "--help") for words in HELPS)
    )
    print(f"import typer {1000 * typer_s:.0f} ms")
    for words, help_s in zip(HELPS, helps_s, strict=True):
        print(f"{' '.join(words)} --help {1000 * help_s:.0f} ms, ratio {help_s / typer_s:.2f}")
