"""Leave out of a film what the eye does not see: grain in space, and change in time.

A GIF pays for every run of like pixels in every picture. The lamps of a locomotive do not
move, so pixels that look alike in some telling frames look alike in all: neighbours in a
row are joined into runs once for the whole film. In time, each block of the picture changes
only when that is worth its cost; the best moments are found with the whole film at hand.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools, Bytes, Floats
from fxstudio.film.palette import EvenSpace, Palette, cell_of

AXES = 4
"""A pixel's colours in all frames lie near so many axes: three for one lamp, few more for all."""
AXES_FROM_PIXELS = 5_000

ASSUMED_JOIN_COST = 0.2
"""Squared error, in steps squared times pixels, that one run less is worth."""
ASSUMED_JOIN_START, ASSUMED_JOIN_GROWTH = 0.2, 1.5

ASSUMED_CHANGE_COST = 6.2
"""Squared error, in steps squared times pixels, that one run's change less is worth."""
WORST_CODES = 14
"""No channel of a run is ever off by more than this, of 255, for standing still."""
LONGEST_STAND = 25
"""Frames; then a block is drawn anew in any case."""
STRETCH = 200
"""Frames whose changes are planned together."""

CHECKED_PIXELS = 13
"""Every thirteenth pixel of each frame is checked against its run."""
CHECKED_CODES = 24
"""It may be off by so much more, of 255, than in the telling frames."""

BLOCK_HEIGHT, BLOCK_WIDTH = 80, 240
"""Pixels. Runs of one block change together: what is still between them would cost most."""
AT_ONCE = 1024
"""Runs; what is worked on then stays in the processor's cache."""
LOOKED_AT = 8
"""Changes are planned by every eighth run of a block."""


def traits(frames: Sequence[Bytes], space: EvenSpace) -> Floats:
    """What tells pixels apart in these frames [h, w, 3]: [h * w, AXES].

    Distances are the root mean square over the frames of distances in the even space,
    along the principal axes only.
    """
    cells = [cell_of(frame.reshape(-1, 3)) for frame in frames]
    step = max(1, len(cells[0]) // AXES_FROM_PIXELS)
    some = np.concatenate([space(cell[::step]) for cell in cells], axis=1)
    spread = np.atleast_2d(np.cov(some.T, bias=True))
    axes = np.linalg.eigh(spread)[1][:, : -AXES - 1 : -1] / np.sqrt(len(frames))
    axes = axes.astype(np.float32).reshape(len(frames), 3, -1)
    traits = np.zeros((len(cells[0]), axes.shape[2]), np.float32)
    for cell, part in zip(cells, axes, strict=True):
        traits += space.along(cell, part)
    return traits


def join(pixels: Floats, width: int, cost: float = ASSUMED_JOIN_COST) -> NDArray[np.int64]:
    """First pixels [m] of runs of like pixels, for traits [h * w, k] of rows `width` long.

    Neighbouring runs join where that adds least to the squared error (Ward 1963, from
    memory), the most alike first, until it would add more than `cost`.
    """
    first = np.arange(len(pixels))
    size = np.ones(len(pixels), np.float32)
    middle = pixels.copy()
    limit = cost * ASSUMED_JOIN_START
    while True:
        gap = middle[1:] - middle[:-1]
        added = size[1:] * size[:-1] / (size[1:] + size[:-1]) * np.einsum("ij,ij->i", gap, gap)
        added[first[1:] % width == 0] = np.inf
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
    """Runs of like pixels in the rows of a picture, and their colour in any frame."""

    def __init__(self, frames: Sequence[Bytes], space: EvenSpace, apart: bool = False) -> None:
        """Join the pixels that are alike in all of `frames` [h, w, 3], or none if `apart`."""
        self.shape = frames[0].shape[:2]
        pixels = traits(frames, space)
        self.first = np.arange(len(pixels)) if apart else join(pixels, self.shape[1])
        self.length = np.diff(self.first, append=len(pixels))
        row, column = np.divmod(self.first, self.shape[1])
        across = -(-self.shape[1] // BLOCK_WIDTH)
        self.block = row // BLOCK_HEIGHT * across + column // BLOCK_WIDTH
        # Half of two pixels stands for the mean of a run: in every frame much less work.
        middle = np.add.reduceat(pixels, self.first, axis=0) / self.length[:, None]
        self._one = self._closest(pixels, middle)
        self._two = self._closest(pixels, 2 * middle - pixels[self._one])
        self._run = np.repeat(np.arange(len(self)), self.length)[::CHECKED_PIXELS]
        self._allowed = CHECKED_CODES + max(self._off(f, self.colours(f)) for f in frames)

    def _closest(self, pixels: Floats, wanted: Floats) -> NDArray[np.intp]:
        """The pixel [m] of each run whose traits are closest to those `wanted` [m, k]."""
        off = pixels - np.repeat(wanted, self.length, axis=0)
        off = np.einsum("ij,ij->i", off, off)
        least = np.flatnonzero(off == np.repeat(np.minimum.reduceat(off, self.first), self.length))
        return least[np.searchsorted(least, self.first)]

    def __len__(self) -> int:
        return len(self.first)

    def colours(self, frame: Bytes) -> Bytes:
        """Colours [m, 3] of the runs in a frame [h, w, 3]."""
        pixels = frame.reshape(-1, 3)
        one, two = pixels.take(self._one, axis=0), pixels.take(self._two, axis=0)
        return (one & two) + ((one ^ two) >> 1)

    def fit(self, frame: Bytes, colours: Bytes) -> bool:
        """Whether pixels of a frame [h, w, 3] are still like their run's `colours` [m, 3]."""
        return self._off(frame, colours) <= self._allowed

    def _off(self, frame: Bytes, colours: Bytes) -> int:
        """The most that a pixel looked at differs from its run, in codes of one channel."""
        pixels, wanted = frame.reshape(-1, 3)[::CHECKED_PIXELS], colours.take(self._run, axis=0)
        return int((np.maximum(pixels, wanted) - np.minimum(pixels, wanted)).max())


def hold_still(colours: Bytes, runs: Runs, palette: Palette, space: EvenSpace) -> Bytes:
    """Palette numbers [n, m] for the `colours` [n, m, 3] of runs in n frames, held where it pays.

    Changes come where, for each block, the squared error of all pixels plus
    `ASSUMED_CHANGE_COST` for each run at each change is as small as can be.
    """
    by_block = np.argsort(runs.block, kind="stable")
    blocks = np.split(by_block, np.bincount(runs.block).cumsum()[:-1])
    numbers = np.empty(colours.shape[:2], np.uint8)
    for start in range(0, len(colours), STRETCH):
        part = colours[start : start + STRETCH]
        longest = min(LONGEST_STAND, len(part))
        costs = [
            stretch_errors(track(part, block, runs, space), longest)
            + ASSUMED_CHANGE_COST * len(block)
            for block in blocks
        ]
        changes = least_cuts(np.stack(costs))
        for block, change in zip(blocks, changes.T, strict=True):
            cuts = np.flatnonzero(change)
            for some in np.split(block, range(AT_ONCE, len(block), AT_ONCE)):
                held = hold(part.take(some, axis=1), cuts, palette)
                numbers[start : start + STRETCH, some] = held
    return numbers


def track(colours: Bytes, block: NDArray[np.intp], runs: Runs, space: EvenSpace) -> Floats:
    """How the colours of a block's runs move, each weighted by its pixels: [n, k]."""
    looked = block[::LOOKED_AT]
    weight = np.sqrt(runs.length[looked] * (len(block) / len(looked)), dtype=np.float32)
    places = space(cell_of(colours.take(looked, axis=1))) * weight[:, None]
    moves: Floats = (places - places.mean(axis=0)).reshape(len(colours), -1)
    return moves


def stretch_errors(track: Floats, longest: int) -> Floats:
    """Squared error of showing a track [n, k] as its mean from `end` - 1 - j to `end`.

    Returns [n + 1, longest] for each end and each j; infinite where that begins before 0.
    """
    count = len(track)
    dots = np.zeros((count + 1, count + 1))
    dots[1:, 1:] = (track @ track.T).cumsum(axis=0, dtype=float).cumsum(axis=1)
    own = np.diag(dots)
    square = np.concatenate([[0.0], np.einsum("ij,ij->i", track, track).cumsum(dtype=float)])
    end = np.arange(count + 1)[:, None]
    length = np.arange(1, longest + 1)
    begin = np.maximum(end - length, 0)
    inside = own[end] - 2 * dots[begin, end] + own[begin]
    return np.where(end < length, np.inf, square[end] - square[begin] - inside / length)


def least_cuts(costs: Floats) -> Bools:
    """Where to cut n frames so that their stretches cost least: bool [n + 1, blocks].

    `costs` [blocks, n + 1, longest] as from `stretch_errors`. Dynamic programming; true at
    both ends.
    """
    blocks, ends, longest = costs.shape
    every = np.arange(blocks)
    least = np.full((blocks, longest + ends), np.inf)  # shifted by `longest`: no short rows
    least[:, longest] = 0
    length = np.zeros((ends, blocks), np.intp)
    for end in range(1, ends):
        total = least[:, end : end + longest][:, ::-1] + costs[:, end]
        pick = total.argmin(axis=1)
        least[:, end + longest] = total[every, pick]
        length[end] = pick + 1
    cuts = np.zeros((ends, blocks), bool)
    at = np.full(blocks, ends - 1)
    while at.any():
        cuts[at, every] = True
        at = at - length[at, every]
    cuts[0] = True
    return cuts


def hold(colours: Bytes, cuts: NDArray[np.intp], palette: Palette) -> Bytes:
    """Palette numbers [n, m] of `colours` [n, m, 3], each shown as its mean between `cuts`.

    Where that is off by more than `WORST_CODES`, a run has its own colour.
    """
    length = np.diff(cuts)
    total = np.add.reduceat(colours, cuts[:-1], axis=0, dtype=np.uint16)  # 255 * LONGEST_STAND fits
    share = length.astype(np.uint16)[:, None, None]
    means = ((total + share // 2) // share).astype(np.uint8)
    numbers = np.repeat(palette.numbers(means), length, axis=0)
    means = np.repeat(means, length, axis=0)
    off = colours - means
    off += WORST_CODES  # wraps round where too low, so that one comparison serves both sides
    too_far = off > 2 * WORST_CODES
    far = too_far[..., 0] | too_far[..., 1] | too_far[..., 2]
    numbers[far] = palette.numbers(colours[far])
    return numbers
