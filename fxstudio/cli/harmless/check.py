"""`fxstudio check`: what is wrong with files, and what will disappoint."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from pathlib import Path

import typer

from fxstudio.cli.codes import BAD_INPUT
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.harmless.options import CheckOptions
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_currents
from fxstudio.cli.shown.film import caution_flashes, show_judged, show_verdict
from fxstudio.decoder.interview.notebook import read_answers
from fxstudio.decoder.leaflet.files import read_description
from fxstudio.decoder.leaflet.files import shipped as decoder_files
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import not_known
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.lists import read_values
from fxstudio.documents.reading import (
    ANSWERS,
    DESCRIPTION,
    DRIVE,
    EARLIER,
    EFFECT,
    SCENE,
    VALUES,
    file_kind,
)
from fxstudio.effect.advice import advise, idle_keys
from fxstudio.effect.files import find, read_drive, read_effect
from fxstudio.effect.files import shipped_effects as effect_files
from fxstudio.effect.model import Effect
from fxstudio.effect.setting.files import read_scene
from fxstudio.errors import FxError, InputError, naming
from fxstudio.film.choices.table import picture_size
from fxstudio.film.making import flash_map, judge_film
from fxstudio.film.png import png_bytes
from fxstudio.film.take import Shot, TooLargeError
from fxstudio.flashes.map import LEGEND
from fxstudio.whole_files import replacing


def check(asked: CheckOptions) -> None:
    """Do what `CheckOptions` asks for."""
    shot = Shot(*picture_size(asked.size))
    check_ending("check", "--flash-map", asked.flash_map)
    if asked.flash_map and len(asked.paths) > 1:
        raise InputError(
            "one picture cannot show several effects",
            field="--flash-map",
            given=str(asked.flash_map),
        ).advising("check one effect at a time")
    shipped = {**effect_files(), **decoder_files()}
    reads = [("FILE", shipped.get(name, Path(name))) for name in asked.paths]
    check_files(reads, [("--flash-map", asked.flash_map)], asked.replace)
    failed = False
    effects: dict[str, Effect] = {}
    described: dict[str, Leaflet] = {}
    for name in asked.paths:
        thing = _usable(name)
        if thing is None:
            failed = True
        elif isinstance(thing, Effect):
            _show_hints(thing)
            failed |= not _flashes(thing, shot, asked.flash_map)
            effects[name] = thing
        elif isinstance(thing, Leaflet):
            _show_left_out(thing)
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


def _show_left_out(leaflet: Leaflet) -> None:
    """What a description leaves out, and how each could be found."""
    for line in not_known(leaflet):
        console.label("  not known", f" {line}", "yellow")


def _fit(name: str, effect: Effect, decoder: str, leaflet: Leaflet) -> bool:
    """Say what of an effect a decoder cannot do, and whether it can carry the currents."""
    console.label(f"{name} on {decoder}", ":")
    try:
        with naming(name):
            compiled = compile_effect(effect, leaflet)
    except FxError as error:
        console.complain(error)
        return False
    show_compromises(compiled)
    show_currents(effect, leaflet, compiled)
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
    readers: dict[str, Callable[[Path], object]] = {
        EFFECT: read_effect,
        DESCRIPTION: read_description,
        EARLIER: read_description,
        VALUES: read_values,
        DRIVE: read_drive,
        ANSWERS: read_answers,
        SCENE: read_scene,
    }
    path = find(name, {**effect_files(), **decoder_files()}, "file", "my_fire.toml")
    kind = file_kind(path) or EFFECT
    return kind, readers[kind](path)
