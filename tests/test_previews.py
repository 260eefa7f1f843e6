"""The pictures in previews/ show what the effects look like now."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from published import Published, read_gif

from fxstudio.documents.reading import parse
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.film.making import FLASHES_MARK, film
from fxstudio.film.take import Shot, renderer_for
from fxstudio.film.timing import frame_delays, frame_times_s
from fxstudio.flashes.verdict import Verdict, judge
from fxstudio.light.simulation import Simulation

PREVIEWS = Path(__file__).parent.parent / "previews"
COMMAND = "fxstudio film --all --into previews --size 360x240"
SHOT = Shot(360, 240)


def test_every_effect_has_a_preview_and_no_other_lies_there():
    there = {path.stem for path in PREVIEWS.glob("*.gif")}
    assert there == set(shipped_effects()), f"make them anew: {COMMAND}"


def flashes(film: Published) -> Verdict:
    """The flash verdict on what is published, whatever the writer thought of it."""
    red, green, blue = np.moveaxis(film.pictures.astype(np.int32), -1, 0)
    codes = red << 16 | green << 8 | blue
    seen = np.zeros(1 << 24, bool)
    seen[codes] = True
    used = np.flatnonzero(seen)
    numbers = (np.cumsum(seen, dtype=np.int32) - 1)[codes]
    colours = np.stack([used >> 16, used >> 8 & 255, used & 255], axis=-1)
    return judge(numbers.astype(np.min_scalar_type(len(used))), colours, film.delays_cs)


@pytest.fixture(scope="module", params=sorted(PREVIEWS.glob("*.gif")), ids=lambda path: path.stem)
def preview(request) -> tuple[str, Published]:
    """Name and content; each file is read once."""
    return request.param.stem, read_gif(request.param)


def test_preview_is_not_stale(preview):
    name, published = preview
    effect = read_effect(shipped_effects()[name])
    times = frame_times_s(frame_delays(SHOT.fps, effect.shown_by.length_s))
    renderer = renderer_for(effect, SHOT.width, SHOT.height)
    length_cs = round(100 * effect.shown_by.length_s)
    assert published.delays_cs.sum() == length_cs, f"make it anew: {COMMAND}"
    for time in times[:: len(times) // 5]:
        light = Simulation(effect, effect.shown_by, SHOT.seed).at([time]).light[0]
        wanted = renderer.frame(light).astype(float)
        # A palette of 256 colours stays well below this; another drawing or effect does not.
        assert np.abs(published.at(time) - wanted).mean() < 3, f"make it anew: {COMMAND}"


def test_preview_does_not_flash_too_much_or_says_so(preview):
    _, published = preview
    verdict = flashes(published)
    assert verdict.passes == (FLASHES_MARK not in published.comment), str(verdict)


def test_what_is_published_is_judged_as_it_was_written(tmp_path):
    lamp = {
        "output": 1,
        "key": "F1",
        "place": "door",
        "colour": {"temperature_k": 2100},
        "pattern": {"kind": "flash", "period_s": 0.2},
    }
    drive = {"length_s": 1.0, "steps": [{"at_s": 0.0, "travel": "forward", "keys": ["F1"]}]}
    strobe = parse(Effect, {"title": "Strobe", "lamps": {"lamp": lamp}, "drive": drive})
    path = tmp_path / "strobe.gif"
    report = film(strobe, path, shot=Shot(640, 427), accept_flashes=True)
    published = read_gif(path)
    assert not report.verdict.passes
    assert FLASHES_MARK in published.comment
    assert str(flashes(published)) == str(report.verdict)
