"""The calm view: pictures change so softly that they cannot flash more than three times a second.

What is shown moves in straight lines between pictures a quarter of a second apart. In any one
second it can turn up or down five times at most, which makes two and a half flashes, each a pair
of opposing changes. It is the pictures that are calmed, not the lamps: whatever changed, a colour,
a place, the scene or the lamps themselves, is shown no quicker. Each picture is that of the mean
of the true light over the half second before, so that fast flicker becomes its average.
Source of the limit: WCAG 2.2, success criterion 2.3.1.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable

import numpy as np

from fxstudio.arrays import Bytes, Floats
from fxstudio.cautions import for_steps
from fxstudio.colour import srgb_decode
from fxstudio.scenes.render import CODE_STEPS, CODES

CAUTION = (
    "The true view shows the flicker as it is, which may flash more than three times a second.",
    "Flickering and flashing light can bring on seizures in people with photosensitive epilepsy, "
    "and discomfort in many others.",
    *for_steps("looking"),
    "Look away at once if you feel unwell; ask a doctor if you are not sure.",
)
"""What a person must have read before the calm view can be turned off."""

STEP_S = 0.25
"""Time between turning points; a sixth of a second is the shortest within the limit."""

MEAN_S = 0.5
"""Time over which the true light is averaged."""

SAMPLES = 48
"""Samples of the true light in that time: 96 a second, enough for 25 changes a second."""

Frame = Bytes
"""A picture [h, w, 3] in sRGB."""

LINEAR = (CODE_STEPS * srgb_decode(np.arange(256) / 255)).astype(np.float32)
"""Linear light of each sRGB number, in steps of `CODES`."""


def mean_times_s(film_s: float) -> Floats:
    """The times [n] in the film over which the light shown at `film_s` is averaged."""
    return film_s - np.arange(SAMPLES) * (MEAN_S / SAMPLES)


class CalmView:
    """Goes softly from picture to picture; ask it once a frame.

    It goes by the time that passes for the viewer, not by the time in the film, so that
    seeking and stepping cannot flash either.
    """

    def __init__(self) -> None:
        self._first: tuple[Hashable, Frame] | None = None
        self._last: tuple[Hashable, Frame] | None = None
        self._wanted: Hashable = None
        self._since_s = 0.0
        self._mixer: Mixer | None = None

    @property
    def settled(self) -> bool:
        """Whether the picture shown is the one wanted last, and stays."""
        last = self._last
        return last is None or (self._first is last and last[0] == self._wanted)

    def at(self, now_s: float, wanted: Hashable, draw: Callable[[], Frame]) -> Frame:
        """The picture to show at the viewer's time `now_s`; the same array if it is as before.

        `wanted` tells apart what should be seen, and `draw` draws it; all are of one size. It is
        drawn only for the end of a line, a few times a second.
        """
        self._wanted = wanted
        if self._first is None or self._last is None:
            self._first = self._last = wanted, draw()
            self._since_s = now_s
        elapsed_s = now_s - self._since_s
        if elapsed_s >= STEP_S:
            # After a pause of many steps the next line still begins where the last one ended.
            self._first = self._last
            if self._last[0] != wanted:
                self._last = wanted, draw()
            self._since_s = now_s if elapsed_s >= 2 * STEP_S else self._since_s + STEP_S
            elapsed_s = now_s - self._since_s
        first, last = self._first[1], self._last[1]
        if first is last:
            return first
        if self._mixer is None or self._mixer.first is not first or self._mixer.last is not last:
            self._mixer = Mixer(first, last)
        return self._mixer.at(min(1.0, elapsed_s / STEP_S))

    def hold(self, now_s: float) -> Frame | None:
        """Like `at`, while what is wanted cannot be drawn yet: come to rest at the last picture."""
        if self._last is None:
            return None
        wanted, frame = self._last
        return self.at(now_s, wanted, lambda: frame)


class Mixer:
    """Pictures between two others, mixed in linear light.

    Luminance and colour then go straight from one to the other. Mixed as sRGB numbers, green to
    magenta would dip on its way: two more changes in every line.
    """

    def __init__(self, first: Frame, last: Frame) -> None:
        self.first, self.last = first, last
        self._start = LINEAR.take(first) + np.float32(0.5)
        self._way = LINEAR.take(last) - LINEAR.take(first)
        self._mixed = np.empty_like(self._way)

    def at(self, share: float) -> Frame:
        """The picture at a share 0..1 of the way."""
        np.multiply(self._way, np.float32(share), out=self._mixed)
        np.add(self._mixed, self._start, out=self._mixed)
        return CODES.take(self._mixed.astype(np.int32), mode="clip")
