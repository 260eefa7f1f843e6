"""`fxstudio film`."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated, NamedTuple

import typer

from fxstudio.cli.given.decoders import compile_for, description_file
from fxstudio.cli.given.endings import check_ending, check_folder
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import DecoderName, Replace, Size, file_size, picture_size
from fxstudio.cli.harmless.calming import calmer, lost_words, search
from fxstudio.cli.look.script import Script
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises
from fxstudio.cli.shown.film import called, caution_flashes, show_film
from fxstudio.cli.shown.written import make_folder, write_text
from fxstudio.decoder.values.compile import Compiled
from fxstudio.effect.advice import idle_keys
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import find_effect, read_effect, shipped_effects
from fxstudio.effect.keys import KEYS
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, naming
from fxstudio.export.table import table_text
from fxstudio.film import making
from fxstudio.film.making import FlashError
from fxstudio.film.png import jpeg_bytes, png_bytes
from fxstudio.film.quality import QUALITIES, Quality
from fxstudio.film.take import Shot
from fxstudio.film.timing import check_rate
from fxstudio.whole_files import replacing


def film(
    effects: Annotated[
        list[str] | None,
        typer.Argument(metavar="[EFFECT]...", help="Shipped effects by name, or paths of files."),
    ] = None,
    output: Annotated[
        str | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="Film to write, for one effect: .gif, .webp, .avif, .png or .mp4; or a new folder "
            "of PNG pictures, if the name ends in a slash.",
        ),
    ] = None,
    into: Annotated[
        Path | None, typer.Option(help="Folder to write to; made if it is not there.")
    ] = None,
    all_effects: Annotated[bool, typer.Option("--all", help="Film all shipped effects.")] = False,
    decoder: DecoderName = None,
    drive: Annotated[
        Path | None, typer.Option(help="A drive file: travel, speed and keys over time.")
    ] = None,
    travel: Annotated[
        str, typer.Option(help="forward, reverse or stopped throughout the film.")
    ] = "",
    speed: Annotated[
        float | None, typer.Option(metavar="KMH", help="Speed in km/h throughout the film.")
    ] = None,
    keys: Annotated[
        str | None, typer.Option(help="Keys that are on throughout the film: F1,F2 or none.")
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(help="Length of the loop, with --travel, --speed or --keys.")
    ] = None,
    fps: Annotated[float, typer.Option(help="Frames a second; above 0, at most 50.")] = 25.0,
    size: Size = "480x320",
    quality: Annotated[
        str | None,
        typer.Option(
            help="draft, good or best: how much is kept. Usually good.", show_default=False
        ),
    ] = None,
    max_size: Annotated[
        str | None,
        typer.Option(
            metavar="SIZE",
            help="The best film that fits, such as 2MB. Gives up quality first, then colours, "
            "frames a second and size.",
        ),
    ] = None,
    poster: Annotated[
        Path | None,
        typer.Option(help="Also write the brightest frame as a picture, .png or .jpg."),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1,
    calm: Annotated[
        bool,
        typer.Option("--calm", help="If it flashes too much, film the nearest look that passes."),
    ] = False,
    accept_flashes: Annotated[
        bool, typer.Option("--accept-flashes", help="Film it even if it flashes too much.")
    ] = False,
    replace: Replace = False,
) -> None:
    """Film effects as GIFs, or other kinds of films, that loop without a seam.

    With --decoder the film shows what that decoder will really do, and the values to write
    are put beside the film as text.

    A film that flashes more than WCAG 2.3.1 allows is refused, and the nearest effect that
    passes is looked for and offered. With --accept-flashes it is filmed, and says so in its
    comment.

    Examples:
        fxstudio film my_fire.toml --travel reverse --keys F1,F2 -o reverse.gif
        fxstudio film my_fire.toml --decoder my_decoder.toml
        fxstudio film my_fire.toml -o post.webp --size square --max-size 2MB

    Try it in a new folder:
        fxstudio film banked_fire --decoder tolley_hearth
    """
    names = [*(effects or []), *(shipped_effects() if all_effects else [])]
    _check_names(names)
    pictures = output is not None and output.endswith(("/", os.sep))
    target = Path(output) if output is not None else None
    _check_options(names, None if pictures else target, into, calm, decoder)
    _check_pictures(names, pictures, max_size, poster)
    check_rate(fps, "--fps")
    most_bytes = file_size(max_size) if max_size else None
    kept = _quality(quality or ("best" if most_bytes else "good"))
    shot = Shot(*picture_size(size), fps, seed, quality=kept)
    sources = [find_effect(name) for name in names]
    targets = [target or (into or Path()) / f"{source.stem}.gif" for source in sources]
    tables = [_table_of(target) for target in targets] if decoder else []
    option = "--output" if output or (len(names) == 1 and not into) else "--into"
    check_files(
        [
            *(("EFFECT", source) for source in sources),
            ("--drive", drive),
            ("--decoder", description_file(decoder) if decoder else None),
        ],
        [
            *((option, path) for path in (*([] if pictures else targets), *tables)),
            ("--poster", poster),
        ],
        replace,
    )
    script = Script(drive, travel, speed, keys, seconds)
    planned = [
        _planned(source, target, decoder, script)
        for source, target in zip(sources, targets, strict=True)
    ]
    if into:
        make_folder(into)
    for each in planned:  # all were looked at before the first is filmed
        _film(each, _Making(shot, calm, accept_flashes, most_bytes, pictures, poster))
    caution_flashes()


CALM_FIRST = "write a calm effect with `fxstudio calm`, then film that with --decoder"
AS_IT_IS = (
    "or film it smaller with --size: it then flashes over less of a field of view",
    "or film it as it is with --accept-flashes, and warn viewers",
)


def _check_names(names: list[str]) -> None:
    """Raise InputError if there is no effect, or a key among the effects."""
    if not names:
        raise InputError("no effect to film", field="EFFECT").allowing(
            "one name or path, or --all", remedy="`fxstudio list` shows the shipped effects"
        )
    if stray := [name for name in names if name.upper() in KEYS]:
        raise InputError(
            "is a key, where an effect is expected", field="EFFECT", given=stray[0]
        ).advising('write several keys as --keys F1,F2 or --keys "F1 F2"')


def _check_options(
    names: list[str], output: Path | None, into: Path | None, calm: bool, decoder: str | None
) -> None:
    """Raise InputError for options that do not go together, or names that cannot be written."""
    if output and (into or len(names) > 1):
        raise InputError(
            "one file cannot take several films", field="--output", given=str(output)
        ).advising("use --into FOLDER for more than one effect")
    check_ending("film", "--output", output)
    check_folder("--into", into)
    if calm and decoder:
        raise InputError(
            "calms the effect, which the decoder may then do otherwise", field="--calm"
        ).advising(CALM_FIRST)


def _check_pictures(
    names: list[str], pictures: bool, max_size: str | None, poster: Path | None
) -> None:
    """Raise InputError for what does not go with a folder of pictures, or with several films."""
    if pictures and len(names) > 1:
        raise InputError("one folder cannot take the pictures of several films", field="--output")
    if pictures and max_size:
        raise InputError("is for one file, not for a folder of pictures", field="--max-size")
    if poster and len(names) > 1:
        raise InputError("one picture cannot be of several films", field="--poster")
    check_ending("film", "--poster", poster)


def _quality(name: str) -> Quality:
    """The quality of that name."""
    if name.lower() not in QUALITIES:
        raise InputError("is no quality", field="--quality", given=name).allowing(
            ", ".join(QUALITIES), remedy="leave it out for good"
        )
    return QUALITIES[name.lower()]


class _Making(NamedTuple):
    """How films are made: `pictures` for a folder of them, `poster` a picture beside it."""

    shot: Shot
    calm: bool
    accept_flashes: bool
    most_bytes: int | None
    pictures: bool
    poster: Path | None


class _Planned(NamedTuple):
    """One film to make: `seen` is what will be filmed of `effect`."""

    target: Path
    effect: Effect
    compiled: Compiled | None
    seen: Effect
    shown_by: Drive


def _planned(source: Path, target: Path, decoder: str | None, script: Script) -> _Planned:
    effect = read_effect(source)
    with naming(source):
        compiled = compile_for(effect, decoder) if decoder else None
    seen = compiled.seen if compiled else effect
    return _Planned(target, effect, compiled, seen, script.drive_for(seen))


def _film(planned: _Planned, how: _Making) -> None:
    """Film it and say what was filmed, with the values beside it."""
    shot = how.shot
    target, effect, compiled, seen, shown_by = planned
    if how.calm:
        seen = calmer(seen, shown_by, shot).effect
    try:
        with naming(seen.source), console.progress(f"filming {called(seen)}") as progress:
            about = (seen, target, shown_by, shot, progress, how.accept_flashes)
            report = (
                making.film_pictures(*about)
                if how.pictures
                else making.film(*about, most_bytes=how.most_bytes)
            )
    except FlashError as error:
        offer = CALM_FIRST if compiled else _offer(seen, shown_by, shot, error)
        error.remedy = "\n".join([offer, *AS_IT_IS])
        raise
    show_film(report, shown_by, shot)
    if how.poster:
        packed = png_bytes if how.poster.suffix.lower() == ".png" else jpeg_bytes
        data = packed(making.poster(seen, shown_by, shot))
        with replacing(how.poster) as file:
            file.write(data)
        console.label(how.poster, ": its brightest frame")
    for hint in idle_keys(seen, shown_by):
        console.label("  hint", f" {hint}", "yellow")
    if compiled:
        table = _table_of(target)
        write_text(table, table_text(effect.title, compiled))
        console.label(table, ": the values to write")
        show_compromises(compiled)


def _table_of(film: Path) -> Path:
    """The file for the values beside a film."""
    return film.with_suffix(".values.txt")


def _offer(effect: Effect, drive: Drive, shot: Shot, refused: FlashError) -> str:
    """What --calm would film instead, in numbers."""
    try:
        calmed = search(effect, drive, shot, refused.verdict)
    except InputError as error:
        return f"{error.problem}: {error.remedy}"
    return (
        f"film the nearest effect that passes with --calm: {'; '.join(calmed.changes)}; "
        f"{lost_words(calmed)}"
    )
