"""How long the frames of a film stand, as a GIF can keep it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.arrays import Floats
from fxstudio.errors import InputError

SHORTEST_DELAY_CS = 2
"""Viewers show a frame of 0 or 1 hundredths for 10. Common practice."""
FASTEST_FPS = 100 / SHORTEST_DELAY_CS
LONGEST_DELAY_CS = 65535
"""Delay time is an unsigned 16 bit number. Source: GIF89a section 23."""


def check_rate(fps: float, field: str = "fps") -> None:
    """Raise `InputError` for a frame rate that a GIF cannot keep; `field` is what is named."""
    if not (math.isfinite(fps) and 0 < fps <= FASTEST_FPS):
        raise InputError(
            "this frame rate cannot be kept in a GIF", field=field, given=fps
        ).allowing(
            f"more than 0, at most {FASTEST_FPS:g}; a frame lasts whole 1/100 s",
            remedy="use 25, or 50 for fast flicker",
        )


def frame_delays(fps: float, duration_s: float) -> NDArray[np.int64]:
    """How long each frame stands, in whole 1/100 s; none below 2, the sum exact.

    Each is the difference of two rounded times, so that 30 fps gives 3, 4, 3, 3, 4, 3 and
    never runs off. Raises `InputError` for a rate outside 0..50 or no time for one frame.
    """
    check_rate(fps)
    total_cs = round(100 * duration_s) if math.isfinite(duration_s) else 0
    count = min(round(fps * total_cs / 100), total_cs // SHORTEST_DELAY_CS)
    if count < 1 or total_cs > LONGEST_DELAY_CS:
        raise InputError(
            "this duration holds no frame" if count < 1 else "this duration is too long",
            field="duration_s",
            given=duration_s,
            allowed=f"{max(1 / fps, 0.02):g} to {LONGEST_DELAY_CS / 100} s at {fps:g} fps",
            remedy="use a few seconds: the film loops",
        )
    ends = np.rint(np.linspace(0, total_cs, count + 1)).astype(np.int64)
    return ends[1:] - ends[:-1]


def frame_times_s(delays_cs: ArrayLike) -> Floats:
    """When each frame begins, in s from the start of the loop; shape as `delays_cs`."""
    delays = np.asarray(delays_cs)
    times: Floats = (np.cumsum(delays) - delays) / 100
    return times


def checked_delays(delays_cs: ArrayLike) -> NDArray[np.integer]:
    """`delays_cs` as an array, or an `InputError` that says what is wrong."""
    delays = np.asarray(delays_cs)
    if delays.ndim != 1 or delays.size == 0:
        raise InputError(
            "there are no frames to write", field="delays_cs", given=f"shape {delays.shape}"
        ).allowing("one whole number for each frame", remedy="make the film longer than one frame")
    whole = np.issubdtype(delays.dtype, np.integer)
    if not whole or delays.min() < SHORTEST_DELAY_CS or delays.sum() > LONGEST_DELAY_CS:
        raise InputError(
            "a frame cannot stand this long", field="delays_cs", given=delays.tolist()
        ).allowing(
            f"whole 1/100 s, each at least {SHORTEST_DELAY_CS}, {LONGEST_DELAY_CS} in all",
            remedy="take them from frame_delays",
        )
    return delays
