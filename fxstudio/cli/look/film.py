"""`fxstudio film`."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import nullcontext
from itertools import repeat
from pathlib import Path
from typing import NamedTuple

from fxstudio.cli.given.decoders import compile_for, description_file
from fxstudio.cli.given.endings import check_ending, check_folder
from fxstudio.cli.given.files import check_files
from fxstudio.cli.harmless.calming import calmer, lost_words, search
from fxstudio.cli.look.beside import halves_of, source_of
from fxstudio.cli.look.jobs import side_by_side
from fxstudio.cli.look.options import FilmOptions
from fxstudio.cli.look.script import Script
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises
from fxstudio.cli.shown.film import called, caution_flashes, number_of, show_film
from fxstudio.cli.shown.written import make_folder, write_text
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.unknowns import not_known_of, said_of_film
from fxstudio.effect.advice import idle_keys, painted_lamps, without_keys
from fxstudio.effect.drive import Drive
from fxstudio.effect.files import find_effect, read_effect, shipped_effects
from fxstudio.effect.keys import KEYS, sorted_keys
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError, naming
from fxstudio.export.table import table_text
from fxstudio.film import making
from fxstudio.film.captions.caption import PLAIN_EFFECT, Caption
from fxstudio.film.choices.captioned import caption_of
from fxstudio.film.choices.table import (
    ANY,
    OFF,
    ON,
    PICTURES,
    caption_called,
    file_size,
    picture_size,
    quality_called,
    usual,
)
from fxstudio.film.formats import format_of
from fxstudio.film.halves.beside import Halves
from fxstudio.film.making import FlashError
from fxstudio.film.png import jpeg_bytes, png_bytes
from fxstudio.film.take import Shot
from fxstudio.film.timing import check_rate
from fxstudio.progress import Progress
from fxstudio.whole_files import replacing


def film(asked: FilmOptions) -> None:
    """Do what `FilmOptions` asks for."""
    names = [*(asked.effects or []), *(shipped_effects() if asked.all_effects else [])]
    _check_names(names)
    output = Path(asked.output) if asked.output is not None else None
    _check_options(names, None if _pictures(asked) else output, asked)
    check_rate(asked.fps, "--fps")
    most_bytes, shot, script = _how(asked)
    sources = [find_effect(name) for name in names]
    targets = [output or (asked.into or Path()) / f"{source.stem}.gif" for source in sources]
    tables = [_table_of(target) for target in targets] if asked.decoder else []
    option = "--output" if asked.output or (len(names) == 1 and not asked.into) else "--into"
    check_files(
        [
            *(("EFFECT", source) for source in sources),
            ("--drive", asked.drive),
            ("--beside", source_of(asked.beside)),
            ("--decoder", description_file(asked.decoder) if asked.decoder else None),
        ],
        [
            *((option, path) for path in (*([] if _pictures(asked) else targets), *tables)),
            ("--poster", asked.poster),
        ],
        asked.replace,
    )
    planned = [
        _planned(source, target, asked, script)
        for source, target in zip(sources, targets, strict=True)
    ]
    if asked.into:
        make_folder(asked.into)
    # All were looked at before the first is filmed.
    if asked.jobs > 1 and len(planned) > 1:
        each = list(zip(sources, targets, repeat(asked)))
        errors = side_by_side(f"filming {len(each)} effects", film_one, each, asked.jobs)
    else:
        errors = []
        for work in planned:
            _film(work, shot, most_bytes, asked)
    if len(errors) < len(planned):
        caution_flashes()
    if errors:
        errors[0].more += tuple(errors[1:])
        raise errors[0]


def film_one(source: Path, target: Path, asked: FilmOptions, progress: Progress) -> None:
    """Film one of several effects in a process of its own."""
    most_bytes, shot, script = _how(asked)
    planned = _planned(source, target, asked, script)
    try:
        _film(planned, shot, most_bytes, asked, progress)
    except FlashError as error:
        error.verdict = None  # it is large, and only its words are told
        raise


def _how(asked: FilmOptions) -> tuple[int | None, Shot, Script]:
    """Bytes at most, the shot and the script that are asked for."""
    most_bytes = file_size(asked.max_size) if asked.max_size else None
    quality = quality_called(asked.quality or usual("quality", _told(asked)))
    shot = Shot(*picture_size(asked.size), asked.fps, asked.seed, quality=quality)
    script = Script(asked.drive, asked.travel, asked.speed, asked.keys, asked.seconds, asked.tour)
    return most_bytes, shot, script


CALM_FIRST = "write a calm effect with `fxstudio calm`, then film that with --decoder"
CALM_EACH = "write calm effects with `fxstudio calm`, then film those side by side"
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


def _pictures(asked: FilmOptions) -> bool:
    """Whether a folder of pictures is asked for, by the slash at the end of its name."""
    return asked.output is not None and asked.output.endswith((PICTURES, os.sep))


def _check_options(names: list[str], file: Path | None, asked: FilmOptions) -> None:
    """Raise InputError for options that do not go together, or names that cannot be written."""
    if asked.output and (asked.into or len(names) > 1):
        raise InputError(
            "one file cannot take several films", field="--output", given=asked.output
        ).advising("use --into FOLDER for more than one effect")
    if asked.poster and len(names) > 1:
        raise InputError(
            "one picture cannot be of several films", field="--poster", given=str(asked.poster)
        ).advising("film one effect at a time")
    if asked.max_size and _pictures(asked):
        raise InputError(
            "is for one file, not for a folder of pictures", field="--max-size"
        ).advising("leave it out, or give --output the name of a film, such as film.gif")
    check_ending("film", "--output", file)
    check_ending("film", "--poster", asked.poster)
    check_folder("--into", asked.into)
    if asked.calm and asked.beside:
        raise InputError("calms one look, not two", field="--calm").advising(CALM_EACH)
    if asked.calm and asked.decoder:
        raise InputError(
            "calms the effect, which the decoder may then do otherwise", field="--calm"
        ).advising(CALM_FIRST)


def _word(asked: FilmOptions) -> str:
    """What stands under the picture; two looks share at least travel, speed and keys."""
    usually = usual("caption", _told(asked))
    if asked.beside and usually == "none":
        usually = "plain"
    return caption_called(asked.caption or usually)


def _told(asked: FilmOptions) -> dict[str, str]:
    """What is asked for, by the names of the choices: those that make others usual."""
    return {"tour": ON if asked.tour else OFF, "max_size": asked.max_size or ANY}


class _Planned(NamedTuple):
    """One film to make: `seen` is what will be filmed of `effect`."""

    target: Path
    effect: Effect
    compiled: Compiled | None
    seen: Effect
    shown_by: Drive
    caption: Caption | None
    left_out: int
    halves: Halves | None


def _planned(source: Path, target: Path, asked: FilmOptions, script: Script) -> _Planned:
    effect = read_effect(source)
    with naming(source):
        compiled = compile_for(effect, asked.decoder) if asked.decoder else None
    seen = compiled.seen if compiled else effect
    shown = script.shown_for(seen)
    halves = halves_of(asked.beside, effect, compiled) if asked.beside else None
    caption = caption_of(_word(asked), full_caption(effect, compiled, shown.words))
    return _Planned(target, effect, compiled, seen, shown.drive, caption, shown.left_out, halves)


def full_caption(
    effect: Effect, compiled: Compiled | None, words: tuple[tuple[float, str], ...] = ()
) -> Caption:
    """All there is to say under the picture, with the words of a tour."""
    if compiled is None:
        return Caption(effect.title, PLAIN_EFFECT, words=words)
    unknown = tuple(f"{each.lamp}: {each.what}" for each in not_known_of(compiled.shown))
    return Caption(effect.title, f"on {compiled.leaflet.title}", unknown, words)


def _film(
    planned: _Planned,
    shot: Shot,
    most_bytes: int | None,
    asked: FilmOptions,
    told: Progress | None = None,
) -> None:
    """Film it and say what was filmed, with the values beside it; `told` of the progress."""
    target, effect, compiled, seen, shown_by, caption, left_out, halves = planned
    if asked.calm:
        seen = calmer(seen, shown_by, shot, caption, format_of(target)).effect
    said = said_of_film(compiled.shown) if compiled else ()
    shown = (caption, asked.lanes, asked.still, halves)
    try:
        bar = nullcontext(told) if told else console.progress(f"filming {called(seen)}")
        with naming(seen.source), bar as progress:
            about = (seen, target, shown_by, shot, progress, asked.accept_flashes)
            report = (
                making.film_pictures(*about, *shown)
                if _pictures(asked)
                else making.film(*about, most_bytes, said, *shown)
            )
    except FlashError as error:
        offers = CALM_EACH if halves else CALM_FIRST if compiled else _offer(planned, shot, error)
        error.remedy = "\n".join([offers, *AS_IT_IS])
        raise
    show_film(report, shown_by, shot)
    if left_out:
        console.say(f"  left out of the tour: {number_of(left_out, 'look')} more")
    if asked.poster:
        packed = png_bytes if asked.poster.suffix.lower() == ".png" else jpeg_bytes
        with replacing(asked.poster) as file:
            file.write(packed(making.poster(seen, shown_by, shot, *shown)))
        console.label(asked.poster, ": its brightest frame")
    for hint in _hints(seen, shown_by, halves):
        console.label("  hint", f" {hint}", "yellow")
    if compiled:
        table = _table_of(target)
        write_text(table, table_text(effect.title, compiled))
        console.label(table, ": the values to write")
        show_compromises(compiled)


def _hints(seen: Effect, drive: Drive, halves: Halves | None) -> Iterator[str]:
    """What may not be meant of the drive; two looks side by side have one, so keys of both."""
    if halves is None:
        yield from idle_keys(seen, drive)
    elif dark := without_keys(halves.right, drive):
        keys = ",".join(sorted_keys({*halves.left.own_keys, *halves.right.own_keys}))
        yield f"not lit on the right, for want of keys: {', '.join(dark)}; try --keys {keys}"
    yield from map(str, painted_lamps(seen))


def _table_of(film: Path) -> Path:
    """The file for the values beside a film."""
    return film.with_suffix(".values.txt")


def _offer(planned: _Planned, shot: Shot, refused: FlashError) -> str:
    """What --calm would film instead, in numbers."""
    caption, kind = planned.caption, format_of(planned.target)
    try:
        calmed = search(planned.seen, planned.shown_by, shot, refused.verdict, caption, kind)
    except InputError as error:
        return f"{error.problem}: {error.remedy}"
    return (
        f"film the nearest effect that passes with --calm: {'; '.join(calmed.changes)}; "
        f"{lost_words(calmed)}"
    )
