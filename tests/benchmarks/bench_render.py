"""How long a frame takes, and its ratio to plain numpy. Wanted: 480 x 320 below 3 ms."""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import time
from collections.abc import Callable

import numpy as np

from fxstudio.colour import lamp_rgb, srgb8, temperature_to_xyz, wavelength_to_xyz
from fxstudio.scenes.catalogue import SCENES, draw_scene, find_scene
from fxstudio.scenes.render import Renderer, tone_curve

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
        maps = np.stack([scene.light[place] for place in PLACES]).astype(float)
        maps *= COLOURS[:, :, None, None]

        def quick(renderer: Renderer = renderer) -> None:
            for _ in renderer.frames(rows):
                pass

        def plain(maps: np.ndarray = maps, ambient: np.ndarray = scene.ambient) -> None:
            light = ambient + np.tensordot(rows[0], maps, 1)
            largest = light.max(axis=0)
            srgb8(np.moveaxis(light * tone_curve(largest) / largest, 0, -1))

        frame_ms, plain_ms = fastest_ms(quick, FRAMES), fastest_ms(plain, 1)
        print(
            f"{width:4d} x {height:<4d} {frame_ms:8.2f} {plain_ms:10.1f} "
            f"{plain_ms / frame_ms:7.1f} {drawing_s:11.2f}"
        )
    for name in SCENES:
        start = time.perf_counter()
        SCENES[name].draw(480, 320)
        print(f"drawing {name} at 480 x 320: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
