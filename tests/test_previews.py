"""The pictures in previews/ show what the effects look like now."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from fxstudio.effect.files import read_effect, shipped
from fxstudio.export.gif import frame_delays, frame_times_s
from fxstudio.film import Shot, renderer_for
from fxstudio.simulate import Simulation

PREVIEWS = Path(__file__).parent.parent / "previews"
COMMAND = "fxstudio film --all --into previews --size 360x240"
SHOT = Shot(360, 240)


def test_every_effect_has_a_preview_and_no_other_lies_there():
    there = {path.stem for path in PREVIEWS.glob("*.gif")}
    assert there == set(shipped()), f"make them anew: {COMMAND}"


def pictures(path: Path) -> list[tuple[float, np.ndarray]]:
    """When each picture of a GIF ends, in s, and the picture; like pictures may be one."""
    shown, end = [], 0.0
    with Image.open(path) as gif:
        for number in range(gif.n_frames):
            gif.seek(number)
            end += gif.info["duration"] / 1000
            shown.append((end, np.asarray(gif.convert("RGB"), dtype=float)))
    return shown


@pytest.mark.parametrize("name", shipped())
def test_preview_is_not_stale(name):
    effect = read_effect(shipped()[name])
    times = frame_times_s(frame_delays(SHOT.fps, effect.shown_by.length_s))
    renderer = renderer_for(effect, SHOT.width, SHOT.height)
    film = pictures(PREVIEWS / f"{name}.gif")
    assert film[-1][0] == pytest.approx(effect.shown_by.length_s), f"make it anew: {COMMAND}"
    for time in times[:: len(times) // 5]:
        light = Simulation(effect, effect.shown_by, SHOT.seed).at([time]).light[0]
        wanted = renderer.frame(light).astype(float)
        picture = next(picture for end, picture in film if time < end - 1e-9)
        # A palette of 256 colours stays well below this; another drawing or effect does not.
        assert np.abs(picture - wanted).mean() < 3, f"make it anew: {COMMAND}"
