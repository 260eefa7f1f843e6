"""Pictures and traces of one effect under way. Knows nothing of pygame."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor

from numpy.typing import ArrayLike

from fxstudio.arrays import Floats
from fxstudio.editing.calm_view import CalmView, Frame, mean_times_s
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.film.rolling import Rolling, phase_of
from fxstudio.film.take import Shot, renderer_for
from fxstudio.light.simulation import Brightness, Simulation
from fxstudio.scenes.catalogue import Scene, SceneRow, draw_scene
from fxstudio.scenes.render import Renderer

SHOT = Shot()
"""Size and seed of the pictures: those of a film."""


class Artist:
    """Draws scenes in a thread, for that takes a second or so; as large as `shot` says."""

    def __init__(self, shot: Shot = SHOT) -> None:
        self.shot = shot
        self._pool = ThreadPoolExecutor(1, "scene")
        self._scenes: dict[SceneRow, Future[Scene]] = {}
        self._moving: dict[SceneRow, Future[object]] = {}

    def has_drawn(self, row: SceneRow, wait: bool = False) -> bool:
        """Whether a scene is drawn; the first who asks lets it be drawn."""
        if row not in self._scenes:
            self._scenes[row] = self._pool.submit(
                draw_scene, row, self.shot.width, self.shot.height
            )
        if wait:
            self._scenes[row].result()
        return self._scenes[row].done()

    def has_drawn_moving(self, row: SceneRow, wait: bool = False) -> bool:
        """Whether what moves in a scene is drawn as well; the first who asks lets it be."""
        if not self.has_drawn(row, wait):
            return False
        scene = self._scenes[row].result()
        if row not in self._moving:
            self._moving[row] = self._pool.submit(lambda: scene.moving)
        if wait:
            self._moving[row].result()
        return self._moving[row].done()


class Projector:
    """Shows one effect under one drive, once `artist` has drawn its scene."""

    def __init__(self, artist: Artist) -> None:
        self._artist = artist
        self._simulation: Simulation | None = None
        self._renderer: Renderer | None = None
        self._drawn_for: tuple[object, ...] | None = None
        self._calm = CalmView()
        self._drawn: tuple[tuple[object, ...], Frame] | None = None
        self._turned = self._turned_before = 0.0
        self._awaited = False

    def load(self, effect: Effect, drive: Drive) -> None:
        """Show `effect` under `drive` from now on; cheap if both are as before."""
        held = self._simulation
        if held is None or held.effect != effect or held.drive != drive:
            self._simulation = Simulation(effect, drive, self._artist.shot.seed)
            if held is None or held.drive != drive:
                self._drive(drive, own=drive == effect.drive)

    def _drive(self, drive: Drive, own: bool) -> None:
        """Let the wheels turn under `drive`, from where they stand or as in a film of their own."""
        self._rolling = Rolling(drive)
        self._goes_on = not own
        self._turned_before = 0.0

    def phase(self, film_s: float, wait: bool = False) -> int:
        """The phase at `film_s` of what moves in the scene, which is drawn; 0 until that is too."""
        setting = self.simulation.effect.setting
        turned = float(self._rolling.turned(film_s))
        if self._goes_on:
            self._turned_before, self._goes_on = self._turned - turned, False
        self._turned = self._turned_before + turned
        phase = int(phase_of(self._turned)) if setting.move else 0
        self._awaited = phase > 0 and not self._artist.has_drawn_moving(setting, wait)
        return 0 if self._awaited else phase

    @property
    def simulation(self) -> Simulation:
        """The loop that is shown."""
        assert self._simulation is not None, "load an effect first"
        return self._simulation

    def at(self, times_s: ArrayLike) -> Brightness:
        """The true brightness at `times_s` [n]."""
        return self.simulation.at(times_s)

    def light(self, film_s: float, calm: bool) -> Floats:
        """The light [lamps] at `film_s`: the truth, or the mean that the calm view shows."""
        times_s = mean_times_s(film_s) if calm else [film_s]
        light: Floats = self.at(times_s).light.mean(axis=0)
        return light

    @property
    def settled(self) -> bool:
        """Whether the picture stays as it is as long as the time does."""
        return self._calm.settled and not self._awaited

    def renderer(self, wait: bool = False) -> Renderer | None:
        """What draws the frames; None as long as the scene is being drawn."""
        effect = self.simulation.effect
        wanted = (
            effect.setting,
            *((effect.place(name), lamp.colour) for name, lamp in effect.lamps.items()),
        )
        if wanted != self._drawn_for:
            if not self._artist.has_drawn(effect.setting, wait):
                return None
            shot = self._artist.shot
            self._renderer = renderer_for(effect, shot.width, shot.height)
            self._drawn_for = wanted
        return self._renderer

    def frame(self, film_s: float, now_s: float, calm: bool) -> Frame | None:
        """The picture [h, w, 3] at `film_s`; None as long as the scene is being drawn.

        The same array as before if nothing in it changed. `now_s` is the viewer's time, see
        `CalmView`; the calm view keeps its last picture while another scene is being drawn.
        """
        renderer = self.renderer()
        if not calm:
            self._calm = CalmView()
        if renderer is None:
            return self._calm.hold(now_s)
        light = self.light(film_s, calm)
        phase = self.phase(film_s)
        wanted = self._drawn_for, light.tobytes(), phase
        if calm:
            return self._calm.at(now_s, wanted, lambda: renderer.frame(light, phase))
        if self._drawn is None or self._drawn[0] != wanted:
            self._drawn = wanted, renderer.frame(light, phase)
        return self._drawn[1]
