"""Kinds of films: each is read back and held against the frames that went in.

The readers are Pillow and, for H.264, PyAV: general-purpose libraries.
"""

from __future__ import annotations

import tracemalloc
from io import BytesIO

import numpy as np
import pytest
from films import lit_light, of_one_lamp
from PIL import Image, features

from fxstudio import on_disk
from fxstudio.cli.given.endings import ENDINGS
from fxstudio.errors import InputError, WriteError
from fxstudio.film.formats import FORMATS
from fxstudio.film.making import FLASHES_MARK, film, film_pictures
from fxstudio.film.quality import GOOD
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress

SMALL = Shot(121, 80, 12.5)
FIRE = of_one_lamp("cab", "flames", "smooth", 3.0, 0.1, 1.0, 2.0)


def can_be_made(ending: str) -> bool:
    """Whether what packs it is there."""
    if ending == ".mp4":
        return pytest.importorskip("av") is not None
    return ending != ".avif" or features.check("avif")


@pytest.mark.parametrize("ending", FORMATS)
def test_what_is_read_back_is_what_was_filmed(tmp_path, ending):
    if not can_be_made(ending):
        pytest.skip("this Pillow has no AVIF")
    path = tmp_path / f"film{ending}"
    report = film(FIRE, path, shot=SMALL, accept_flashes=True)
    pictures, delays = zip(*FORMATS[ending].decode(BytesIO(path.read_bytes())), strict=True)
    assert sum(delays) == 200
    take = Take(FIRE, FIRE.shown_by, SMALL)
    true = np.stack([take.frame(number) for number in range(25)])
    ends = np.cumsum(delays).searchsorted(8 * np.arange(25), side="right")
    shown = np.stack(pictures)[ends][:, :80, :121]
    one, other = lit_light(true, shown)
    assert np.corrcoef(one, other)[0, 1] > 0.98
    assert np.abs(true.astype(int) - shown).mean() < 5
    assert report.file.bytes == path.stat().st_size


@pytest.mark.parametrize("ending", [".webp", ".png"])
def test_it_loops_for_ever_and_says_what_it_is(tmp_path, ending):
    path = tmp_path / f"film{ending}"
    film(FIRE, path, shot=SMALL, accept_flashes=True)
    with Image.open(path) as film_file:
        assert film_file.info["loop"] == 0
        said = film_file.info.get("Description") or film_file.getexif()[0x010E]
    assert said.startswith(FIRE.title)


def test_the_command_takes_all_kinds():
    assert ENDINGS["film", "--output"] == ENDINGS["read", "--film"] == tuple(FORMATS)


@pytest.mark.parametrize("ending", [".webp", ".png"])
def test_the_verdict_is_that_of_the_file(tmp_path, ending):
    """It says what it found, in the film too, and only if asked to write it at all."""
    strobe = of_one_lamp("cab", "door", "hold", 9.0, 0.0, 1.0, 2.0)
    path = tmp_path / f"strobe{ending}"
    report = film(strobe, path, shot=Shot(640, 427), accept_flashes=True)
    with Image.open(path) as film_file:
        said = film_file.info.get("Description") or film_file.getexif()[0x010E]
    assert (FLASHES_MARK in said) == (not report.verdict.passes)


def test_pictures_in_a_folder_are_the_frames_as_drawn(tmp_path):
    folder = tmp_path / "pictures"
    report = film_pictures(FIRE, folder, shot=SMALL, accept_flashes=True)
    take = Take(FIRE, FIRE.shown_by, SMALL)
    names = sorted(path.name for path in folder.iterdir())
    assert names == [f"{number:04}.png" for number in range(1, 26)]
    with Image.open(folder / "0011.png") as picture:
        assert np.array_equal(np.asarray(picture), take.frame(10))
    assert report.file.pictures == 25
    with pytest.raises(WriteError, match="is there already and is not empty"):
        film_pictures(FIRE, folder, shot=SMALL, accept_flashes=True)


def test_a_film_that_must_be_small_is_and_says_what_it_gave_up(tmp_path):
    large = film(FIRE, tmp_path / "large.gif", shot=SMALL, accept_flashes=True)
    most = large.file.bytes // 2
    small = film(FIRE, tmp_path / "s.gif", shot=SMALL, accept_flashes=True, most_bytes=most)
    assert small.file.bytes <= most
    assert small.given_up[0] == "quality: draft"
    enough = film(FIRE, tmp_path / "e.gif", shot=SMALL, accept_flashes=True, most_bytes=10**7)
    assert enough.given_up == ()
    assert enough.file.bytes == large.file.bytes
    with pytest.raises(InputError, match="no film of this is so small"):
        film(FIRE, tmp_path / "n.gif", shot=SMALL, accept_flashes=True, most_bytes=200)


def test_a_long_comment_is_kept_whole():
    """Comments are kept in blocks of up to 255 bytes. Source: GIF89a, section 24, from memory."""
    take = Take(FIRE, FIRE.shown_by, SMALL)
    file = BytesIO()
    FORMATS[".gif"].encode(take, file, GOOD, "x" * 600, Progress())
    with Image.open(file) as gif:
        assert gif.info["comment"] == b"x" * 600


def test_memory_does_not_grow_with_the_length_of_a_film(tmp_path, monkeypatch):
    """What is held at most, of 200 frames and of three times as many: no frame, nor a mark of
    each pixel in each.
    """
    monkeypatch.setattr(on_disk, "IN_MEMORY_BYTES", 1)
    most = []
    for length_s in (8.0, 8.0, 24.0):  # first what is made once only
        effect = of_one_lamp("cab", "flames", "smooth", 4.0, 0.2, 0.6, length_s)
        tracemalloc.start()
        film(effect, tmp_path / "film.gif", shot=Shot(96, 64), accept_flashes=True)
        most.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert most[2] < most[1] + 96 * 64 * 100
