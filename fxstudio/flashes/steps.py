"""Opposing changes of every pixel of a looping picture.

A rule says which pairs of colours are a change. A pixel makes a change when its colour rises,
by the rule, from any colour it has had since its change before, and then falls from any since;
so small ripples on the way neither hide a change nor add one. Sets of colours are bits of a few
64-bit words, which makes the search exact for any rule and the same for all of them. Pixels that
take the same course through the loop, as neighbours in a quantised film do, are followed as one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import chain, repeat

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bools, Bytes
from fxstudio.on_disk import OnDisk

Words = NDArray[np.uint64]


MIXER = 0x9E3779B97F4A7C15
"""An odd number of 64 bits with no pattern in it: 2^64 divided by the golden ratio."""


@dataclass(frozen=True, eq=False)
class Steps:
    """The changes of the pixels that change at all; those that change alike are one course.

    course : [pixels], number of the course of each pixel, -1 if it never changes
    way : int8 [m] for each of the frames played, 1 if a course rises, -1 if it falls, 0 neither
    """

    course: NDArray[np.integer]
    way: OnDisk

    @cached_property
    def busy(self) -> list[int]:
        """Numbers of the frames at which something changes."""
        return [number for number, way in enumerate(self.way) if way.any()]

    @cached_property
    def pixels(self) -> NDArray[np.integer]:
        """How many pixels take each course, [m]."""
        return np.bincount(self.course[self.course >= 0])

    def at_pixels(self, values: Bytes) -> Bytes:
        """What is so of courses [m] at each pixel [pixels]; 0 where nothing changes."""
        at: Bytes = np.append(values, np.uint8(0))[self.course]
        return at

    def of_pixels(self, course: NDArray[np.integer], among: Bools) -> Steps:
        """The same for all pixels, of which those `among` take a `course` followed here each."""
        whole = np.full(len(among), -1)
        whole[among] = self.course[course]
        return Steps(whole, self.way)


@dataclass(frozen=True)
class Rows:
    """Pictures as rows of their pixels, or of some of them."""

    pictures: Iterable[NDArray[np.integer]]
    some: Bools | None = None

    def __iter__(self) -> Iterator[NDArray[np.integer]]:
        rows = (picture.reshape(-1) for picture in self.pictures)
        return rows if self.some is None else (row[self.some] for row in rows)


def courses(
    numbers: Iterable[NDArray[np.integer]],
) -> tuple[OnDisk, NDArray[np.integer]]:
    """The different columns of rows of `numbers` [pixels]: rows [m], and which each is [pixels].

    The rows are gone through twice. Columns are told apart by a sum of 64 bits.
    Each is then held against the one it is taken for: should two share a sum by chance, another
    sum is tried.
    """
    mixer = MIXER
    while True:
        mixed = np.zeros(1, np.uint64)
        for row in numbers:
            mixed = mixed * np.uint64(mixer) + row.astype(np.uint64, copy=False)
        _, first, course = np.unique(mixed, return_index=True, return_inverse=True)
        different = OnDisk()
        for row in numbers:
            some = row.take(first)
            different.append(some)
            if not np.array_equal(some.take(course), row):
                break
        else:
            return different, course
        mixer += 2


@dataclass(frozen=True)
class _Some:
    """Rows of the kinds of colours that some pixels have."""

    rows: Iterable[NDArray[np.integer]]
    which: NDArray[np.intp]
    kind: NDArray[np.integer]

    def __iter__(self) -> Iterator[NDArray[np.integer]]:
        for row in self.rows:
            yield self.kind.take(row.take(self.which))


def follow(numbers: Iterable[NDArray[np.integer]], rises: Bools, rounds: int) -> Steps:
    """The changes of pixels with rows of colour `numbers` [pixels], played `rounds` times.

    `rises` [k, k] says whether going from the first colour to the second is a rise.
    """
    each = perhaps(numbers, [rises])
    pixels, may = len(each), np.flatnonzero(each)
    kind, rises = _told_apart(rises)
    of = partial(_Some, numbers, kind=kind)
    one = _bits(np.eye(len(rises), dtype=bool))
    from_below, from_above = _bits(rises.T), _bits(rises)
    either = [below | above for below, above in zip(from_below, from_above, strict=True)]
    which = may[_able(of(may), len(may), one, either)]

    # What would be a change, by the last change of the course: a fall, none yet, a rise.
    wanted = [np.concatenate(words) for words in zip(from_below, either, from_above, strict=True)]
    colours = len(rises)
    block = np.full(len(which), colours)
    ways = OnDisk()
    had: list[Words] = []
    for kinds in chain.from_iterable(repeat(of(which), rounds)):
        now = kinds.astype(np.intp)
        had = had or [_look_up(word, now) for word in one]
        row = now + block
        way = np.zeros(len(which), np.int8)
        change = np.zeros(len(which), np.uint64)
        for seen, word, own in zip(had, wanted, one, strict=True):
            change |= seen & _look_up(word, row)
            seen |= _look_up(own, now)
        where = np.flatnonzero(change)
        # A colour is no change from itself, so having added `now` to what was had is no matter.
        here, before = now[where], block[where]
        risen = np.zeros(len(where), bool)
        for seen, word in zip(had, from_below, strict=True):
            risen |= (seen[where] & word[here]) != 0
        up = np.where(before == colours, risen, before == 0)
        way[where] = np.where(up, 1, -1)
        ways.append(way)
        block[where] = np.where(up, 2 * colours, 0)
        for seen, word in zip(had, one, strict=True):
            seen[where] = word[here]
    different, alike = courses(ways)
    place = np.full(pixels, -1)
    place[which] = alike
    return Steps(place, different)


def _look_up(table: Words, rows: NDArray[np.intp]) -> Words:
    return table.take(rows, mode="clip")  # all are in range, and not checking is faster


def _bits(sets: Bools) -> list[Words]:
    """Sets of colours, bool [k, k], as words: for each word of 64 colours, uint64 [k]."""
    packed = np.packbits(sets, axis=1, bitorder="little")
    padded = np.ascontiguousarray(np.pad(packed, ((0, 0), (0, -packed.shape[1] % 8))))
    return list(np.ascontiguousarray(padded.view("<u8").T.astype(np.uint64)))


def perhaps(numbers: Iterable[NDArray[np.integer]], rises: Sequence[Bools]) -> Bools:
    """Which pixels [pixels] have a colour that rises to some, and one to which some rise.

    `rises` are those of one rule or more, up to four; the pixels are those of any of them.
    """
    lower, upper = 1, 2
    each = [lower * rise.any(axis=1) + upper * rise.any(axis=0) for rise in rises]
    ends = np.sum([end << 2 * at for at, end in enumerate(each)], axis=0).astype(np.uint8)
    had: Bytes = np.zeros(1, np.uint8)
    for frame in numbers:
        had = had | ends.take(frame)
    both = [had >> 2 * at & 3 == lower | upper for at in range(len(rises))]
    may: Bools = np.logical_or.reduce(both)
    return may


def _told_apart(rises: Bools) -> tuple[NDArray[np.integer], Bools]:
    """Kinds [k] of colours that the rule does not tell apart, and its rises between them."""
    _, kind = courses(np.packbits(np.concatenate([rises, rises.T]), axis=0))
    _, first = np.unique(kind, return_index=True)
    return kind.astype(np.min_scalar_type(len(first))), rises[np.ix_(first, first)]


def _able(
    numbers: Iterable[NDArray[np.integer]], count: int, one: list[Words], either: list[Words]
) -> NDArray[np.integer]:
    """Which of `count` pixels have two colours with a rise from one to the other."""
    had = [np.zeros(count, np.uint64) for _ in one]
    able = np.zeros(count, bool)
    for frame in numbers:
        now = frame.astype(np.intp)
        for seen, own, word in zip(had, one, either, strict=True):
            seen |= _look_up(own, now)
            able |= (seen & _look_up(word, now)) != 0
    return np.flatnonzero(able)
