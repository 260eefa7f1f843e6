"""Leave out of a film what the eye does not see: grain in space, and change in time.

A GIF pays for every run of like pixels in every picture. The lamps of a locomotive do not
move, so pixels that look alike in some telling frames look alike in all: neighbours in a
row are joined into runs once for the whole film. In time, each block of the picture changes
only when that is worth its cost; the best moments are found with the whole film at hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools, Bytes, Floats
from fxstudio.film.indexed.palette import EvenSpace, cell_of, luminance_of

AXES = 4
"""A pixel's colours in all frames lie near so many axes: three for one lamp, few more for all."""
AXES_FROM_PIXELS = 5_000

ASSUMED_JOIN_START, ASSUMED_JOIN_GROWTH = 0.2, 1.5

STILL_CODES, STILL_PART = 2, 8
"""What moves no more than this, of 255, stands still, if that is at most an eighth of the most
that anything moves."""
STILL_CARE = 4.0
"""Grain is kept so many times finer where the film stands still: it is paid for once."""

MOVING_CARE = 6.0
"""What moves is told apart so many times finer, for it is unlike in few frames only."""

LIT = 0.1
"""A run is lit where its light swings by this share of the largest swing in the picture."""

JOINED_AT_ONCE, RUNS_AT_ONCE = 100_000, 20_000
"""Pixels and runs that are worked on together, so that what is worked out on the way is small."""

CHECKED_PIXELS = 13
"""Every thirteenth pixel of each frame is checked against its run."""
CHECKED_CODES = 24
"""It may be off by so much more, of 255, than in the telling frames."""


def traits(frames: Sequence[Bytes], space: EvenSpace) -> Floats:
    """What tells pixels apart in these frames [h, w, 3]: [h * w, AXES].

    Distances are the root mean square over the frames of distances in the even space,
    along the principal axes only.
    """
    pixels = [frame.reshape(-1, 3) for frame in frames]
    step = max(1, len(pixels[0]) // AXES_FROM_PIXELS)
    some = np.concatenate([space(cell_of(each[::step])) for each in pixels], axis=1)
    spread = np.atleast_2d(np.cov(some.T, bias=True))
    axes = np.linalg.eigh(spread)[1][:, : -AXES - 1 : -1] / np.sqrt(len(frames))
    axes = axes.astype(np.float32).reshape(len(frames), 3, -1)
    traits = np.zeros((len(pixels[0]), axes.shape[2]), np.float32)
    for each, part in zip(pixels, axes, strict=True):
        traits += space.along(cell_of(each), part)
    return traits


def join(pixels: Floats, walls: Bools, cost: float) -> NDArray[np.int64]:
    """First pixels [m] of runs of like pixels, for traits [h * w, k]; one begins at each wall.

    Neighbouring runs join where that adds least to the squared error (Ward 1963, from
    memory), the most alike first, until it would add more than `cost`.
    """
    # Rows do not know of each other, so a part after the other takes less memory.
    starts = np.flatnonzero(walls)
    wanted = np.searchsorted(starts, np.arange(0, len(pixels), JOINED_AT_ONCE))
    edges = np.append(np.unique(starts[wanted[wanted < len(starts)]]), len(pixels))
    parts = [slice(*edge) for edge in pairwise(edges)]
    return np.concatenate([part.start + _joined(pixels[part], walls[part], cost) for part in parts])


def _joined(pixels: Floats, walls: Bools, cost: float) -> NDArray[np.int64]:
    first = np.arange(len(pixels))
    size = np.ones(len(pixels), np.float32)
    middle = pixels.copy()
    limit = cost * ASSUMED_JOIN_START
    while True:
        gap = middle[1:] - middle[:-1]
        added = size[1:] * size[:-1] / (size[1:] + size[:-1]) * np.einsum("ij,ij->i", gap, gap)
        added[walls[first[1:]]] = np.inf
        before = np.concatenate([[np.inf], added[:-1]])
        after = np.concatenate([added[1:], [np.inf]])
        left = np.flatnonzero((added <= limit) & (added <= before) & (added < after))
        if limit >= cost and len(left) == 0:
            return first
        right = left + 1
        share = (size[right] / (size[left] + size[right]))[:, None]
        middle[left] += share * (middle[right] - middle[left])
        size[left] += size[right]
        first, size = np.delete(first, right), np.delete(size, right)
        middle = np.delete(middle, right, axis=0)
        limit = min(limit * ASSUMED_JOIN_GROWTH, cost)


class Runs:
    """Runs of like pixels in the rows of a picture, and their colour in any frame.

    first, length : int [m], the first pixel of each and how many it has
    still : bool [m], which of them stand still through the whole film
    moves : bool [m], which of the others show what moves
    lit : bool [m], which are much lit by what changes
    stands : uint8 [.., 3], the colours of those
    """

    def __init__(
        self,
        frames: Sequence[Bytes],
        space: EvenSpace,
        join_cost: float,
        apart: bool = False,
        moving: NDArray[np.intp] | None = None,
    ) -> None:
        """Join the pixels that are alike in all of `frames` [h, w, 3], or none if `apart`.

        Those numbered in `moving` are joined with their like only.

        A run that is one more is worth `join_cost`, a squared error in steps squared times pixels.
        """
        self.shape = frames[0].shape[:2]
        low, high = np.minimum.reduce(frames), np.maximum.reduce(frames)
        swing = (high - low).max(axis=2).ravel()
        still = swing <= min(STILL_CODES, swing.max() // STILL_PART)
        if apart:
            still[:] = False
        moves = np.zeros(len(still), bool)
        if moving is not None:
            moves[moving] = ~still[moving]
        pixels = traits(frames, space)
        pixels[still] *= STILL_CARE
        pixels[moves] *= MOVING_CARE
        walls = np.append(True, (still[1:] != still[:-1]) | (moves[1:] != moves[:-1]))
        walls[:: self.shape[1]] = True
        self.first = np.arange(len(pixels)) if apart else join(pixels, walls, join_cost)
        self.length = np.diff(self.first, append=len(pixels))
        self.still, self.moves = still[self.first], moves[self.first]
        # Half of two pixels stands for the mean of a run: in every frame much less work.
        middle = np.add.reduceat(pixels, self.first, axis=0) / self.length[:, None]
        self._one = self._closest(pixels, middle)
        self._two = self._closest(pixels, 2 * middle - pixels[self._one])
        self.stands = self._halves((low & high) + ((low ^ high) >> 1))[self.still]
        self._run = np.repeat(np.arange(len(self)), self.length)[::CHECKED_PIXELS]
        light = np.stack([luminance_of(self.colours(frame)) for frame in frames])
        self.lit = np.ptp(light, axis=0) >= LIT * np.ptp(light, axis=0).max()
        off = np.maximum.reduce([self._off(frame, self.colours(frame)) for frame in frames])
        stands = self.still[self._run]
        self._allowed = np.where(stands, STILL_CODES, CHECKED_CODES)
        for kind in (stands, ~stands):
            self._allowed[kind] += off[kind].max(initial=0)

    def _closest(self, pixels: Floats, wanted: Floats) -> NDArray[np.intp]:
        """The pixel [m] of each run whose traits are closest to those `wanted` [m, k]."""
        found = []
        for at in range(0, len(self), RUNS_AT_ONCE):
            some = slice(at, at + RUNS_AT_ONCE)
            first, length = self.first[some] - self.first[at], self.length[some]
            off = np.repeat(wanted[some], length, axis=0)
            np.subtract(pixels[self.first[at] :][: len(off)], off, out=off)
            off = np.einsum("ij,ij->i", off, off)
            least = np.flatnonzero(off == np.repeat(np.minimum.reduceat(off, first), length))
            found.append(self.first[at] + least[np.searchsorted(least, first)])
        return np.concatenate(found)

    def __len__(self) -> int:
        return len(self.first)

    def colours(self, frame: Bytes) -> Bytes:
        """Colours [m, 3] of the runs in a frame [h, w, 3]."""
        colours = self._halves(frame)
        colours[self.still] = self.stands
        return colours

    def _halves(self, frame: Bytes) -> Bytes:
        pixels = frame.reshape(-1, 3)
        one, two = pixels.take(self._one, axis=0), pixels.take(self._two, axis=0)
        halves: Bytes = (one & two) + ((one ^ two) >> 1)
        return halves

    def fit(self, frame: Bytes, colours: Bytes) -> bool:
        """Whether pixels of a frame [h, w, 3] are still like their run's `colours` [m, 3]."""
        return bool((self._off(frame, colours) <= self._allowed).all())

    def _off(self, frame: Bytes, colours: Bytes) -> Bytes:
        """How far each pixel looked at is from its run at most, in codes of one channel."""
        pixels, wanted = frame.reshape(-1, 3)[::CHECKED_PIXELS], colours.take(self._run, axis=0)
        off: Bytes = (np.maximum(pixels, wanted) - np.minimum(pixels, wanted)).max(axis=1)
        return off
