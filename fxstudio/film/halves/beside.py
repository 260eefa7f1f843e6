"""Two effects in one film: side by side, at the same time, under the same drive."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fxstudio.arrays import Bytes
from fxstudio.effect.model import Effect
from fxstudio.film.captions.strip import Strip, abreast, each_once, em_of, heading_strip
from fxstudio.film.rolling import Motion
from fxstudio.film.take import Shot, Take
from fxstudio.light.simulation import Brightness


@dataclass(frozen=True)
class Halves:
    """Two looks for one film.

    left, right : the effects; their scenes, lamps and lengths may differ
    headings : what each is, in a few words
    """

    left: Effect
    right: Effect
    headings: tuple[str, str]


@dataclass(frozen=True)
class BesideTake(Take):
    """A take of two effects that has the same face as that of one.

    Each half is the picture of a film of half the width; one drive, caption and seed serve both.
    """

    halves: Halves = field(kw_only=True)

    @cached_property
    def takes(self) -> tuple[Take, Take]:
        """A take of each half, without anything under its picture."""
        return self._takes(self.shot, self.strip.height if self.strip else 0)

    def _takes(self, shot: Shot, under: int) -> tuple[Take, Take]:
        left, right = widths_of(shot.width)
        lower = replace(shot, height=shot.height - under)
        return (
            Take(self.halves.left, self.drive, replace(lower, width=left), still=self.still),
            Take(self.halves.right, self.drive, replace(lower, width=right), still=self.still),
        )

    @cached_property
    def brightness(self) -> Brightness:
        """The light [frames, lamps] of the left half, then of the right one."""
        left, right = (take.brightness for take in self.takes)
        return Brightness(
            left.times_s,
            np.hstack([left.light, right.light]),
            np.hstack([left.lit, right.lit]),
            (*left.lamps, *right.lamps),
            (*left.fitted, *right.fitted),
        )

    @cached_property
    def phases(self) -> NDArray[np.int64]:
        """The phase [frames] of what moves; one drive moves both halves alike, if they move."""
        left, right = (take.phases for take in self.takes)
        return np.where(left, left, right)

    @property
    def motion(self) -> Motion | None:
        """Which pixels of the whole picture move when, if any do."""
        pixels, first = [], 0
        for take in self.takes:
            wide = take.shot.width
            if take.motion:
                rows, columns = np.divmod(take.motion.pixels, wide)
                pixels.append(rows * self.shot.width + first + columns)
            first += wide
        return Motion(np.sort(np.concatenate(pixels)), self.phases) if pixels else None

    def frame(self, number: int) -> Bytes:
        """The pictures of frame `number` side by side, [h, w, 3] in sRGB."""
        both: Bytes = np.concatenate([take.frame(number) for take in self.takes], axis=1)
        return both

    def _strip_of(self, shot: Shot) -> Strip | None:
        strip = super()._strip_of(shot)
        return each_once(strip) if strip else None

    def _own_strips(self, shot: Shot) -> list[Strip]:
        widths, takes = widths_of(shot.width), self._takes(shot, 0)
        named = [
            heading_strip(text, width, em_of(shot.width))
            for text, width in zip(self.halves.headings, widths, strict=True)
        ]
        strips = [abreast(*named)]
        if self.lanes:
            each = zip(takes, widths, strict=True)
            strips.append(abreast(*(take.lanes_strip(width, shot) for take, width in each)))
        return strips


def widths_of(width: int) -> tuple[int, int]:
    """Widths of the left and the right half of a film, in pixels."""
    return width // 2, width - width // 2
