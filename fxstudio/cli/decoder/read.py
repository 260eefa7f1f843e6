"""`fxstudio read`: from values back to an effect."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from fxstudio.cli.decoder.options import ReadOptions
from fxstudio.cli.given.decoders import description_file, leaflet_for
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_not_known
from fxstudio.cli.shown.film import show_film
from fxstudio.cli.shown.written import write_text
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.lists import read_values
from fxstudio.decoder.values.meaning import subject
from fxstudio.decoder.values.read_back import ReadBack, read_back
from fxstudio.decoder.values.unknowns import not_known_of, said_of_film
from fxstudio.decoder.writing.sight import explained, lamp_words
from fxstudio.effect.files import find_effect, load_effect
from fxstudio.effect.model import Effect
from fxstudio.effect.writing import moved_to, to_text
from fxstudio.errors import naming
from fxstudio.film import making
from fxstudio.film.making import FlashError
from fxstudio.film.take import Shot
from fxstudio.units import hz


def read(asked: ReadOptions) -> None:
    """Do what `ReadOptions` asks for."""
    check_ending("read", "--film", asked.film)
    check_ending("read", "--save", asked.save)
    check_files(
        [
            ("VALUES", asked.values),
            ("--decoder", description_file(asked.decoder)),
            ("--like", find_effect(asked.like) if asked.like else None),
        ],
        [("--film", asked.film), ("--save", asked.save)],
        asked.replace,
    )
    leaflet = leaflet_for(asked.decoder)
    wired = load_effect(asked.like) if asked.like else None
    held = read_list(asked.values, leaflet, wired)
    seen = held.decoded.effect if wired else _named(held.decoded.effect, asked.values.stem)
    _show_meanings(held.known, leaflet, seen)
    _show_lamps(seen, {lamp for lamp, names in held.decoded.unknown.items() if "rate_hz" in names})
    show_not_known(not_known_of(held.decoded))
    for note in (*held.decoded.notes, *held.notes):
        console.label("note", f" {note}", "yellow")
    if asked.film:
        _film(seen, asked.film, asked.values.stem, asked.accept_flashes, said_of_film(held.decoded))
    if asked.save:  # last: it is not there yet if the film is refused, and the call can be mended
        write_text(asked.save, to_text(moved_to(seen, asked.save)))
        console.label(asked.save, ": the effect")


FLASHES = """\
save the effect with --save and without --film, and calm it with `fxstudio calm`
or film it as it is with --accept-flashes, and warn viewers"""
"""What to do about a film that is refused."""


def _film(seen: Effect, path: Path, name: str, accept_flashes: bool, said: Sequence[str]) -> None:
    try:
        with console.progress(f"filming {name}") as progress:
            report = making.film(
                seen, path, progress=progress, accept_flashes=accept_flashes, said=said
            )
    except FlashError as error:
        error.remedy = FLASHES
        raise
    show_film(report, seen.shown_by, Shot())
    console.caution("looking")


def read_list(path: Path, leaflet: Leaflet, wired: Effect | None) -> ReadBack:
    """What the values in a file say; raises ReadError or InputError that names it."""
    values = read_values(path)
    with naming(path):
        return read_back(values, leaflet, wired)


def _show_meanings(held: Mapping[CvAddress, int], leaflet: Leaflet, seen: Effect) -> None:
    names = {lamp.output: name for name, lamp in seen.lamps.items()}
    rows = [
        (str(cv), str(value), f"{value:08b}", explained(cv, value, leaflet, names))
        for cv, value in held.items()
    ]
    headings = (("CV", "left"), ("decimal", "right"), ("binary", "right"), ("meaning", "left"))
    if rows:
        console.show_table(leaflet.title, headings, rows)


def _show_lamps(seen: Effect, no_rate: Collection[str]) -> None:
    """The lamps, and the rates of those that flicker at one that is known."""
    for name, lamp in seen.lamps.items():
        console.label(subject(lamp.output, name), f": {lamp_words(lamp)}")
    shared = seen.flickering()
    rates: dict[tuple[str, float], list[str]] = {}
    for name, lamp in seen.lamps.items():
        if lamp.pattern.flickers and name not in no_rate:
            what = "shared rate" if name in shared else "own rate"
            rates.setdefault((what, seen.rate_of(name)), []).append(name)
    for (what, rate_hz), names in rates.items():
        console.label(what, f" {hz(rate_hz)}: {', '.join(names)}")


def _named(effect: Effect, title: str) -> Effect:
    """The effect under a title, with a note of what nobody but the person knows."""
    note = "Read back. Give the lamps their own names, colours and places."
    return effect.model_copy(update={"title": title[:80], "note": note})
