"""How long a frame takes, and its ratio to plain numpy: one float32 product, one 16-bit look-up.

The plain way has no tone curve. Wanted: 480 x 320 below 3 ms, 960 x 640 at 0.7 times the plain way.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import time
from collections.abc import Callable

import numpy as np

from fxstudio.colour import lamp_rgb, temperature_to_xyz, wavelength_to_xyz
from fxstudio.scenes.catalogue import SCENES, draw_scene, find_scene
from fxstudio.scenes.render import CODE_STEPS, CODES, Renderer

RUNS, FRAMES = 7, 20
SIZES = ((240, 160), (480, 320), (960, 640))
PLACES = ("bed", "flames", "door")
COLOURS = np.stack([lamp_rgb(wavelength_to_xyz(605)), *2 * [lamp_rgb(temperature_to_xyz(1900))]])


def fastest_ms(work: Callable[[], object], count: int) -> float:
    """Shortest time in ms of one of the `count` pieces of `work`, over some runs."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000 * min(times) / count


def main() -> None:
    """Print the table."""
    rows = np.random.default_rng(1).random((FRAMES, len(PLACES)))
    print("size        frame ms   plain ms   ratio   drawing s")
    for width, height in SIZES:
        start = time.perf_counter()
        scene = draw_scene(find_scene("cab"), width, height)
        drawing_s = time.perf_counter() - start
        renderer = Renderer(scene, PLACES, COLOURS)
        maps = [scene.ambient] + [
            scene.light[place] * rgb[:, None, None].astype(np.float32)
            for place, rgb in zip(PLACES, COLOURS, strict=True)
        ]
        maps = np.stack(maps).reshape(len(maps), -1) * np.float32(CODE_STEPS / 4)

        def quick(renderer: Renderer = renderer) -> None:
            for _ in renderer.frames(rows):
                pass

        def plain(maps: np.ndarray = maps) -> None:
            for row in rows:
                light = np.append(1, row).astype(np.float32) @ maps
                CODES.take(light.astype(np.uint16))

        frame_ms, plain_ms = fastest_ms(quick, FRAMES), fastest_ms(plain, FRAMES)
        print(
            f"{width:4d} x {height:<4d} {frame_ms:8.2f} {plain_ms:10.1f} "
            f"{frame_ms / plain_ms:7.2f} {drawing_s:11.2f}"
        )
    for name in SCENES:
        start = time.perf_counter()
        SCENES[name].draw(480, 320)
        print(f"drawing {name} at 480 x 320: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
