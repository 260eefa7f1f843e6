"""A film as it will be shown: every frame in the few colours of one table.

Frames are asked for one at a time; what is kept is one byte for each pixel. Neighbouring pixels
that are alike in all telling frames are taken to be alike in the whole film.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes
from fxstudio.errors import InputError
from fxstudio.film.holding import Blocks, hold_still
from fxstudio.film.palette import EvenSpace, Palette, choose_colours
from fxstudio.film.reduction import Runs
from fxstudio.progress import Progress

STRETCH=200
JOIN, CHANGE, FOLLOWS = 3.0, 20.0, 0.985
MOST_LOOKS = 6
"""Passes over the film before it is taken to move."""


class Frames(Protocol):
    """Frames of a film, drawn when they are asked for.

    delays_cs : how long each stands, in 1/100 s
    telling : numbers of those that differ most, from which the colours are chosen
    """

    @property
    def delays_cs(self) -> NDArray[np.integer]: ...

    @property
    def telling(self) -> Sequence[int]: ...

    def frame(self, number: int) -> Bytes:
        """Frame 0, 1 ... as uint8 [h, w, 3] sRGB; again the same picture when asked again. It may
        reuse one array.
        """
        ...


@dataclass(frozen=True, eq=False)
class ShownFilm:
    """What a viewer of a film sees.

    numbers : uint8 [n, h, w], for each pixel of each frame the number of its colour
    colours : uint8 [k, 3], sRGB, at most 255
    delays_cs : how long each frame stands, in 1/100 s
    """

    numbers: Bytes
    colours: Bytes
    delays_cs: NDArray[np.integer]


def quantised(frames: Frames, progress: Progress | None = None) -> ShownFilm:
    """What a viewer of these frames will see.

    `progress` may begin again: a frame that the telling ones did not tell of changes all. Raises
    InputError for frames that are no pictures of one size.
    """
    delays = np.asarray(frames.delays_cs)
    runs, palette, space, colours = look(frames, progress or Progress())
    blocks = Blocks.of(runs)
    numbers = np.concatenate(
        [
            hold_still(colours[at : at + STRETCH], runs, blocks, palette, space, CHANGE, FOLLOWS)
            for at in range(0, len(colours), STRETCH)
        ]
    )
    shown = np.repeat(numbers, runs.length, axis=1).reshape(len(delays), *runs.shape)
    return ShownFilm(shown, palette.colours, delays)


def look(frames: Frames, progress: Progress) -> tuple[Runs, Palette, EvenSpace, Bytes]:
    """The film's runs, its palette, and the runs' colours [count, m, 3] in all frames.

    A frame that shows the telling ones to be too few joins them, and all begins again; after
    `MOST_LOOKS` the film is taken to move, and every pixel is a run of its own.
    """
    count, space = len(frames.delays_cs), EvenSpace()
    seen: list[Bytes] = []
    for number in frames.telling:
        shape = seen[0].shape[:2] if seen else None
        seen.append(checked_frame(frames.frame(number), number, shape).copy())
    for looks in range(MOST_LOOKS + 1):
        runs = Runs(seen, space, JOIN, apart=looks == MOST_LOOKS)
        colours = np.empty((count, len(runs), 3), np.uint8)
        for number in range(count):
            frame = checked_frame(frames.frame(number), number, runs.shape)
            colours[number] = runs.colours(frame)
            if looks < MOST_LOOKS and not runs.fit(frame, colours[number]):
                seen.append(frame.copy())
                break
            progress.step(number + 1, count)
        else:
            break
    told = np.concatenate([runs.colours(frame) for frame in seen])
    palette = Palette(choose_colours(told, np.tile(runs.length, len(seen))))
    return runs, palette, space, colours


def checked_frame(frame: Bytes, number: int, shape: tuple[int, ...] | None = None) -> Bytes:
    """`frame`, or an `InputError` if it is no picture, or not of `shape` (h, w) if given."""
    right = frame.dtype == np.uint8 and frame.ndim == 3 and frame.shape[2] == 3
    if not right or 0 in frame.shape or (shape is not None and frame.shape[:2] != shape):
        wanted = "h, w" if shape is None else ", ".join(map(str, shape))
        raise InputError(
            f"frame {number} cannot be written",
            field="frames",
            given=f"{frame.dtype} {frame.shape}",
        ).allowing(f"uint8 ({wanted}, 3), all frames alike", remedy="render all frames at one size")
    return frame
