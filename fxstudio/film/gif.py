"""Write a film as a GIF that loops without end.

One colour table serves all frames, pixels that stay as they are become transparent, and
the file takes its place only when it is whole. Frames are asked for one at a time; what is
kept until the end is one byte for each pixel.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import imageio.v3 as imageio
import numpy as np
from numpy.typing import ArrayLike, NDArray
from PIL import Image

from fxstudio.errors import InputError
from fxstudio.film.palette import Bytes, Palette, Space, choose_colours
from fxstudio.film.reduction import Runs, hold_still
from fxstudio.whole_files import check_writable, replacing

SHORTEST_DELAY_CS = 2
"""Viewers show a frame of 0 or 1 hundredths for 10. Common practice."""
FASTEST_FPS = 100 / SHORTEST_DELAY_CS
LONGEST_DELAY_CS = 65535
"""Delay time is an unsigned 16 bit number. Source: GIF89a section 23."""

SPREAD_FRAMES = 12
"""Frames looked at first, spread over the film ..."""
TELLING_FRAMES = 6
"""... and so many more for what those do not show; see `telling_frames`."""
MOST_LOOKS = 6
"""Passes over the film before it is taken to move."""


@dataclass(frozen=True)
class GifReport:
    """What was written: bytes of the file, frames shown, seconds, colours in the table.

    pictures : images in the file; frames that are equal to the one before are joined with it
    """

    path: Path
    bytes: int
    frames: int
    duration_s: float
    colours: int
    pictures: int = 1


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
    frame_at: Callable[[int], Bytes],
    delays_cs: ArrayLike,
    *,
    sample: Sequence[int] | None = None,
    comment: str | None = None,
    on_frame: Callable[[int, int], None] | None = None,
    check: Callable[[Bytes, Bytes], str | None] | None = None,
) -> GifReport:
    """Write frames as a GIF that loops for ever.

    Parameters
    ----------
    path : file to write; one that exists is replaced when the new one is whole
    frame_at : gives frame number 0, 1 ... as uint8 [h, w, 3] sRGB; it may reuse one array,
        and must give the same picture again, for some frames are asked for twice
    delays_cs : how long each frame stands, as from `frame_delays`
    sample : numbers of the telling frames, those that differ most; see `telling_frames`.
        Neighbouring pixels that are alike in all of them are taken to be alike in the whole
        film. Evenly spread over the film if None
    comment : text for the file's comment, in ASCII
    on_frame : called with (frames done, frames in all) after each frame; may begin again. Called
        with all done before and after `check` and before the file is opened: raising there stops
    check : called once with what `quantised` gives, before anything is written; it may raise
        to have nothing written, and a text it gives is added to the comment

    Raises `InputError` for unusable frames or delays, `WriteError` if `path` cannot be written.
    """
    delays = checked_delays(delays_cs)
    count = len(delays)
    check_writable(path)
    tell = on_frame or (lambda done, total: None)
    shown, colours = quantised(frame_at, count, sample, on_frame)
    tell(count, count)
    remark = check(shown, colours) if check else None
    tell(count, count)
    text = "\n".join(filter(None, (comment, remark)))
    durations = [10 * int(delay) for delay in delays]
    # By way of memory: a failing disk then meets plain Python, not the library's clean-up.
    data = imageio.imwrite(
        "<bytes>",
        shown,
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
        comment=text.encode("ascii", "replace"),
    )
    with Image.open(BytesIO(data)) as written:
        pictures = written.n_frames
    tell(count, count)
    with replacing(path) as file:
        file.write(data)
    return GifReport(Path(path), len(data), count, int(delays.sum()) / 100, len(colours), pictures)


def quantised(
    frame_at: Callable[[int], Bytes],
    count: int,
    sample: Sequence[int] | None = None,
    on_frame: Callable[[int, int], None] | None = None,
) -> tuple[Bytes, Bytes]:
    """What a viewer will see: colour numbers [count, h, w] and the colours [k, 3] in sRGB.

    Parameters are those of `write_gif`.
    """
    telling = spread(count) if sample is None else sample
    runs, palette, space, colours = look(frame_at, count, telling, on_frame)
    numbers = hold_still(colours, runs, palette, space)
    shown = np.repeat(numbers, runs.length, axis=1).reshape(count, *runs.shape)
    return shown, palette.colours


def look(
    frame_at: Callable[[int], Bytes],
    count: int,
    telling: Sequence[int],
    on_frame: Callable[[int, int], None] | None,
) -> tuple[Runs, Palette, Space, Bytes]:
    """The film's runs, its palette, and the runs' colours [count, m, 3] in all frames.

    A frame that shows the telling ones to be too few joins them, and all begins again; after
    `MOST_LOOKS` the film is taken to move, and every pixel is a run of its own.
    """
    space, frames, colours = Space(), [], None
    for number in telling:
        shape = frames[0].shape[:2] if frames else None
        frames.append(checked_frame(frame_at(number), number, shape).copy())
    for looks in range(MOST_LOOKS + 1):
        runs = Runs(frames, space, apart=looks == MOST_LOOKS)
        colours = np.empty((count, len(runs), 3), np.uint8)
        for number in range(count):
            frame = checked_frame(frame_at(number), number, runs.shape)
            colours[number] = runs.colours(frame)
            if looks < MOST_LOOKS and not runs.fit(frame, colours[number]):
                frames.append(frame.copy())
                break
            if on_frame:
                on_frame(number + 1, count)
        else:
            break
    seen = np.concatenate([runs.colours(frame) for frame in frames])
    palette = Palette(choose_colours(seen, np.tile(runs.length, len(frames))))
    return runs, palette, space, colours


def telling_frames(light: ArrayLike) -> list[int]:
    """Numbers of frames that tell a film apart, for the lamps' light [n, lamps] in its n frames.

    Some spread evenly, and those whose light differs most from all others chosen: each lamp
    at its brightest and darkest, alone and together.
    """
    levels = np.asarray(light, float).reshape(len(light), -1)
    chosen = spread(len(levels))
    far = np.min([((levels - levels[n]) ** 2).sum(axis=1) for n in chosen], axis=0)
    for _ in range(TELLING_FRAMES):
        chosen.append(int(far.argmax()))
        far = np.minimum(far, ((levels - levels[chosen[-1]]) ** 2).sum(axis=1))
    return sorted(set(chosen))


def spread(count: int) -> list[int]:
    """Numbers of up to `SPREAD_FRAMES` frames, evenly spread over a film of `count`."""
    return [int(n) for n in np.unique(np.linspace(0, count - 1, SPREAD_FRAMES).astype(int))]


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


def checked_frame(frame: Bytes, number: int, shape: tuple[int, ...] | None = None) -> Bytes:
    """`frame`, or an `InputError` if it is no picture, or not of `shape` (h, w) if given."""
    right = frame.dtype == np.uint8 and frame.ndim == 3 and frame.shape[2] == 3
    if not right or 0 in frame.shape or (shape is not None and frame.shape[:2] != shape):
        wanted = "h, w" if shape is None else ", ".join(map(str, shape))
        raise InputError(
            f"frame {number} cannot be written",
            field="frames",
            given=f"{frame.dtype} {frame.shape}",
            allowed=f"uint8 ({wanted}, 3), all frames alike",
            remedy="render all frames at one size",
        )
    return frame
