"""What a viewer sees of a film file, as pictures of numbered colours."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes
from fxstudio.film.indexed.palette import UNKNOWN, Palette, choose_colours
from fxstudio.on_disk import OnDisk

Decoded = Iterator[tuple[Bytes, int]]
"""Pictures [h, w, 3] in sRGB, and how long each stands in 1/100 s."""

KEPT_BYTES = 400_000_000
"""Up to this all pictures are kept on disk; a longer film is decoded anew when it is asked for
again."""
LOOKED_AT = 8
"""Pictures of a film in many colours from which those are chosen that stand for all."""


@dataclass(frozen=True, eq=False)
class SeenFilm:
    """The pictures of a film file.

    numbers : picture after picture, uint8 [h, w]; can be gone through again and again
    colours : sRGB [k, 3] of the numbers
    delays_cs : how long each stands, in 1/100 s
    """

    numbers: Iterable[Bytes]
    colours: Bytes
    delays_cs: NDArray[np.integer]


class _Exact:
    """Numbers colours as they are met, as long as they are few enough."""

    def __init__(self) -> None:
        self._table = np.full(1 << 24, UNKNOWN, np.uint8)
        self._codes = np.empty(0, np.int32)
        self.enough = True

    @property
    def colours(self) -> Bytes:
        """The colours met so far, [k, 3]."""
        channels = [self._codes >> 16, self._codes >> 8, self._codes]
        return np.stack(channels, axis=-1).astype(np.uint8)

    def numbers(self, pixels: Bytes) -> Bytes:
        """The numbers [n] of colours [n, 3]."""
        red, green, blue = pixels.T.astype(np.int32)
        codes = red << 16 | green << 8 | blue
        numbers: Bytes = self._table.take(codes)
        unmet = numbers == UNKNOWN
        if unmet.any():
            self._codes = np.append(self._codes, np.unique(codes[unmet]))
            self.enough = len(self._codes) <= UNKNOWN
            if self.enough:
                self._table[self._codes] = np.arange(len(self._codes))
                numbers = self._table.take(codes)
        return numbers


@dataclass(frozen=True)
class _Again:
    """Pictures decoded anew each time they are gone through."""

    decode: Callable[[], Decoded]
    number: Callable[[Bytes], Bytes]

    def __iter__(self) -> Iterator[Bytes]:
        for picture, _ in self.decode():
            yield self.number(picture.reshape(-1, 3)).reshape(picture.shape[:2])


def watched(decode: Callable[[], Decoded]) -> SeenFilm:
    """What a viewer sees of the film that `decode` reads from its start at each call.

    A film of more than 255 colours is seen in the 255 that stand for them best.
    """
    exact = _Exact()
    delays: list[int] = []
    pixels = 0
    for picture, delay in decode():
        delays.append(delay)
        pixels += picture.shape[0] * picture.shape[1]
        if exact.enough:
            exact.numbers(picture.reshape(-1, 3))
    if exact.enough:
        numbers, colours = _Again(decode, exact.numbers), exact.colours
    else:
        looked = -(-len(delays) // LOOKED_AT)
        some = [picture for at, (picture, _) in enumerate(decode()) if at % looked == 0]
        palette = Palette(choose_colours(np.concatenate(some).reshape(-1, 3)))
        numbers, colours = _Again(decode, palette.numbers), palette.colours
    if pixels > KEPT_BYTES:
        return SeenFilm(numbers, colours, np.array(delays))
    kept = OnDisk()
    for each in numbers:
        kept.append(each)
    return SeenFilm(kept, colours, np.array(delays))
