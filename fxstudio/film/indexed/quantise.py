"""A film as it will be shown: every frame in the few colours of one table.

Frames are asked for one at a time, and none is kept. Neighbouring pixels that are alike in all
telling frames are taken to be alike in the whole film.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes
from fxstudio.errors import InputError
from fxstudio.film.captions.strip import Strip
from fxstudio.film.indexed.holding import Blocks, hold_still
from fxstudio.film.indexed.palette import UNKNOWN, EvenSpace, Palette, choose_colours
from fxstudio.film.indexed.reduction import Runs
from fxstudio.film.quality import GOOD, Quality
from fxstudio.film.rolling import Motion
from fxstudio.on_disk import OnDisk
from fxstudio.progress import Progress

SHORTEST_STRETCH, LONGEST_STRETCH = 75, 200
"""Frames whose changes are planned together ..."""
STRETCH_BYTES = 20_000_000
"""... as many as keep the colours of all runs within this."""
KEPT_BYTES = 400_000_000
"""Up to this the colours of all frames are kept on disk; of a longer film they are drawn twice."""
MOST_LOOKS = 6
"""Passes over the film before it is taken to move."""


class Frames(Protocol):
    """Frames of a film, drawn when they are asked for.

    delays_cs : how long each stands, in 1/100 s
    telling : numbers of those that differ most, from which the colours are chosen
    strip : what stands under their pictures, if anything does
    motion : which pixels move when, if any do
    """

    @property
    def delays_cs(self) -> NDArray[np.integer]: ...

    @property
    def telling(self) -> Sequence[int]: ...

    @property
    def strip(self) -> Strip | None: ...

    @property
    def motion(self) -> Motion | None: ...

    def frame(self, number: int) -> Bytes:
        """The picture of frame 0, 1 ... as uint8 [h, w, 3] sRGB; again the same when asked again.
        It may reuse one array.
        """
        ...


@dataclass(frozen=True, eq=False)
class ShownFilm:
    """What a viewer of a film sees, worked out while it is asked for.

    colours : uint8 [k, 3], sRGB, at most 255
    delays_cs : how long each frame stands, in 1/100 s
    shape : height and width in pixels
    """

    colours: Bytes
    delays_cs: NDArray[np.integer]
    shape: tuple[int, int]
    _numbers: Callable[[], Iterator[Bytes]]

    def frames(self, progress: Progress | None = None) -> Iterator[Bytes]:
        """Frame after frame, uint8 [h, w]: for each pixel the number of its colour."""
        for done, numbers in enumerate(self._numbers(), 1):
            yield numbers.reshape(self.shape)
            if progress:
                progress.step(done, len(self.delays_cs))


def quantised(
    frames: Frames, quality: Quality = GOOD, progress: Progress | None = None
) -> ShownFilm:
    """What a viewer of these frames will see. All are drawn once now, and again when asked for.

    A strip under them keeps its own colours, and the pictures have so many less.

    `progress` may begin again: a frame that the telling ones did not tell of changes all. Raises
    InputError for frames that are no pictures of one size.
    """
    delays, space, strip = np.asarray(frames.delays_cs), EvenSpace(), frames.strip
    phases = frames.motion.phases if frames.motion else np.zeros(len(delays), np.int64)
    if strip:
        quality = replace(quality, colours=min(quality.colours, UNKNOWN - len(strip.colours)))
    runs, palette, kept = look(frames, space, quality, progress or Progress())
    blocks = Blocks.of(runs)

    def drawn(numbers: range) -> Bytes:
        part = np.empty((len(numbers), len(runs), 3), np.uint8)
        for row, number in zip(part, numbers, strict=True):
            row[:] = runs.colours(frames.frame(number)) if kept is None else kept[number]
        return part

    stretch = STRETCH_BYTES // (3 * len(runs))
    stretch = min(max(stretch, SHORTEST_STRETCH), LONGEST_STRETCH)
    parts = max(1, -(-len(delays) // stretch))
    starts = [len(delays) * part // parts for part in range(parts + 1)]

    def numbers() -> Iterator[Bytes]:
        for start, end in pairwise(starts):
            part = drawn(range(start, end))
            rows = hold_still(part, runs, blocks, palette, space, quality, phases[start:end])
            for number, row in enumerate(rows, start):
                pixels = np.repeat(row, runs.length)
                if strip:
                    under = strip.numbers(number).ravel() + np.uint8(len(palette.colours))
                    pixels = np.concatenate([pixels, under])
                yield pixels

    if strip is None:
        return ShownFilm(palette.colours, delays, runs.shape, numbers)
    height, width = runs.shape
    colours = np.concatenate([palette.colours, strip.colours])
    return ShownFilm(colours, delays, (height + strip.height, width), numbers)


def look(
    frames: Frames, space: EvenSpace, quality: Quality, progress: Progress
) -> tuple[Runs, Palette, OnDisk | None]:
    """The film's runs, its palette, and the runs' colours [m, 3] of each frame, unless too many.

    A frame that shows the telling ones to be too few joins them, and all begins again; after
    `MOST_LOOKS` the film is taken to move, and every pixel is a run of its own.
    """
    count = len(frames.delays_cs)
    seen: list[Bytes] = []
    moving = frames.motion.pixels if frames.motion else None
    for number in frames.telling:
        shape = seen[0].shape[:2] if seen else None
        seen.append(checked_frame(frames.frame(number), number, shape).copy())
    for looks in range(MOST_LOOKS + 1):
        runs = Runs(seen, space, quality.join_cost, apart=looks == MOST_LOOKS, moving=moving)
        few = 3 * count * len(runs) <= KEPT_BYTES
        kept = OnDisk() if few else None
        for number in range(count):
            frame = checked_frame(frames.frame(number), number, runs.shape)
            colours = runs.colours(frame)
            if kept is not None:
                kept.append(colours)
            if looks < MOST_LOOKS and not runs.fit(frame, colours):
                seen.append(frame.copy())
                break
            progress.step(number + 1, count)
        else:
            break
    told = np.concatenate([runs.colours(frame) for frame in seen])
    counts = np.tile(runs.length, len(seen))
    return runs, Palette(choose_colours(told, counts, quality.colours)), kept


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
