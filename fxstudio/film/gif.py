"""A film as a GIF that loops without end, frame after frame.

One colour table serves all frames, and of each only the box with what changes is kept, in which
pixels that stay as they are become transparent. Block layout: GIF89a specification (1990), section
23 as quoted in the project's collected facts, other sections from memory; the loop block is common
practice. Pillow packs the pixels.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO

import numpy as np
from PIL import Image
from PIL.GifImagePlugin import GifImageFile, getdata

from fxstudio.arrays import Bytes
from fxstudio.film.indexed.quantise import ShownFilm
from fxstudio.film.timing import checked_delays
from fxstudio.progress import Progress

FOREVER = b"!\xff\x0bNETSCAPE2.0\x03\x01\x00\x00\x00"
TRAILER = b";"
LEAVE = 1
"""Disposal: what a frame does not draw stays as it was."""


def write_gif(
    shown: ShownFilm,
    out: IO[bytes],
    comment: str | None = None,
    progress: Progress | None = None,
) -> None:
    """Write a film as a GIF that loops for ever.

    Parameters
    ----------
    shown : the film as from `quantised`, its delays as from `frame_delays`
    out : where it is written, frame after frame
    comment : text for the file's comment, in ASCII
    progress : told of each frame, and asked whether to go on

    Raises `InputError` for delays a GIF cannot have.
    """
    delays = checked_delays(shown.delays_cs)
    table = colour_table(shown.colours)
    out.write(_header(shown.shape, table))
    out.write(FOREVER)
    if comment:
        out.write(_comment(comment))
    before: Bytes | None = None
    waiting, stands = b"", 0  # a picture is written once it is known how long it stands
    for frame, delay in zip(shown.frames(progress), delays, strict=True):
        if before is None or not np.array_equal(before, frame):
            out.write(waiting and _control(stands, len(shown.colours)) + waiting)
            waiting, stands = _picture(frame, before, len(shown.colours)), 0
            before = frame
        stands += int(delay)
    out.write(_control(stands, len(shown.colours)) + waiting)
    out.write(TRAILER)


def gif_frames(file: IO[bytes]) -> Iterator[tuple[Bytes, int]]:
    """What a viewer is shown of a GIF: pictures [h, w, 3] and how long each stands, in 1/100 s."""
    file.seek(0)
    with GifImageFile(file) as film:
        for number in range(film.n_frames):
            film.seek(number)
            yield np.asarray(film.convert("RGB")), film.info["duration"] // 10


def colour_table(colours: Bytes) -> bytes:
    """The colours, one unlike any of them for transparent pixels, and black up to a power of 2."""
    held = {bytes(colour) for colour in colours}
    spare = next(bytes([grey] * 3) for grey in range(256) if bytes([grey] * 3) not in held)
    table = colours.tobytes() + spare
    return table.ljust(3 * max(2, 1 << len(colours).bit_length()), b"\0")


def _header(shape: tuple[int, int], table: bytes) -> bytes:
    height, width = shape
    bits = (len(table) // 3).bit_length() - 1
    there, resolution = 1 << 7, 7 << 4
    flags = there | resolution | bits - 1
    return b"GIF89a" + _two(width) + _two(height) + bytes([flags, 0, 0]) + table


def _comment(text: str) -> bytes:
    data = text.encode("ascii", "replace")
    parts = (data[at : at + 255] for at in range(0, len(data), 255))
    return b"!\xfe" + b"".join(bytes([len(part)]) + part for part in parts) + b"\0"


def _control(delay_cs: int, transparent: int) -> bytes:
    return b"!\xf9\x04" + bytes([LEAVE << 2 | 1]) + _two(delay_cs) + bytes([transparent, 0])


def _picture(frame: Bytes, before: Bytes | None, transparent: int) -> bytes:
    """The box of a frame that is not as `before`."""
    if before is None:
        return b"".join(getdata(Image.fromarray(frame)))
    changed = frame != before
    rows, columns = (np.flatnonzero(changed.any(axis=axis)) for axis in (1, 0))
    box = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    drawn = np.where(changed[box], frame[box], np.uint8(transparent))
    return b"".join(getdata(Image.fromarray(drawn), (int(columns[0]), int(rows[0]))))


def _two(number: int) -> bytes:
    return number.to_bytes(2, "little")
