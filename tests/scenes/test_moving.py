"""What moves in a scene: only that, each phase like the next, and the right way round."""

from __future__ import annotations

import numpy as np
import pytest

from fxstudio.scenes.catalogue import SCENES, draw_scene, find_scene
from fxstudio.scenes.drawn.moving import PHASES
from fxstudio.scenes.drawn.side import AXLE, WHEELS, crank
from fxstudio.scenes.render import Renderer

SIZE = 240, 160
MOVING = [name for name, row in SCENES.items() if row.move]


def renderer(name: str) -> Renderer:
    scene = draw_scene(find_scene(name), *SIZE)
    return Renderer(scene, list(scene.light), np.ones((len(scene.light), 3)))


@pytest.mark.parametrize("name", MOVING)
def test_only_what_moves_changes_and_only_a_little_from_phase_to_phase(name):
    drawn = renderer(name)
    light = np.full(len(drawn.scene.light), 0.3)
    frames = np.stack([drawn.frame(light, phase) for phase in range(PHASES)]).astype(int)
    moves = np.zeros(SIZE[::-1], bool)
    moves.flat[drawn.scene.moving.pixels] = True
    changed = (frames != frames[0]).any(axis=(0, 3))
    assert changed.any()
    assert not (changed & ~moves).any()
    off = np.abs(frames - np.roll(frames, 1, axis=0)).mean(axis=(1, 2, 3))
    assert off.max() < 2.5 * np.median(off)  # no seam from the last to the first


@pytest.mark.parametrize("name", MOVING)
def test_a_phase_has_the_light_of_the_scene_where_it_is_as_drawn(name):
    scene = draw_scene(find_scene(name), *SIZE)
    for whole, moving in [
        (scene.ambient, scene.moving.ambient),
        *((scene.light[place], scene.moving.light[place]) for place in scene.light),
    ]:
        drawn = whole.reshape(3, -1)[:, scene.moving.pixels]
        np.testing.assert_allclose(moving[0].astype(float), drawn, rtol=1e-3, atol=1e-5)


@pytest.mark.parametrize("size", [(16, 16), (97, 64), (64, 200)])
def test_it_moves_at_any_size(size):
    scene = draw_scene(find_scene("side"), *size)
    assert 0 < len(scene.moving.pixels) < size[0] * size[1] / 2
    assert scene.moving.pixels.max() < size[0] * size[1]


def test_forward_the_wheels_roll_towards_the_chimney():
    """It stands to the right, so they turn clockwise: from its lowest place a pin goes left."""
    assert crank(0.1)[0] < crank(0.0)[0]
    scene = draw_scene(find_scene("side"), 480, 320)
    light = np.zeros((3, 320 * 480))
    seen = {}
    for phase in (9, 27):
        light[:, scene.moving.pixels] = scene.moving.ambient[phase]
        picture = light.sum(axis=0).reshape(320, 480)
        for quarter in (0.25, 0.75):
            x, y = WHEELS[0] + crank(quarter)[0], AXLE + crank(quarter)[1]
            row, column = round(y * 320), round(x * 320 + 240)
            seen[phase, quarter] = picture[row - 1 : row + 2, column - 1 : column + 2].mean()
    assert seen[9, 0.25] > 1.3 * seen[27, 0.25]
    assert seen[27, 0.75] > 1.3 * seen[9, 0.75]
