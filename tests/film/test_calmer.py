"""Films that flash too much are refused, or calmed; all that is shipped passes."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from decimal import Decimal

import numpy as np
import pytest
from PIL import Image

from fxstudio.documents.reading import parse
from fxstudio.effect.files import read_effect, shipped_effects
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, WriteError
from fxstudio.film import calmer, making, screening
from fxstudio.film.captions.caption import Caption
from fxstudio.film.formats import FORMATS
from fxstudio.film.gif import write_gif
from fxstudio.film.indexed.quantise import quantised
from fxstudio.film.making import (
    FLASHES_MARK,
    FlashError,
    comment,
    film,
    flash_map,
    judge_film,
)
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.verdict import Viewing, judge
from fxstudio.progress import Progress, StoppedError

NEAR = Shot(96, 64, 20.0, viewing=Viewing(field_px=(45, 34)))
"""A small picture seen from so near that it is wider than a field of view."""


MOVING = {"at_s": 0.0, "travel": "forward", "speed_kmh": 20.0, "keys": ["F1"]}


def wild(pattern, **more):
    """A lamp over most of the picture."""
    lamp = {
        "output": 1,
        "key": "F1",
        "place": "door",
        "colour": {"temperature_k": 2100},
        "pattern": pattern,
    }
    drive = {"length_s": 2.0, "steps": [MOVING]}
    return parse(Effect, {"title": "Wild", "lamps": {"lamp": lamp}, "drive": drive} | more)


STROBE = wild({"kind": "flash", "period_s": 0.2})


def test_a_film_that_flashes_too_much_is_refused_and_leaves_the_file_there(tmp_path):
    path = tmp_path / "film.gif"
    path.write_bytes(b"as before")
    with pytest.raises(FlashError) as caught:
        film(STROBE, path, shot=NEAR)
    text = str(caught.value)
    assert "general flashes (WCAG 2.x): TOO MANY, 5 in the second from" in text
    assert "45 x 34" in text
    assert "10 cm wide from 57 cm away" in text
    assert "nearest effect that passes" in text
    assert "stricter than the text of WCAG: fine patterns" in text
    assert "--" not in text  # the window shows it too
    assert not caught.value.verdict.passes
    assert path.read_bytes() == b"as before"
    assert list(tmp_path.iterdir()) == [path]


def test_an_accepted_film_is_marked(tmp_path):
    report = film(STROBE, tmp_path / "film.gif", shot=NEAR, accept_flashes=True)
    assert not report.verdict.passes
    with Image.open(tmp_path / "film.gif") as gif:
        comment = gif.info["comment"].decode()
    assert comment.startswith("Wild - fxstudio")
    assert FLASHES_MARK in comment
    assert "5 in the second" in comment


def test_a_film_that_passes_is_not_marked(tmp_path):
    report = film(wild({"kind": "steady"}), tmp_path / "film.gif", shot=NEAR)
    assert report.verdict.passes
    with Image.open(tmp_path / "film.gif") as gif:
        assert b"WARNING" not in gif.info["comment"]


def test_a_film_of_too_many_pixels_is_refused(tmp_path):
    large, long = Shot(1920, 1920, 50.0), {"length_s": 30.0, "steps": [MOVING]}
    with pytest.raises(InputError, match="the film is too large") as caught:
        film(wild({"kind": "steady"}, drive=long), tmp_path / "film.gif", shot=large)
    assert caught.value.given == "1500 frames of 1920 x 1920"  # 5530 million pixels
    assert caught.value.allowed.startswith("4000 million pixels")


def test_an_unreachable_place_is_known_before_any_frame_is_drawn(tmp_path, monkeypatch):
    drawn = []
    monkeypatch.setattr(Take, "frame", lambda *_: drawn.append(1))
    with pytest.raises(WriteError, match="No such file"):
        film(STROBE, tmp_path / "nowhere" / "film.gif", shot=NEAR)
    assert drawn == []


def test_a_film_is_made_in_steps_that_hand_on_plain_values(tmp_path):
    """Step by step it is byte for byte the film that `film` writes."""
    take = Take(STROBE, STROBE.shown_by, NEAR)
    shown = quantised(take)
    verdict = judge(list(shown.frames()), shown.colours, shown.delays_cs, NEAR.viewing)
    with (tmp_path / "steps.gif").open("wb") as file:
        write_gif(shown, file, comment(take, verdict))
    report = film(STROBE, tmp_path / "film.gif", shot=NEAR, accept_flashes=True)
    assert (tmp_path / "steps.gif").read_bytes() == (tmp_path / "film.gif").read_bytes()
    assert (str(verdict), take.brightness.fitted) == (str(report.verdict), report.fitted)
    with pytest.raises(FrozenInstanceError):
        take.shot = Shot()


@pytest.mark.parametrize(("stopped", "error"), [(True, StoppedError), (False, FlashError)])
def test_a_refused_or_stopped_film_never_comes_to_the_writer(tmp_path, monkeypatch, stopped, error):
    progress, done = Progress(), []

    def judged(*about):
        progress.stop()
        return judge(*about)

    monkeypatch.setattr(making, "replacing", lambda *_: done.append(1))
    if stopped:
        monkeypatch.setattr(making, "judge", judged)
    with pytest.raises(error):
        film(STROBE, tmp_path / "film.gif", None, NEAR, progress, accept_flashes=stopped)
    assert done == []


def test_judging_sees_what_the_film_shows(tmp_path):
    report = film(STROBE, tmp_path / "film.gif", shot=NEAR, accept_flashes=True)
    assert str(judge_film(STROBE, shot=NEAR)) == str(report.verdict)


def test_the_map_shows_where_it_flashes():
    verdict = judge_film(STROBE, shot=NEAR)
    picture = flash_map(STROBE, verdict, shot=NEAR)
    assert picture.shape == (64, 96, 3)
    often = verdict.most > 3
    assert often.any()
    orange = (picture[..., 0].astype(int) - picture[..., 2]) > 80
    assert (orange == often).mean() > 0.9  # all but the white frame
    calm = flash_map(STROBE, judge_film(wild({"kind": "steady"}), shot=NEAR), shot=NEAR)
    assert (np.ptp(calm, axis=2) == 0).all()


def a_digit_nearer(before: Effect, after: Effect) -> Effect:
    """`after` with each figure that was changed moved by one of its last digit toward `before`."""

    def nearer(old, new):
        if old == new or isinstance(new, str):
            return new
        places = -Decimal(f"{new:g}").as_tuple().exponent
        return round(new + np.sign(old - new) * 10.0**-places, places)

    lamp, was = after.lamps["lamp"], before.lamps["lamp"].pattern
    figures = {name: nearer(getattr(was, name), value) for name, value in lamp.pattern}
    pattern = lamp.pattern.model_copy(update=figures)
    return after.model_copy(
        update={
            "rate_hz": nearer(before.rate_hz, after.rate_hz),
            "lamps": {"lamp": lamp.model_copy(update={"pattern": pattern})},
        }
    )


@pytest.mark.parametrize(
    "pattern",
    [
        {"kind": "flash", "period_s": 0.2},
        {"kind": "flicker", "style": "hold", "lowest": 0.0, "highest": 1.0},
        {"kind": "beat", "lowest": 0.0, "fall_s": 0.05, "wheel_m": 1.0},
    ],
    ids=["flash", "flicker", "beat"],
)
def test_the_nearest_calm_effect_passes_and_keeps_what_it_can(pattern):
    effect = wild(pattern, rate_hz=20.0)
    assert not judge_film(effect, shot=NEAR).passes
    tries = []
    found = calmer.calm(effect, shot=NEAR, progress=Progress(tries.append))
    assert found.verdict.passes
    assert judge_film(found.effect, shot=NEAR).passes
    assert not judge_film(a_digit_nearer(effect, found.effect), shot=NEAR).passes
    assert found.changes
    assert 0 < found.likeness.lost < 0.6
    assert found.effect.lamps["lamp"].colour == effect.lamps["lamp"].colour
    assert parse(Effect, found.effect.model_dump(exclude_none=True, exclude_unset=True))
    assert tries[-1] == 1
    assert all(0 < share <= 1 for share in tries)


def test_a_verdict_that_is_known_is_not_sought_again(monkeypatch):
    verdict, looks = judge_film(STROBE, shot=NEAR), []

    def look(*about, **how):
        looks.append(1)
        return judge_film(*about, **how)

    monkeypatch.setattr(calmer, "judge_film", look)
    calmer.calm(STROBE, shot=NEAR)
    before = len(looks)
    calmer.calm(STROBE, shot=NEAR, verdict=verdict)
    assert len(looks) == before + before - 1


def test_what_passes_is_left_as_it_is():
    effect = wild({"kind": "steady"})
    found = calmer.calm(effect, shot=NEAR)
    assert found.effect is effect
    assert found.changes == ()
    assert found.likeness.lost == 0


def test_what_only_the_drive_can_mend_is_said():
    steps = [
        {"at_s": round(0.1 * k, 2), "travel": "forward", "keys": ["F1"] if k % 2 else []}
        for k in range(20)
    ]
    effect = wild({"kind": "steady"}, drive={"length_s": 2.0, "steps": steps})
    with pytest.raises(InputError, match="no calmer version") as caught:
        calmer.calm(effect, shot=NEAR)
    assert "drive" in caught.value.remedy


def test_changes_are_told_field_by_field():
    effect = wild({"kind": "flicker", "style": "hold", "lowest": 0.0}, rate_hz=8.0)
    calm = calmer.slower(calmer.shallower(calmer.smoother(effect), 0.5), 0.5)
    assert list(calmer.what_changed(effect, calm)) == [
        "rate_hz 8 to 1.26",  # 8 and 0.2 Hz, the geometric mean
        "lamp: lowest 0 to 0.25",
        "lamp: highest 1 to 0.75",
        "lamp: style hold to smooth",
    ]


def test_the_quick_look_agrees_with_the_film():
    for effect in (STROBE, wild({"kind": "steady"}), wild({"kind": "flash", "period_s": 0.5})):
        quick, whole = screening.quick_verdict(effect, shot=NEAR), judge_film(effect, shot=NEAR)
        assert quick.passes == whole.passes
        assert [f.flashes for f in quick.findings] == [f.flashes for f in whole.findings]


@pytest.mark.parametrize("name", shipped_effects())
def test_every_shipped_effect_passes(name):
    """By a quick look, at the size of `fxstudio film`; also those that show a mistake."""
    verdict = screening.quick_verdict(read_effect(shipped_effects()[name]))
    assert verdict.passes, str(verdict)


def test_what_is_calmed_is_the_film_that_is_written_with_its_caption(tmp_path):
    """The picture over a caption is smaller, and so is what flashes in it."""
    shot, caption = Shot(240, 240, 20.0), Caption("Strobe", "a plain effect")
    calmed = calmer.calm(STROBE, shot=shot, caption=caption, kind=FORMATS[".png"])
    path = tmp_path / "film.png"
    report = film(calmed.effect, path, shot=shot, caption=caption, accept_flashes=True)
    assert str(calmed.verdict) == str(report.verdict)
    assert np.array_equal(calmed.verdict.most, report.verdict.most)
    bare = calmer.calm(STROBE, shot=shot)
    assert not np.array_equal(calmed.verdict.most, bare.verdict.most)
