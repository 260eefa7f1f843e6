"""Opposing changes of every point of a looping picture.

A rule says which pairs of colours are a change. A point makes a change when its colour rises,
by the rule, from any colour it has had since its change before, and then falls from any since;
so small ripples on the way neither hide a change nor add one. Sets of colours are bits of a few
64-bit words, which makes the search exact for any rule and the same for all of them. Points that
take the same course through the loop, as neighbours in a quantised film do, are followed as one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.uint64]


@dataclass(frozen=True, eq=False)
class Steps:
    """The changes of the courses that change at all.

    course : [points], number of the course of each point, -1 if it never changes
    way : int8 [frames played, m], 1 if a course rises, -1 if it falls, 0 neither
    """

    course: NDArray[np.integer]
    way: NDArray[np.int8]

    @cached_property
    def moved(self) -> NDArray[np.bool_]:
        """Whether a course changes, [frames played, m]."""
        return self.way != 0

    @cached_property
    def busy(self) -> list[int]:
        """Numbers of the frames at which something changes."""
        return np.flatnonzero(self.moved.any(axis=1)).tolist()

    @cached_property
    def points(self) -> NDArray[np.integer]:
        """How many points take each course, [m]."""
        return np.bincount(self.course[self.course >= 0], minlength=self.way.shape[1])

    def at_points(self, values: NDArray[Any]) -> NDArray[Any]:
        """What is so of courses [m] at each point [points]; 0 where nothing changes."""
        return np.append(values, values.dtype.type(0))[self.course]

    def of_points(self, course: NDArray[np.integer]) -> Steps:
        """The same for points of which each takes a `course` [points] that was followed here."""
        return Steps(self.course[course], self.way)


def courses(
    numbers: NDArray[np.unsignedinteger],
) -> tuple[NDArray[np.unsignedinteger], NDArray[np.integer]]:
    """The different courses [n, m] that points take, and the number of that of each [points]."""
    rows = np.ascontiguousarray(numbers.T)
    whole = rows.view(np.dtype((np.void, rows.itemsize * rows.shape[1])))[:, 0]
    _, first, course = np.unique(whole, return_index=True, return_inverse=True)
    return numbers[:, first], course


def follow(numbers: NDArray[np.unsignedinteger], rises: NDArray[np.bool_], rounds: int) -> Steps:
    """The changes of points with colour `numbers` [n, points], the loop played `rounds` times.

    `rises` [k, k] says whether going from the first colour to the second is a rise.
    """
    colours = len(rises)
    one = _bits(np.eye(colours, dtype=bool))
    from_below, from_above = _bits(rises.T), _bits(rises)
    either = [below | above for below, above in zip(from_below, from_above, strict=True)]
    which = _able(numbers, rises, one, either)
    place = np.full(numbers.shape[1], -1)
    place[which] = np.arange(len(which))
    course = numbers[:, which]
    way = np.zeros((rounds * len(numbers), len(which)), np.int8)
    if not len(which):
        return Steps(place, way)

    # What would be a change, by the last change of the point: a fall, none yet, a rise.
    wanted = [np.concatenate(words) for words in zip(from_below, either, from_above, strict=True)]
    block = np.full(len(which), colours)
    had = [_look_up(word, course[0].astype(np.intp)) for word in one]
    for frame in range(len(way)):
        now = course[frame % len(course)].astype(np.intp)
        row = now + block
        change = np.zeros(len(which), np.uint64)
        for seen, word, own in zip(had, wanted, one, strict=True):
            change |= seen & _look_up(word, row)
            seen |= _look_up(own, now)
        where = np.flatnonzero(change)
        if not len(where):
            continue
        # A colour is no change from itself, so having added `now` to what was had is no matter.
        here, before = now[where], block[where]
        risen = np.zeros(len(where), bool)
        for seen, word in zip(had, from_below, strict=True):
            risen |= (seen[where] & word[here]) != 0
        up = np.where(before == colours, risen, before == 0)
        way[frame, where] = np.where(up, 1, -1)
        block[where] = np.where(up, 2 * colours, 0)
        for seen, word in zip(had, one, strict=True):
            seen[where] = word[here]
    return Steps(place, way)


def _look_up(table: Words, rows: NDArray[np.intp]) -> Words:
    return table.take(rows, mode="clip")  # all are in range, and not checking is faster


def _bits(sets: NDArray[np.bool_]) -> list[Words]:
    """Sets of colours, bool [k, k], as words: for each word of 64 colours, uint64 [k]."""
    packed = np.packbits(sets, axis=1, bitorder="little")
    padded = np.ascontiguousarray(np.pad(packed, ((0, 0), (0, -packed.shape[1] % 8))))
    return list(np.ascontiguousarray(padded.view("<u8").T.astype(np.uint64)))


def _able(
    numbers: NDArray[np.unsignedinteger],
    rises: NDArray[np.bool_],
    one: list[Words],
    either: list[Words],
) -> NDArray[np.integer]:
    """Numbers of the points that have two colours with a rise from one to the other."""
    # First those that have a colour from which and a colour to which anything rises.
    lower, upper = rises.any(axis=1), rises.any(axis=0)
    may = np.zeros((2, numbers.shape[1]), bool)
    for frame in numbers:
        may[0] |= lower.take(frame)
        may[1] |= upper.take(frame)
    which = np.flatnonzero(may.all(axis=0))
    course = numbers[:, which]
    had = [np.zeros(len(which), np.uint64) for _ in one]
    able = np.zeros(len(which), bool)
    for frame in course:
        now = frame.astype(np.intp)
        for seen, own, word in zip(had, one, either, strict=True):
            seen |= _look_up(own, now)
            able |= (seen & _look_up(word, now)) != 0
    return which[able]
