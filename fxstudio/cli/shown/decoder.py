"""What a decoder does of an effect, and what it cannot."""

from __future__ import annotations

from collections.abc import Iterable

from fxstudio.cli.shown import console
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.unknowns import NotKnown, not_known_of
from fxstudio.effect.model import Effect
from fxstudio.export.table import as_asked, notes_of, value_table
from fxstudio.export.wiring import wiring


def show_values(title: str, compiled: Compiled) -> None:
    """The values to write; those that stay as they are stand dim."""
    headings, rows, written = value_table(compiled)
    console.show_table(title, headings, rows, [not write for write in written])


def show_notes(compiled: Compiled) -> None:
    """Which values have bits that are not the effect's, and whether others may be better."""
    for note in notes_of(compiled):
        console.label("note", f" {note}", "yellow")


def show_compromises(compiled: Compiled) -> None:
    """What the decoder cannot do, or that it does all; and what is not known of it."""
    unknown = not_known_of(compiled.shown)
    if not compiled.compromises:
        console.say(as_asked(unknown))
    for entry in compiled.compromises:
        console.label("compromise", f" {entry}", "yellow")
    for text in compiled.consequences:
        console.label("note", f" {text}", "yellow")
    show_not_known(unknown)


def show_not_known(rows: Iterable[NotKnown]) -> None:
    """What the description does not say of the lamps, and what it is drawn as."""
    for row in rows:
        console.label("note", f" {row}; to find it out, {row.find}", "yellow")


def show_currents(effect: Effect, leaflet: Leaflet, compiled: Compiled) -> None:
    """What the lamps of an effect draw at once, one LED each, and what to mind."""
    soldered = wiring(effect, leaflet, seen=compiled.seen)
    console.label("  currents", f" {soldered.loads.words} (one LED to each lamp)")
    for mind in soldered.minds:
        console.label("  mind", f" {mind}", "yellow")
