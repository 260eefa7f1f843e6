"""The best film that fits into so many bytes: what is given up, and in which order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from fxstudio.errors import InputError
from fxstudio.film.formats import FilmFormat
from fxstudio.film.quality import QUALITIES, Quality
from fxstudio.film.take import Shot, Take
from fxstudio.progress import Progress

FEWER_COLOURS = ((64, 40), (32, 25))
"""Colours at most, or for true colours how lossy, once no quality is left to give up."""
SLOWER = (0.8, 0.6, 0.4)
SMALLER = (0.85, 0.7, 0.55, 0.4)
"""Shares of the frames a second, and of width and height."""
SLOWEST_FPS, SMALLEST_PX = 8.0, 64


@dataclass(frozen=True)
class SmallEnough:
    """A take that fits, and what was given up for it in words."""

    take: Take
    given_up: tuple[str, ...]


def small_enough(take: Take, kind: FilmFormat, most_bytes: int, progress: Progress) -> SmallEnough:
    """The best film of this kind in at most so many bytes.

    Quality is given up first, then colours, then frames a second, then size. Each of these makes
    the file smaller, so the first that fits is found by halving.

    Raises InputError if even the smallest is too large.
    """
    ways = [way for way in _ways(take.shot, kind) if take.has_room(way[0])]
    first, last = 0, len(ways)
    smallest = 0
    while first < last:
        middle = (first + last) // 2
        shot, _ = ways[middle]
        tried = replace(take, shot=shot)
        part = progress.part(first / len(ways), (first + last + 1) / 2 / len(ways))
        size = kind.size(tried, shot.quality, part)
        if size <= most_bytes:
            last = middle
        else:
            first, smallest = middle + 1, size
    if first == len(ways):
        raise InputError(
            "no film of this is so small", field="--max-size", given=f"{most_bytes / 1000:g}kB"
        ).allowing(
            f"{-(-smallest // 1000)}kB and more", remedy="make it shorter, or of another kind"
        )
    shot, given_up = ways[first]
    return SmallEnough(replace(take, shot=shot), given_up)


def _ways(shot: Shot, kind: FilmFormat) -> Iterator[tuple[Shot, tuple[str, ...]]]:
    """Shots from the one wanted to the smallest, each with what it gives up."""
    yield shot, ()
    up: tuple[str, ...] = ()
    lower: list[tuple[str, Quality]] = [
        (name, quality)
        for name, quality in reversed(list(QUALITIES.items()))
        if quality.join_cost > shot.quality.join_cost
    ]
    for name, quality in lower:
        up, shot = (f"quality: {name}",), replace(shot, quality=quality)
        yield shot, up
    for colours, lossy in FEWER_COLOURS:
        fewer = replace(shot.quality, colours=colours, lossy=lossy)
        shot = replace(shot, quality=fewer)
        words = f"colours: at most {colours}" if kind.few_colours else f"detail: {lossy} of 100"
        yield shot, (*up, words)
    up = (*up, words)
    fps = shot.fps
    slower = [rate for rate in (round(fps * share, 1) for share in SLOWER) if rate >= SLOWEST_FPS]
    for rate in slower:
        shot = replace(shot, fps=rate)
        yield shot, (*up, f"frames a second: {rate:g}")
    up = (*up, f"frames a second: {slower[-1]:g}") if slower else up
    width, height = shot.width, shot.height
    for share in SMALLER:
        w, h = (2 * round(length * share / 2) for length in (width, height))
        if min(w, h) >= SMALLEST_PX:
            yield replace(shot, width=w, height=h), (*up, f"size: {w} x {h}")
