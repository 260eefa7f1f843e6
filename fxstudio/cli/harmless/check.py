"""`fxstudio check`: what is wrong with files, and what will disappoint."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.codes import BAD_INPUT
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import Replace, Size, picture_size
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_currents
from fxstudio.cli.shown.film import caution_flashes, show_judged, show_verdict
from fxstudio.decoder.description.files import read_description
from fxstudio.decoder.description.files import shipped as decoder_files
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.interview.notebook import read_answers
from fxstudio.decoder.leaflet.files import load_leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.lists import read_values
from fxstudio.documents.reading import ANSWERS, CELLS, DESCRIPTION, DRIVE, EFFECT, VALUES, file_kind
from fxstudio.effect.advice import advise, idle_keys
from fxstudio.effect.files import find, read_drive, read_effect
from fxstudio.effect.files import shipped_effects as effect_files
from fxstudio.effect.model import Effect
from fxstudio.errors import FxError, InputError, naming
from fxstudio.film.making import flash_map, judge_film
from fxstudio.film.png import png_bytes
from fxstudio.film.take import Shot, TooLargeError
from fxstudio.flashes.map import LEGEND
from fxstudio.whole_files import replacing


def check(
    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder, drive or value files.")
    ],
    flash_map: Annotated[
        Path | None, typer.Option(help="PNG file to write: a picture of where the effect flashes.")
    ] = None,
    size: Size = "480x320",
    replace: Replace = False,
) -> None:
    """See every wrong field of your files, and what is allowed but may look wrong.

    fxstudio also films each effect, without writing a file, and says where the film flashes more
    than WCAG 2.3.1 allows. This is a check of one picture on a screen. It is no medical and no
    legal judgement. It is stricter than the text of WCAG: fine patterns with squares below 0.1
    degrees are not excepted, a quarter of the field is 21,824 pixels and not 87,296, and every
    saturated red beside black counts, however dark.

    If you give effects and decoders, it also says what does not go together: outputs that a
    decoder lacks, keys, all other compromises, and currents.

    The exit code is 2 if a file cannot be used or flashes too much. Hints alone are no error.

    Examples:
        fxstudio check my_fire.toml
        fxstudio check my_fire.toml my_decoder.toml
        fxstudio check my_fire.toml --flash-map where.png

    Try it in a new folder:
        fxstudio check banked_fire withybank_glim
    """
    shot = Shot(*picture_size(size))
    check_ending("check", "--flash-map", flash_map)
    if flash_map and len(paths) > 1:
        raise InputError(
            "one picture cannot show several effects", field="--flash-map", given=str(flash_map)
        ).advising("check one effect at a time")
    shipped = {**effect_files(), **decoder_files()}
    reads = [("FILE", shipped.get(name, Path(name))) for name in paths]
    check_files(reads, [("--flash-map", flash_map)], replace)
    failed = False
    effects: dict[str, Effect] = {}
    described: dict[str, Description] = {}
    for name in paths:
        thing = _usable(name)
        if thing is None:
            failed = True
        elif isinstance(thing, Effect):
            _show_hints(thing)
            failed |= not _flashes(thing, shot, flash_map)
            effects[name] = thing
        elif isinstance(thing, Description):
            described[name] = thing
    for effect, decoder in product(effects, described):
        failed |= not _fit(effect, effects[effect], decoder, described[decoder])
    if effects:
        caution_flashes()
    if failed:
        raise typer.Exit(BAD_INPUT)


def _usable(name: str) -> object | None:
    """The checked content of a file, after what it is was told; None after what is wrong."""
    try:
        kind, content = _read_any(name)
    except FxError as error:
        console.complain(error)
        return None
    console.label(name, f": a usable {kind}")
    return content


def _show_hints(effect: Effect) -> None:
    for hint in (*advise(effect), *idle_keys(effect, effect.shown_by)):
        console.label("  hint", f" {hint}", "yellow")


def _fit(name: str, effect: Effect, decoder: str, description: Description) -> bool:
    """Say what of an effect a decoder cannot do, and whether it can carry the currents."""
    console.label(f"{name} on {decoder}", ":")
    try:
        with naming(name):
            compiled = compile_effect(effect, description)
    except FxError as error:
        console.complain(error)
        return False
    show_compromises(compiled)
    show_currents(effect, description, compiled)
    return True


def _flashes(effect: Effect, shot: Shot, map_to: Path | None) -> bool:
    """Say whether a film of an effect would pass, and draw where it flashes."""
    try:
        with console.progress("looking for flashes") as progress:
            verdict = judge_film(effect, shot=shot, progress=progress)
    except TooLargeError as error:  # a long drive is no fault of the file
        console.label("  flashes", f" not checked: {error.problem} ({error.given})", "yellow")
        return True
    show_judged(effect)
    show_verdict(verdict)
    if map_to:
        with replacing(map_to) as file:
            file.write(png_bytes(flash_map(effect, verdict, shot=shot)))
        console.label(map_to, f": {LEGEND}")
    return verdict.passes


def _read_any(name: str) -> tuple[str, object]:
    """What kind of file it is, and its checked content; an effect if it does not say."""
    readers = {
        EFFECT: read_effect,
        DESCRIPTION: read_description,
        CELLS: load_leaflet,
        VALUES: read_values,
        DRIVE: read_drive,
        ANSWERS: read_answers,
    }
    path = find(name, {**effect_files(), **decoder_files()}, "file", "my_fire.toml")
    kind = file_kind(path) or EFFECT
    return kind, readers[kind](path)
