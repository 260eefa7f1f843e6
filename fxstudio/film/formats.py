"""The kinds of files that a film can be, by the ending of their names.

A GIF has few colours and is made by the project's own code. The others keep true colours; Pillow
encodes them, and PyAV, an extra, the film with an H.264 track.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from importlib import import_module
from importlib.util import find_spec
from os import SEEK_END
from pathlib import Path
from shutil import copyfileobj
from tempfile import TemporaryDirectory
from types import MappingProxyType
from typing import IO, Any, Protocol

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageSequence
from PIL.PngImagePlugin import PngInfo

from fxstudio.errors import FxError
from fxstudio.film.captions.strip import with_strip
from fxstudio.film.gif import gif_frames, write_gif
from fxstudio.film.indexed.quantise import Frames, ShownFilm, quantised
from fxstudio.film.quality import BEST, Quality
from fxstudio.film.seen import Decoded
from fxstudio.film.timing import checked_delays
from fxstudio.on_disk import passing_file
from fxstudio.progress import Progress


class Encode(Protocol):
    """Writes the file of some frames, with a comment for whoever looks into it."""

    def __call__(
        self, frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
    ) -> None: ...


@dataclass(frozen=True)
class FilmFormat:
    """One kind of file.

    media_type : what it is called on the web
    encode, decode : to a file, and what a viewer is shown of it
    few_colours : whether it is made of the colours of one table, unless in best quality
    needs : the module of an extra that packs it
    """

    media_type: str
    encode: Encode
    decode: Callable[[IO[bytes]], Decoded]
    few_colours: bool = False
    needs: str = ""

    @property
    def usable(self) -> bool:
        """Whether what packs it is installed."""
        return not self.needs or find_spec(self.needs) is not None

    def size(self, frames: Frames, quality: Quality, progress: Progress) -> int:
        """How many bytes the film has, without a comment."""
        with passing_file() as file:
            self.encode(frames, file, quality, "", progress)
            return file.seek(0, SEEK_END)


class NoVideoError(FxError):
    """What packs video is not installed."""


def _gif(
    frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
) -> None:
    shown = quantised(frames, quality, progress.part(0, 0.5))
    write_gif(shown, out, comment, progress.part(0.5, 1))


class _Reel(Image.Image):
    """Pictures as Pillow wants them: one that becomes the next when it is turned on.

    `pictures` are begun again where Pillow does, so if it does they must be a list.
    """

    is_animated = True

    def __init__(self, pictures: Iterable[Image.Image], count: int) -> None:
        super().__init__()
        self.n_frames = count
        self._pictures = pictures
        self._turned, self._at = iter(pictures), -1
        self.seek(0)

    def seek(self, frame: int) -> None:
        """Turn to the next frame, to the first or stay; raises EOFError after the last."""
        if frame == self.n_frames:
            raise EOFError
        if frame < self._at:
            self._turned, self._at = iter(self._pictures), -1
        if frame == self._at + 1:
            self._at = frame
            if picture := next(self._turned, None):  # none where it was turned back for tidiness
                self.im, self._mode, self._size = picture.im, picture.mode, picture.size
                self.palette = picture.palette

    def tell(self) -> int:
        """The number of the frame it is turned to."""
        return self._at


def _animated(
    out: IO[bytes],
    kind: str,
    pictures: Iterable[Image.Image],
    delays_cs: NDArray[np.integer],
    **options: Any,
) -> None:
    """Write pictures that loop for ever, packed by Pillow."""
    durations = [10 * int(delay) for delay in checked_delays(delays_cs)]
    reel = _Reel(pictures, len(durations))
    reel.save(out, kind, save_all=True, duration=durations, loop=0, **options)


def _in_true_colours(frames: Frames, progress: Progress) -> Iterator[Image.Image]:
    count = len(frames.delays_cs)
    for number in range(count):
        yield Image.fromarray(with_strip(frames.frame(number), frames.strip, number))
        progress.step(number + 1, count)


def _in_few_colours(shown: ShownFilm, progress: Progress) -> Iterator[Image.Image]:
    table = shown.colours.tobytes()
    for numbers in shown.frames(progress):
        picture = Image.fromarray(numbers)
        picture.putpalette(table)
        yield picture


DESCRIPTION = 0x010E
"""ImageDescription. Source: Exif 2.3, TIFF tag 270, from memory."""


def _exif(comment: str) -> Image.Exif:
    exif = Image.Exif()
    exif[DESCRIPTION] = comment
    return exif


def _webp(
    frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
) -> None:
    pictures = _in_true_colours(frames, progress)
    said = _exif(comment)
    _animated(out, "WEBP", pictures, frames.delays_cs, quality=quality.lossy, exif=said)


def _avif(
    frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
) -> None:
    pictures = _in_true_colours(frames, progress)
    said, lossy = _exif(comment), round(quality.lossy * AVIF_PER_LOSSY)
    _animated(out, "AVIF", pictures, frames.delays_cs, quality=lossy, exif=said, speed=7)


AVIF_PER_LOSSY = 0.75
"""AVIF and WebP count quality to 100 both, but at 60 the one looks as the other at 80."""


def _png(
    frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
) -> None:
    """In few colours as a GIF; of the best quality in true colours, which is much larger."""
    if quality.lossy < BEST.lossy:
        shown = quantised(frames, quality, progress.part(0, 0.5))
        pictures = _in_few_colours(shown, progress.part(0.5, 1))
    else:
        pictures = _in_true_colours(frames, progress)
    info = PngInfo()
    info.add_text("Description", comment)  # a keyword of the PNG specification
    _animated(out, "PNG", list(pictures), frames.delays_cs, pnginfo=info)


def _pictures(file: IO[bytes]) -> Decoded:
    """What Pillow shows of an animated picture."""
    file.seek(0)
    with Image.open(file) as film:
        for picture in ImageSequence.Iterator(film):
            shown = np.asarray(picture.convert("RGB"))
            yield shown, max(1, round(picture.info.get("duration", 0) / 10))


WORST_CRF, BEST_CRF = 34.0, 14.0
"""Rate factors for 0 and 100; about 20 is hard to tell from the original; common practice."""


BT_709 = 1
"""Colours of high definition. Source: ITU-T H.273, code point 1, from memory."""
LIMITED = 1
"""Codes 16 to 235 for black to white, as players take it to be. Source: as above."""


def _av() -> Any:
    try:
        return import_module("av")
    except ImportError:
        raise NoVideoError(
            "what packs films as .mp4 is not installed",
            allowed="all other kinds of films without it",
            remedy='install it with: pip install "fxstudio[video]"',
        ) from None


def _mp4(
    frames: Frames, out: IO[bytes], quality: Quality, comment: str, progress: Progress
) -> None:
    """H.264 in yuv420p with even sides and one length for all frames, which all players take."""
    _av()  # before anything is drawn
    delays = checked_delays(frames.delays_cs)
    crf = WORST_CRF + (BEST_CRF - WORST_CRF) * quality.lossy / 100
    rate = Fraction(100 * len(delays), int(delays.sum()))
    with TemporaryDirectory() as folder:
        path = Path(folder, "film.mp4")  # the index comes to the front when it is whole: two passes
        _pack(path, frames, rate, crf, comment, progress)
        with path.open("rb") as packed:
            copyfileobj(packed, out)


def _pack(
    path: Path, frames: Frames, rate: Fraction, crf: float, comment: str, progress: Progress
) -> None:
    av, count = _av(), len(frames.delays_cs)
    height, width, _ = with_strip(frames.frame(0), frames.strip, 0).shape
    with av.open(str(path), "w", options={"movflags": "faststart"}) as film:
        film.metadata["comment"] = comment
        stream = film.add_stream("libx264", rate, options={"crf": f"{crf:g}", "preset": "slow"})
        stream.width, stream.height = width + width % 2, height + height % 2
        stream.pix_fmt = "yuv420p"
        codec = stream.codec_context
        codec.colorspace = codec.color_primaries = codec.color_trc = BT_709
        codec.color_range = LIMITED
        for number in range(count):
            sides = ((0, height % 2), (0, width % 2), (0, 0))
            whole = with_strip(frames.frame(number), frames.strip, number)
            picture = np.pad(whole, sides, "edge")
            packed = av.VideoFrame.from_ndarray(picture, "rgb24").reformat(
                format="yuv420p", dst_colorspace=BT_709, dst_color_range=LIMITED
            )
            packed.pts, packed.time_base = number, 1 / rate
            film.mux(stream.encode(packed))
            progress.step(number + 1, count)
        film.mux(stream.encode(None))


def _video(file: IO[bytes]) -> Decoded:
    av = _av()
    file.seek(0)
    with av.open(file) as film:
        stream = film.streams.video[0]
        begun = 0
        for number, packed in enumerate(film.decode(stream), 1):
            ends = round(100 * number / stream.average_rate)
            # By way of whole chroma: the direct way is a code too dark.
            whole = packed.reformat(format="yuv444p")
            shown = whole.reformat(format="rgb24", src_colorspace=BT_709, src_color_range=LIMITED)
            yield shown.to_ndarray(), ends - begun
            begun = ends


FORMATS = MappingProxyType(
    {
        ".gif": FilmFormat("image/gif", _gif, gif_frames, few_colours=True),
        ".webp": FilmFormat("image/webp", _webp, _pictures),
        ".avif": FilmFormat("image/avif", _avif, _pictures),
        ".png": FilmFormat("image/png", _png, _pictures, few_colours=True),
        ".mp4": FilmFormat("video/mp4", _mp4, _video, needs="av"),
    }
)


def format_of(path: Path) -> FilmFormat:
    """The kind of file that a name asks for; a GIF if its ending is none of those known."""
    return FORMATS.get(path.suffix.lower(), FORMATS[".gif"])
