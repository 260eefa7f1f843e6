"""What codes cost: whole numbers that can be added, in the order in which they count.

Above all a lamp that shall shine is never dark; then it is lit in each state in which it shall
be, then dark in each in which it shall be dark; then as little as can be is lost of its light, but
for what nobody sees. Where all that is equal, outputs that nobody named keep what they do; then the
pattern is the one that was asked for, its brightness and rate are the nearest, the writes are few,
what shall be dark is so by its light, and values are as delivered.
"""

from __future__ import annotations

from math import ceil
from typing import Final

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.decoder.search.least_sum import Counts

LOST: Final = 10_000
"""Parts of a look that count; a smaller difference is within how it is reckoned."""

UNSEEN: Final = LOST // 100
"""A loss that nobody sees, as `suit` tells it. To save no more than that is no ground for another
kind of pattern, nor for a change of outputs that nobody named."""

STATES: Final = 256
"""Parts of all states of keys, direction and motion that count."""

HALF_OF_ALL_STATES: Final = 0.5
"""Share of the states in which one key is on, or in which a locomotive stands."""

WRONG: Final = 1 << 19
MISSING: Final = WRONG << 13
OUT: Final = MISSING << 13
FORBIDDEN: Final = 1 << 55
"""Weights of the first number: 32 lamps never carry over from one to the next."""

DELIVERED: Final = 1
BY_CONDITIONS: Final = 1 << 8
WRITE: Final = 1 << 10
NEAR: Final = WRITE << 10
STRANGE: Final = NEAR << 16
UNNAMED: Final = STRANGE << 16
"""Weights of the second number."""


def lost(share: Floats) -> Counts:
    """What is lost of one look, 0..1, as a cost."""
    found: Counts = np.round(share * LOST).astype(np.int64)
    return found


def states(share: float) -> int:
    """A share of all states as a cost; never nothing if it is any."""
    return ceil(share * STATES)


def nearness(difference: Floats) -> Counts:
    """Differences of brightness, 0..1 each, and of rate in octaves, added up, as a cost."""
    found: Counts = np.round(np.minimum(difference, 2) * 1000).astype(np.int64) * NEAR
    return found


def strange(distance: float) -> tuple[int, int]:
    """How far a pattern is from the one that was asked for, 0..2, as costs of both numbers."""
    return round(min(1.0, distance) * UNSEEN), min(2000, round(distance * 1000)) * STRANGE


def unnamed(changes: Counts) -> tuple[Counts, Counts]:
    """Changes of outputs that nobody named, by count, as costs of both numbers."""
    return (changes > 0) * np.int64(UNSEEN), changes * np.int64(UNNAMED)
