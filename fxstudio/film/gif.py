"""Write a film as a GIF that loops without end.

One colour table serves all frames, pixels that stay as they are become transparent, and
the file takes its place only when it is whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import imageio.v3 as imageio
import numpy as np
from numpy.typing import ArrayLike, NDArray

from fxstudio.errors import InputError
from fxstudio.film.palette import Bytes
from fxstudio.film.quantise import Shown
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing

SHORTEST_DELAY_CS = 2
"""Viewers show a frame of 0 or 1 hundredths for 10. Common practice."""
FASTEST_FPS = 100 / SHORTEST_DELAY_CS
LONGEST_DELAY_CS = 65535
"""Delay time is an unsigned 16 bit number. Source: GIF89a section 23."""


@dataclass(frozen=True)
class GifReport:
    """What was written: bytes of the file, frames shown, seconds, colours in the table."""

    path: Path
    bytes: int
    frames: int
    duration_s: float
    colours: int


def frame_delays(fps: float, duration_s: float) -> NDArray[np.int64]:
    """How long each frame stands, in whole 1/100 s; none below 2, the sum exact.

    Each is the difference of two rounded times, so that 30 fps gives 3, 4, 3, 3, 4, 3 and
    never runs off. Raises `InputError` for a rate outside 0..50 or no time for one frame.
    """
    if not (math.isfinite(fps) and 0 < fps <= FASTEST_FPS):
        raise InputError(
            "this frame rate cannot be kept in a GIF",
            field="fps",
            given=fps,
            allowed=f"more than 0, at most {FASTEST_FPS:g}; a frame lasts whole 1/100 s",
            remedy="use 25, or 50 for fast flicker",
        )
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
    return np.diff(np.rint(np.linspace(0, total_cs, count + 1)).astype(np.int64))


def frame_times_s(delays_cs: ArrayLike) -> NDArray[np.floating]:
    """When each frame begins, in s from the start of the loop; shape as `delays_cs`."""
    delays = np.asarray(delays_cs)
    return (np.cumsum(delays) - delays) / 100


def write_gif(
    path: Path | str,
    shown: Shown,
    comment: str | None = None,
    progress: Progress | None = None,
) -> GifReport:
    """Write a film as a GIF that loops for ever.

    Parameters
    ----------
    path : file to write; one that exists is replaced when the new one is whole
    shown : the film as from `quantised`, its delays as from `frame_delays`
    comment : text for the file's comment, in ASCII
    progress : asked once all is encoded, before the file is opened, whether to go on

    Raises `InputError` for delays a GIF cannot have, `WriteError` if `path` cannot be written.
    """
    delays, colours = checked_delays(shown.delays_cs), shown.colours
    count = len(delays)
    durations = [10 * int(delay) for delay in delays]
    # By way of memory: a failing disk then meets plain Python, not the library's clean-up.
    data = imageio.imwrite(
        "<bytes>",
        shown.numbers,
        plugin="pillow",
        extension=".gif",
        is_batch=True,
        palette=colour_table(colours),
        transparency=len(colours),
        optimize=True,  # makes unchanged pixels transparent
        disposal=1,
        duration=durations if count > 1 else durations[0],
        loop=0,
        interlace=0,
        comment=(comment or "").encode("ascii", "replace"),
    )
    if progress:
        progress.check()
    with replacing(path) as file:
        file.write(data)
    return GifReport(Path(path), len(data), count, int(delays.sum()) / 100, len(colours))


def colour_table(colours: Bytes) -> bytes:
    """The colours and, after them, one unlike any of them for transparent pixels."""
    held = {bytes(colour) for colour in colours}
    spare = next(bytes([grey] * 3) for grey in range(256) if bytes([grey] * 3) not in held)
    return colours.tobytes() + spare


def checked_delays(delays_cs: ArrayLike) -> NDArray[np.integer]:
    """`delays_cs` as an array, or an `InputError` that says what is wrong."""
    delays = np.asarray(delays_cs)
    if delays.ndim != 1 or delays.size == 0:
        raise InputError(
            "there are no frames to write",
            field="delays_cs",
            given=f"shape {delays.shape}",
            allowed="one whole number for each frame",
            remedy="make the film longer than one frame",
        )
    whole = np.issubdtype(delays.dtype, np.integer)
    if not whole or delays.min() < SHORTEST_DELAY_CS or delays.sum() > LONGEST_DELAY_CS:
        raise InputError(
            "a frame cannot stand this long",
            field="delays_cs",
            given=delays.tolist(),
            allowed=f"whole 1/100 s, each at least {SHORTEST_DELAY_CS}, {LONGEST_DELAY_CS} in all",
            remedy="take them from frame_delays",
        )
    return delays
