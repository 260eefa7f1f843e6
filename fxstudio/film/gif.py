"""Write a film as a GIF that loops without end.

One colour table serves all frames, pixels that stay as they are become transparent, and
the file takes its place only when it is whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import imageio.v3 as imageio
from PIL.GifImagePlugin import GifImageFile

from fxstudio.arrays import Bytes
from fxstudio.film.quantise import ShownFilm
from fxstudio.film.timing import checked_delays
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing


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


def write_gif(
    path: Path | str,
    shown: ShownFilm,
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
    with GifImageFile(BytesIO(data)) as written:
        pictures = written.n_frames
    if progress:
        progress.check()
    with replacing(path) as file:
        file.write(data)
    return GifReport(Path(path), len(data), count, int(delays.sum()) / 100, len(colours), pictures)


def colour_table(colours: Bytes) -> bytes:
    """The colours and, after them, one unlike any of them for transparent pixels."""
    held = {bytes(colour) for colour in colours}
    spare = next(bytes([grey] * 3) for grey in range(256) if bytes([grey] * 3) not in held)
    return colours.tobytes() + spare
