"""Film an effect: take it, pack the frames, judge what a viewer sees of the file, and write it."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass, replace
from html import escape
from os import SEEK_END
from pathlib import Path
from shutil import copyfileobj
from typing import IO

from fxstudio import __version__
from fxstudio.arrays import Bytes
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.errors import FxError
from fxstudio.film.captions.caption import Caption
from fxstudio.film.fitting import small_enough
from fxstudio.film.formats import FORMATS, FilmFormat, format_of
from fxstudio.film.halves.beside import BesideTake, Halves
from fxstudio.film.png import png_bytes
from fxstudio.film.seen import Decoded, watched
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.count import MOST_FLASHES
from fxstudio.flashes.map import draw_flash_map
from fxstudio.flashes.verdict import STRICTER, Verdict, judge
from fxstudio.on_disk import passing_file
from fxstudio.progress import Progress
from fxstudio.whole_files import check_can_write, new_folder, replacing


@dataclass(frozen=True)
class FilmFile:
    """A film that was written: its bytes, frames shown, pictures in the file, and seconds.

    pictures : images in the file; frames that are equal to the one before may be joined with it
    """

    path: Path
    bytes: int
    frames: int
    pictures: int
    duration_s: float


@dataclass(frozen=True)
class FilmReport:
    """What was filmed: the file, what was rounded to loop without a seam, by lamp, the flashes, and
    what was given up to make it small.
    """

    file: FilmFile
    fitted: tuple[tuple[str, Fitted], ...]
    verdict: Verdict
    given_up: tuple[str, ...] = ()

    def _repr_html_(self) -> str:
        """The film and its verdict, as a notebook shows them; the verdict alone if it is gone."""
        words = escape(f"{self.file.path}: {self.verdict.summary}")
        try:
            data = b64encode(self.file.path.read_bytes()).decode()
        except OSError:
            return f"<p>{words}</p>"
        kind = format_of(self.file.path).media_type
        shown = (
            f'<video src="data:{kind};base64,{data}" autoplay loop muted></video>'
            if kind.startswith("video/")
            else f'<img src="data:{kind};base64,{data}" alt="{words}">'
        )
        return f"<figure>{shown}<figcaption>{words}</figcaption></figure>"


FLASHES_MARK = "WARNING: flashes more than WCAG 2.3.1 allows; may harm photosensitive people."


class FlashError(FxError):
    """A film was refused, for it flashes too much; `verdict` says where and when."""

    verdict: Verdict | None = None

    @classmethod
    def of(cls, verdict: Verdict) -> FlashError:
        """The error for a verdict that does not pass."""
        found = "\n  ".join(map(str, verdict.failures))
        error = cls(
            f"the film would flash more than is safe to show\n  {found}",
            allowed=f"at most {MOST_FLASHES} flashes in any second over a quarter of a field "
            f"of view (WCAG 2.3.1), {verdict.viewing}; {STRICTER}",
            remedy="film the nearest effect that passes, or film it smaller, which flashes over "
            "less; if it has to be as it is, warn viewers",
        )
        error.verdict = verdict
        return error


def film(
    effect: Effect,
    path: Path | str,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    accept_flashes: bool = False,
    most_bytes: int | None = None,
    said: Sequence[str] = (),
    caption: Caption | None = None,
    lanes: bool = False,
    still: bool = False,
    halves: Halves | None = None,
) -> FilmReport:
    """Write one loop of an effect as a film, if it does not flash too much.

    Parameters
    ----------
    effect : what is filmed; a `Compiled.seen` shows what that decoder will do
    path : file to write, of a kind in `formats.FORMATS` by its ending; one that is there is
        replaced once the new one is whole
    drive : travel, speed and keys; the film is as long as it, in s. None: the effect's own
    shot : size in pixels, frames a second, seed, viewing and quality; None: 480 x 320 at 25
    progress : told how far it is, and asked whether to go on; stopped, nothing is written
    accept_flashes : write it even if it flashes too much
    most_bytes : how large the file may be; of the films that fit the best is written, none better
        than `shot` says, and the report says what was given up
    said : what the file shall say of itself besides, a line each
    caption : what stands under the picture; None: nothing
    lanes : whether the lamps' light over time stands under the picture, with a line at the present
    still : whether wheels and ground stand still, however fast the engine runs
    halves : two looks side by side, filmed instead of `effect` alone, whose title and drive it has

    Raises InputError for what cannot be filmed, WriteError for a file that cannot be written, and
    FlashError for a film with more flashes than WCAG 2.3.1 allows; then nothing is written.
    """
    path = Path(path)
    take = replace(
        take_of(effect, drive, shot, halves),
        said=tuple(said),
        caption=caption,
        lanes=lanes,
        still=still,
    )
    check_can_write(path)
    kind, progress = format_of(path), progress or Progress()
    given_up: tuple[str, ...] = ()
    if most_bytes is not None:
        fits = small_enough(take, kind, most_bytes, progress.part(0, SEARCHED))
        take, given_up, progress = fits.take, fits.given_up, progress.part(SEARCHED, 1)
    with passing_file() as passing:
        packed = pack(take, kind, passing, progress, accept_flashes)
        passing.seek(0)
        with replacing(path) as file:
            copyfileobj(passing, file)
    return packed.report(path, take, given_up)


def film_pictures(
    effect: Effect,
    folder: Path | str,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    accept_flashes: bool = False,
    caption: Caption | None = None,
    lanes: bool = False,
    still: bool = False,
    halves: Halves | None = None,
) -> FilmReport:
    """Write one loop of an effect as a new folder of PNG pictures in true colours, 0001.png first.

    Parameters and errors are as for `film`. The folder stands there whole or not at all; one that
    is there already must be empty.
    """
    take = replace(take_of(effect, drive, shot, halves), caption=caption, lanes=lanes, still=still)
    progress = progress or Progress()

    def pictures() -> Decoded:
        delays = map(int, take.delays_cs)
        return zip(map(take.whole, range(len(take.delays_cs))), delays, strict=True)

    with new_folder(folder) as passing:
        viewed = watched(pictures)
        progress.check()
        verdict = judge(viewed.numbers, viewed.colours, viewed.delays_cs, take.shot.viewing)
        if not (verdict.passes or accept_flashes):
            raise FlashError.of(verdict)
        size, count = 0, len(take.delays_cs)
        for number, (picture, _) in enumerate(pictures(), 1):
            data = png_bytes(picture)
            Path(passing, f"{number:04}.png").write_bytes(data)
            size += len(data)
            progress.step(number, count)
    file = FilmFile(Path(folder), size, count, count, int(take.delays_cs.sum()) / 100)
    return FilmReport(file, take.brightness.fitted, verdict)


def poster(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    caption: Caption | None = None,
    lanes: bool = False,
    still: bool = False,
    halves: Halves | None = None,
) -> Bytes:
    """The frame of a film of `effect` that shows most light, [h, w, 3]."""
    take = replace(take_of(effect, drive, shot, halves), caption=caption, lanes=lanes, still=still)
    return take.whole(brightest_frame(take))


def brightest_frame(take: Take) -> int:
    """The number of the frame in which the lamps shine most."""
    return int(take.brightness.light.sum(axis=1).argmax())


@dataclass(frozen=True, eq=False)
class Packed:
    """A film that is packed: how large, its pictures, its length and its verdict."""

    bytes: int
    pictures: int
    duration_s: float
    verdict: Verdict

    def report(self, path: Path, take: Take, given_up: tuple[str, ...] = ()) -> FilmReport:
        """What is said of it once it is written."""
        frames = len(take.delays_cs)
        file = FilmFile(path, self.bytes, frames, self.pictures, self.duration_s)
        return FilmReport(file, take.brightness.fitted, self.verdict, given_up)


def pack(
    take: Take,
    kind: FilmFormat,
    file: IO[bytes],
    progress: Progress,
    accept_flashes: bool = False,
) -> Packed:
    """Put a film of some kind into an empty `file`, judged as its viewers will see it.

    Raises FlashError if it flashes too much and that is not accepted.
    """
    encode, quality = kind.encode, take.shot.quality
    encode(take, file, quality, comment(take), progress.part(0, PACKED))
    progress.check()
    viewed = watched(lambda: kind.decode(file))
    progress.check()
    verdict = judge(viewed.numbers, viewed.colours, viewed.delays_cs, take.shot.viewing)
    if not (verdict.passes or accept_flashes):
        raise FlashError.of(verdict)
    if not verdict.passes:  # only what it says of itself changes
        file.seek(0)
        file.truncate()
        words = comment(take, verdict)
        encode(take, file, quality, words, Progress(lambda _: progress.check()))
    progress.step(1, 1)
    size, duration_s = file.seek(0, SEEK_END), int(viewed.delays_cs.sum()) / 100
    return Packed(size, len(viewed.delays_cs), duration_s, verdict)


SEARCHED = 0.75
"""Share of the work that goes into the search for a film that is small enough."""
PACKED = 0.8
"""Share of the work that is done once the bytes are there, and not judged yet."""


GIF = FORMATS[".gif"]


def judge_film(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    caption: Caption | None = None,
    kind: FilmFormat = GIF,
) -> Verdict:
    """The flash verdict on a film of `effect`, of which nothing is written.

    What is counted, with its source, stands in `fxstudio.flashes.verdict`: the general and red
    flashes of WCAG 2.x, success criterion 2.3.1. It is no medical and no legal judgement.

    Parameters
    ----------
    effect, drive, shot, progress, caption : as for `film`
    kind : what kind of film is judged; a GIF where nothing is said

    Raises InputError for what cannot be filmed.
    """
    take = replace(take_of(effect, drive, shot), caption=caption)
    with passing_file() as file:
        return pack(take, kind, file, progress or Progress(), accept_flashes=True).verdict


def flash_map(
    effect: Effect, verdict: Verdict, drive: Drive | None = None, shot: Shot | None = None
) -> Bytes:
    """Where a film of `effect` flashes, drawn over its brightest frame: [h, w, 3]."""
    take = take_of(effect, drive, shot)
    return draw_flash_map(verdict, take.frame(brightest_frame(take)))


def take_of(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    halves: Halves | None = None,
) -> Take:
    """A take of `effect` under its own drive and as films usually are, where nothing is said."""
    about = (effect, drive or effect.shown_by, shot or Shot())
    return BesideTake(*about, halves=halves) if halves else Take(*about)


def comment(take: Take, verdict: Verdict | None = None) -> str:
    """What is said in the file itself: what it shows, and if it flashes too much."""
    failures = verdict.failures if verdict else ()
    warning = [FLASHES_MARK, *map(str, failures)] if failures else []
    title = f"{take.effect.title} - fxstudio {__version__}"
    return "\n".join([title, f"Shows: {take.drive}", *take.said, *warning])
