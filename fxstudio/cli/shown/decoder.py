"""What a decoder does of an effect, and what it cannot."""

from __future__ import annotations

from fxstudio.cli.shown import console
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled
from fxstudio.effect.model import Effect
from fxstudio.export.table import shared_note, value_table
from fxstudio.export.wiring import wiring


def show_values(title: str, compiled: Compiled) -> None:
    """The values to write; those that stay as they are stand dim."""
    headings, rows, written = value_table(compiled)
    console.show_table(title, headings, rows, [not write for write in written])


def show_shared(compiled: Compiled) -> None:
    """Which values have bits that are not the effect's."""
    if note := shared_note(compiled):
        console.label("note", f" {note}", "yellow")


def show_compromises(compiled: Compiled) -> None:
    """What the decoder cannot do, or that it does all."""
    if not compiled.compromises:
        console.say("The decoder does this as asked: no brightness differs by more than 1 L*.")
    for entry in compiled.compromises:
        console.label("compromise", f" {entry}", "yellow")


def show_currents(effect: Effect, leaflet: Leaflet, compiled: Compiled) -> None:
    """What the lamps of an effect draw at once, one LED each, and what to mind."""
    soldered = wiring(effect, leaflet, seen=compiled.seen)
    console.label("  currents", f" {soldered.loads.words} (one LED to each lamp)")
    for mind in soldered.minds:
        console.label("  mind", f" {mind}", "yellow")
