"""Leave out of a film the changes in time that the eye does not miss.

Runs of one block change together, and only when that is worth its cost. The rows of a region
take turns: every fourth belongs to one block, so that the light of the region goes on moving
while three of its four blocks stand still. All moments are chosen with the whole stretch of film
at hand, by dynamic programming; a block knows what the blocks planned before it have left of the
region's light, and is chosen to make up for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools, Bytes, Floats
from fxstudio.film.indexed.palette import EvenSpace, Palette, cell_of, luminance_of
from fxstudio.film.indexed.reduction import Runs
from fxstudio.film.quality import Quality

REGIONS_DOWN, REGIONS_ACROSS = 16, 8
"""Regions of a large picture. What lies still between runs that change costs most."""
LEAST_REGION_PX = 20, 60

TURNS = (0, 2, 1, 3)
"""In which turn the rows of a region are planned: neighbours never one after the other."""

ASSUMED_LIGHT_WEIGHT = 4.0
"""What error in the light of a region costs, where that in each of its pixels costs 1 ..."""
WEIGHT_GROWTH, MOST_WEIGHT = 2.0, 2048.0
"""... at least; it grows until the light of the whole picture is followed."""

ASSUMED_CROWD_COST, ASSUMED_EMPTY_GAIN = 0.5, 0.9
"""A change when twice as many others change as do on the mean costs so much more of its cost, and
one when no other changes so much less."""

SHALLOW, SHALLOW_SLACK = 1 / 3, 2.0
"""Light that swings by less than this of its mean may be so many times farther from the truth."""

WORST_CODES = 12
"""No channel of a run is ever off by more than this, of 255, for standing still."""
LEAST_MOVE_CODES = 7
"""What moves is drawn anew where that makes more than this of a difference, of 255."""
LONGEST_STAND = 25
"""Frames; then a block is drawn anew in any case."""
LOOKED_AT = 24
"""Changes are planned by about so many runs of a block."""
LEAST_GAIN, MOST_GAIN = 0.9, 1.5
"""What stands as its mean swings less, and is moved away from its own mean within these limits."""


@dataclass(frozen=True, eq=False)
class Blocks:
    """Which runs change together.

    members : for each block the numbers of its runs, of which none stands still
    region : the region of each block [k]
    turn : when it is planned [k]; blocks of one turn lie in different regions
    moves : whether it shows what moves [k]; that changes with each phase
    """

    members: list[NDArray[np.intp]]
    region: NDArray[np.intp]
    turn: NDArray[np.intp]
    moves: NDArray[np.bool_]

    @classmethod
    def of(cls, runs: Runs) -> Blocks:
        """The blocks of a picture."""
        width = runs.shape[1]
        tall, wide = (
            max(least, -(-length // parts))
            for length, parts, least in zip(
                runs.shape, (REGIONS_DOWN, REGIONS_ACROSS), LEAST_REGION_PX, strict=True
            )
        )
        moving = np.flatnonzero(~runs.still)
        row, column = np.divmod(runs.first[moving], width)
        down, across = row // tall, column // wide
        turn = np.array(TURNS)[row % len(TURNS)] * 4 + 2 * (down % 2) + across % 2
        turn[~runs.moves[moving]] += 4 * len(TURNS)  # what moves leaves less of a choice
        region = down * -(-width // wide) + across
        key = region * (8 * len(TURNS)) + turn
        order = np.argsort(key, kind="stable")
        keys, starts = np.unique(key[order], return_index=True)
        members = np.split(moving[order], starts[1:]) if len(keys) else []
        region, turn = np.divmod(keys, 8 * len(TURNS))
        return cls(members, region, turn, turn < 4 * len(TURNS))


def hold_still(
    colours: Bytes,
    runs: Runs,
    blocks: Blocks,
    palette: Palette,
    space: EvenSpace,
    quality: Quality,
    phases: NDArray[np.int64],
) -> Bytes:
    """Palette numbers [n, m] for the `colours` [n, m, 3] of runs, held where it pays.

    What moves is never held from one of the `phases` [n] to the next.
    """
    numbers = np.empty(colours.shape[:2], np.uint8)
    still = np.flatnonzero(runs.still)
    numbers[:, still] = palette.numbers(runs.stands)
    if not blocks.members:
        return numbers
    cuts = change_times(colours, runs, blocks, space, quality, phases)
    true, held = [], []
    lit = runs.length * runs.lit
    for some, when in zip(blocks.members, cuts, strict=True):
        part = colours.take(some, axis=1)
        true.append(luminance_of(part) @ lit[some])
        held.append(Held(part, when, palette))
    moved = gains(held, np.stack(true), [lit[some] for some in blocks.members])
    for some, block, gain in zip(blocks.members, held, moved, strict=True):
        numbers[:, some] = block.numbers(colours.take(some, axis=1), gain)
    moving = np.flatnonzero(runs.moves)
    numbers[:, moving] = _moved(numbers[:, moving], palette)
    return numbers


def _moved(numbers: Bytes, palette: Palette) -> Bytes:
    """Palette numbers [n, m] of what moves, each kept as long as it is near to what is wanted."""
    table = palette.colours.astype(np.int16)
    off = np.abs(table[:, None] - table).max(axis=2) <= LEAST_MOVE_CODES
    for before, now in pairwise(numbers):
        near = off[before, now]
        now[near] = before[near]
    return numbers


def change_times(
    colours: Bytes,
    runs: Runs,
    blocks: Blocks,
    space: EvenSpace,
    quality: Quality,
    phases: NDArray[np.int64],
) -> list[NDArray[np.intp]]:
    """When each block is drawn anew: numbers of frames, from 0 to n."""
    longest = min(LONGEST_STAND, len(colours))
    looks = [_look(colours, some, runs, space) for some in blocks.members]
    own = np.stack([stretch_errors(each.track, longest) for each in looks])
    own[blocks.moves] = np.where(_crossing(phases, longest), np.inf, own[blocks.moves])
    change = quality.change_cost * np.array([len(some) for some in blocks.members])[:, None, None]
    light = np.stack([each.light for each in looks])
    whole = light.sum(axis=0)
    shallow = np.ptp(whole) < SHALLOW * whole.mean()
    follows = 1 - (SHALLOW_SLACK if shallow else 1) * (1 - quality.follows)
    light -= light.mean(axis=1, keepdims=True)
    steps = np.stack([each.steps for each in looks]).sum(axis=0).std()
    light *= steps / max(light.sum(axis=0).std(), 1e-9)  # as large as steps of the even space
    area = np.bincount(blocks.region, [each.pixels for each in looks])[blocks.region]
    weight = ASSUMED_LIGHT_WEIGHT
    while True:
        cuts, left = _planned(own, change, light, weight / area, blocks)
        if weight >= MOST_WEIGHT or _correlation(light.sum(axis=0), left) >= follows:
            return cuts
        weight *= WEIGHT_GROWTH


def _planned(
    own: Floats, change: Floats, light: Floats, weight: Floats, blocks: Blocks
) -> tuple[list[NDArray[np.intp]], Floats]:
    """When each block is drawn anew, and the error [n] of all light then."""
    count = light.shape[1]
    left = np.zeros((blocks.region.max() + 1, count))
    cuts: list[NDArray[np.intp]] = [np.empty(0, np.intp)] * len(own)
    crowd = np.zeros(count + 1)
    for turn in np.unique(blocks.turn):
        now = np.flatnonzero(blocks.turn == turn)
        where = blocks.region[now]
        costs = own[now] + change[now]
        costs += weight[now, None, None] * light_errors(light[now], left[where], own.shape[2])
        if crowd[1:-1].any():
            more = ASSUMED_CROWD_COST * np.clip(crowd / crowd[1:-1].mean() - 1, -1, 1)
            more[crowd == 0] = -ASSUMED_EMPTY_GAIN
            costs += change[now] * more[:, None]
        for block, change_at in zip(now, least_cuts(costs).T, strict=True):
            cuts[block] = np.flatnonzero(change_at)
            crowd[cuts[block][1:-1]] += 1
            left[blocks.region[block]] += light[block] - _means(light[block], cuts[block])
    return cuts, left.sum(axis=0)


def _means(values: Floats, cuts: NDArray[np.intp]) -> Floats:
    """Values [n] each as the mean between cuts."""
    length = np.diff(cuts)
    return np.repeat(np.add.reduceat(values, cuts[:-1]) / length, length)


def _correlation(wanted: Floats, error: Floats) -> float:
    """Correlation of some light [n] with what is left of it by an `error` [n]; 1 if it is even."""
    both = np.cov(wanted, wanted - error)
    spread = np.sqrt(both[0, 0] * both[1, 1])
    return float(both[0, 1] / spread) if spread > 0 else float(both[0, 0] == 0)


@dataclass(frozen=True, eq=False)
class _Look:
    """What is seen of one block over n frames.

    track : how its colours move, weighted by pixels [n, k]
    light, steps : its linear light, and its lightness in steps, summed over its pixels [n]
    pixels : how many it has
    """

    track: Floats
    light: Floats
    steps: Floats
    pixels: int


def _look(colours: Bytes, block: NDArray[np.intp], runs: Runs, space: EvenSpace) -> _Look:
    looked = block[:: max(1, len(block) // LOOKED_AT)]
    pixels = runs.length[block].sum()
    weight = runs.length[looked] * (pixels / runs.length[looked].sum())
    seen = colours.take(looked, axis=1)
    places = space(cell_of(seen))
    places -= places.mean(axis=0)
    track = (places * np.sqrt(weight)[:, None].astype(np.float32)).reshape(len(colours), -1)
    return _Look(track, luminance_of(seen) @ weight, places[..., 0] @ weight, int(pixels))


def stretch_errors(track: Floats, longest: int) -> Floats:
    """Squared error of showing a track [n, k] as its mean from `end` - 1 - j to `end`.

    Returns float32 [n + 1, longest] for each end and each j; infinite where that begins before 0.
    """
    count = len(track)
    dots = np.zeros((count + 1, count + 1))
    dots[1:, 1:] = (track @ track.T).cumsum(axis=0, dtype=float).cumsum(axis=1)
    own = np.diag(dots)
    square = np.concatenate([[0.0], np.einsum("ij,ij->i", track, track).cumsum(dtype=float)])
    end, begin, length = _stretches(count, longest)
    inside = own[end] - 2 * dots[begin, end] + own[begin]
    errors = square[end] - square[begin] - inside / length
    return np.where(end < length, np.inf, errors).astype(np.float32)


def _crossing(phases: NDArray[np.int64], longest: int) -> Bools:
    """Which of the stretches of `stretch_errors` reach from one phase to another."""
    end, begin, _ = _stretches(len(phases), longest)
    stay = np.cumsum(np.diff(phases, prepend=phases[:1]) != 0)
    crossing: Bools = stay[begin.clip(max=len(phases) - 1)] != stay[(end - 1).clip(0)]
    return crossing


def light_errors(light: Floats, left: Floats, longest: int) -> Floats:
    """What showing `light` [k, n] as its mean adds to the squared error `left` [k, n] so far.

    Returns [k, n + 1, longest], as `stretch_errors`: the sum of (left + light - mean)^2 - left^2.
    """
    end, begin, length = _stretches(light.shape[1], longest)

    def over(values: Floats) -> Floats:
        total = np.pad(values.cumsum(axis=1), ((0, 0), (1, 0)))
        inside: Floats = total[:, end[:, 0], None] - total[:, begin]
        return inside

    total = over(light)
    errors: Floats = over(light * (light + 2 * left)) - total * (total + 2 * over(left)) / length
    return errors


def _stretches(
    count: int, longest: int
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    """Ends [count + 1, 1], begins [count + 1, longest] and lengths [longest] of all stretches."""
    end = np.arange(count + 1)[:, None]
    length = np.arange(1, longest + 1)
    return end, np.maximum(end - length, 0), length


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


class Held:
    """Some runs in n frames, shown as their means between cuts.

    Means swing less than what they stand for, so they can be moved away from the mean of all.
    """

    def __init__(self, colours: Bytes, cuts: NDArray[np.intp], palette: Palette) -> None:
        """`colours` [n, m, 3] of the runs, and the numbers of frames where they change."""
        self._palette, self._length = palette, np.diff(cuts)
        # No stand is so long that its sum overflows.
        self._total = np.add.reduceat(colours, cuts[:-1], axis=0, dtype=np.uint16)

    def _means(self, gain: float) -> Bytes:
        length = self._length.astype(np.float32)[:, None, None]
        middle = self._total.sum(axis=0) / length.sum()
        means: Bytes = np.rint(middle + gain * (self._total / length - middle)).clip(0, 255)
        return means.astype(np.uint8)

    def light(self, gain: float, pixels: NDArray[np.integer]) -> Floats:
        """The light [n] of the runs, each of so many `pixels` [m], moved away by `gain`."""
        shown = self._palette.light.take(self._palette.numbers(self._means(gain)))
        return np.repeat(shown @ pixels, self._length)

    def numbers(self, colours: Bytes, gain: float) -> Bytes:
        """Palette numbers [n, m]. A run off by more than `WORST_CODES` has its own colour."""
        means = self._means(gain)
        numbers = np.repeat(self._palette.numbers(means), self._length, axis=0)
        off = colours - np.repeat(means, self._length, axis=0)
        off += WORST_CODES  # wraps round where too low, so that one comparison serves both sides
        too_far = off > 2 * WORST_CODES
        far = too_far[..., 0] | too_far[..., 1] | too_far[..., 2]
        numbers[far] = self._palette.numbers(colours[far])
        return numbers


def gains(held: list[Held], true: Floats, pixels: list[NDArray[np.integer]]) -> Floats:
    """How far each of the blocks is moved away, so that its light swings as the `true` [k, n].

    Then all by as much again as makes the light of all of them together swing as it should.
    """
    gain = np.ones(len(held))
    for together in (False, True, True):
        shown = np.stack([h.light(g, p) for h, g, p in zip(held, gain, pixels, strict=True)])
        if together:
            gain *= true.sum(axis=0).std() / max(shown.sum(axis=0).std(), 1e-9)
        else:
            gain *= true.std(axis=1) / np.maximum(shown.std(axis=1), 1e-9)
        gain = np.clip(gain, LEAST_GAIN, MOST_GAIN)
    return gain
