"""How much of one core the window needs. Wanted: below 0.25 animating at 30 frames a second,
below 0.02 paused; a frame at 60 frames a second below 1.0 of its time.

    python tests/benchmarks/bench_window.py [seconds]

Draws into memory unless SDL_VIDEODRIVER says otherwise (x11 under Xvfb, say). Shares hang on
the machine and on what else it does.
"""

from __future__ import annotations

import os
import sys
import threading
import time

for _name in ("OPENBLAS", "OMP", "MKL", "VECLIB"):
    os.environ.setdefault(f"{_name}_NUM_THREADS", "1")
os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame  # noqa: E402

from fxstudio.editing.studio import Studio  # noqa: E402
from fxstudio.effect.files import find_effect  # noqa: E402
from fxstudio.window.app import App  # noqa: E402

EFFECT, DECODER = "banked_fire", "withybank_glim"
FRAMES = 120

VIEWS = {
    "true view": {},
    "calm view": {"calm": True},
    "true view, wish beside it": {"decoder": True, "beside": True},
    "calm view, wish beside it": {"calm": True, "decoder": True, "beside": True},
}


def window(calm: bool = False, decoder: bool = False, beside: bool = False) -> App:
    """A window that shows the effect, its scene drawn; `beside` with the wish beside it."""
    studio = Studio()
    studio.document.open(find_effect(EFFECT))
    studio.begin()
    if decoder:
        studio.use_decoder(DECODER)
        studio.show_beside(beside)
    studio.caution_read, studio.calm = True, calm
    app = App(studio, (1280, 820))
    studio.seen_projector.renderer(wait=True)
    studio.wish_projector.renderer(wait=True)
    app.step(pygame.event.get(), 0.0)
    app.step([], 0.0)
    return app


def frame_ms(app: App) -> float:
    """Processor time of one frame in ms."""
    start = time.process_time()
    for _ in range(FRAMES):
        app.step([], 1 / 60)
    return 1e3 * (time.process_time() - start) / FRAMES


def share(app: App, seconds: float) -> float:
    """Share of one core that the running window takes."""
    quit_event = pygame.event.Event(pygame.QUIT)
    start, end = (0.0, 0.0), (0.0, 0.0)

    def note() -> tuple[float, float]:
        return time.perf_counter(), time.process_time()

    def watch() -> None:
        nonlocal start, end
        time.sleep(1.0)  # what opening costs is not asked for
        start = note()
        time.sleep(seconds)
        end = note()
        pygame.event.post(quit_event)

    threading.Thread(target=watch).start()
    app.run()
    return (end[1] - start[1]) / (end[0] - start[0])


def edit_ms(app: App) -> float:
    """Processor time in ms of one edit with all that follows: values, page, drawing."""
    start = time.process_time()
    for number in range(40):
        app.studio.set_lamp("pattern.level", 0.3 + number / 100)
        app.step([], 0.0)
    return 1e3 * (time.process_time() - start) / 40


def main() -> None:
    """Measure and tell."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    print(f"driver {os.environ['SDL_VIDEODRIVER']}, pygame {pygame.version.ver}")
    for name, what in VIEWS.items():
        app = window(**what)
        own = frame_ms(app)
        print(f"{name}: {own:.1f} ms a frame, {own * 60 / 1e3:.2f} of a 60th of a second")
        print(f"{name}: {share(app, seconds):.3f} of a core at 30 frames a second")
    app = window()
    app.studio.pause(True)
    app.step([], 0.0)
    print(f"paused: {share(app, seconds):.4f} of a core")
    print(
        f"an edit: {edit_ms(window()):.0f} ms; with a decoder {edit_ms(window(decoder=True)):.0f}"
    )


if __name__ == "__main__":
    main()
