"""Pictures and traces of one effect under way. Knows nothing of pygame."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.film import Shot, renderer_for
from fxstudio.picture.render import Renderer
from fxstudio.picture.scene import Scene, draw_scene
from fxstudio.simulate import Brightness, Simulation
from fxstudio.window.calm_view import CalmLight

Frame = NDArray[np.uint8]
"""A picture [h, w, 3] in sRGB."""

SHOT = Shot()
"""Size and seed of the pictures: those of a film."""

_artist = ThreadPoolExecutor(1, "scene")
_scenes: dict[str, Future[Scene]] = {}


def _scene_ready(name: str, wait: bool) -> bool:
    """Whether a scene is drawn; drawing takes a second or so and goes on in a thread."""
    if name not in _scenes:
        _scenes[name] = _artist.submit(draw_scene, name, SHOT.width, SHOT.height)
    if wait:
        _scenes[name].result()
    return _scenes[name].done()


class Projector:
    """Shows one effect under one drive."""

    def __init__(self) -> None:
        self._simulation: Simulation | None = None
        self._renderer: Renderer | None = None
        self._drawn_for: tuple | None = None
        self._calm = CalmLight()
        self._drawn: dict[bytes, Frame] = {}
        self._mixer: Mixer | None = None

    def load(self, effect: Effect, drive: Drive) -> None:
        """Show `effect` under `drive` from now on; cheap if both are as before."""
        held = self._simulation
        if held is None or held.effect != effect or held.drive != drive:
            self._simulation = Simulation(effect, drive, SHOT.seed)

    @property
    def simulation(self) -> Simulation:
        """The loop that is shown."""
        assert self._simulation is not None, "load an effect first"
        return self._simulation

    def at(self, times_s: ArrayLike) -> Brightness:
        """The true brightness at `times_s` [n]."""
        return self.simulation.at(times_s)

    def light(self, film_s: float, now_s: float, calm: bool) -> NDArray[np.floating]:
        """The light [lamps] to show at `film_s`: the truth, or the calm view of it.

        `now_s` is the viewer's time, see `CalmLight`.
        """
        if not calm:
            self._calm = CalmLight()
            return self.at([film_s]).light[0]
        return self._calm.at(now_s, self.at(self._calm.times_s(film_s)).light)

    @property
    def settled(self) -> bool:
        """Whether the picture stays as it is as long as the time does."""
        return self._calm.settled

    def renderer(self, wait: bool = False) -> Renderer | None:
        """What draws the frames; None as long as the scene is being drawn."""
        effect = self.simulation.effect
        wanted = (
            effect.scene,
            *((effect.place(name), lamp.colour) for name, lamp in effect.lamps.items()),
        )
        if wanted != self._drawn_for:
            if not _scene_ready(effect.scene, wait):
                return None
            self._renderer = renderer_for(effect, SHOT.width, SHOT.height)
            self._drawn_for = wanted
            self._drawn.clear()
        return self._renderer

    def frame(self, film_s: float, now_s: float, calm: bool) -> Frame | None:
        """The picture [h, w, 3] at `film_s`; None as long as the scene is being drawn.

        The same array as before if nothing in it changed. The calm view's pictures are mixed
        from those at the ends of its lines: drawing only these takes a third of the work.
        """
        renderer = self.renderer()
        if renderer is None:
            return None
        if not calm:
            return self._draw(renderer, self.light(film_s, now_s, calm))
        light = self.at(self._calm.times_s(film_s)).light
        start, end, share = self._calm.line(now_s, light)
        first, last = self._draw(renderer, start), self._draw(renderer, end)
        if first is last:
            return first
        mixer = self._mixer
        if mixer is None or mixer.first is not first or mixer.last is not last:
            self._mixer = Mixer(first, last)
        return self._mixer.at(share)

    def _draw(self, renderer: Renderer, light: NDArray[np.floating]) -> Frame:
        """The picture of this light; the last two are kept."""
        key = light.tobytes()
        if key not in self._drawn:
            self._drawn[key] = renderer.frame(light)
            if len(self._drawn) > 2:
                del self._drawn[next(iter(self._drawn))]
        return self._drawn[key]


class Mixer:
    """Pictures between two others."""

    def __init__(self, first: Frame, last: Frame) -> None:
        self.first, self.last = first, last
        self._start = first + np.float32(0.5)
        self._way = last - first.astype(np.float32)
        self._mixed = np.empty_like(self._way)

    def at(self, share: float) -> Frame:
        """The picture at a share 0..1 of the way."""
        np.multiply(self._way, np.float32(share), out=self._mixed)
        np.add(self._mixed, self._start, out=self._mixed)
        return self._mixed.astype(np.uint8)
