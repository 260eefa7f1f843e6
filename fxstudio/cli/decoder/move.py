"""`fxstudio move` and `suit`: from one decoder to another."""

from __future__ import annotations

from fxstudio.cli.decoder.options import MoveOptions, SuitOptions
from fxstudio.cli.decoder.read import read_list
from fxstudio.cli.given.decoders import decoders
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_notes, show_values
from fxstudio.decoder.leaflet.files import find_description, read_description
from fxstudio.decoder.move import Moved
from fxstudio.decoder.move import move as move_look
from fxstudio.decoder.move import suit as suiting
from fxstudio.effect.files import load_effect
from fxstudio.errors import naming

LOST = (
    "Lost is reckoned lamp by lamp: mean lightness, swing, course, rate, how fast it follows its "
    "key, and in which states of key and travel it is lit."
)


def move(asked: MoveOptions) -> None:
    """Do what `MoveOptions` asks for."""
    look = load_effect(asked.effect)
    before, after = (
        read_description(find_description(name)) for name in (asked.source, asked.target)
    )
    held = None if asked.present is None else read_list(asked.present, before, look)
    with naming(look.source):
        moved = move_look(look, before, after, held.decoded if held else None)
    console.show_table(
        f"{look.title}: from {before.title} to {after.title}",
        (("lamp", "left"), ("from", "left"), ("to", "left"), ("because", "left")),
        wire_rows(moved),
    )
    for note in (*moved.notes, *(held.notes if held else ())):
        console.label("note", f" {note}", "yellow")
    show_values(f"values for {after.title}", moved.compiled)
    _show_lost(moved)
    show_compromises(moved.compiled)
    show_notes(moved.compiled)
    console.caution("writing")


def suit(asked: SuitOptions) -> None:
    """Do what `SuitOptions` asks for."""
    look = load_effect(asked.effect)
    known = decoders()
    more = {name: read_description(find_description(name)) for name in asked.files or ()}
    with naming(look.source):
        ranked = suiting(look, {**known, **more})
    console.show_table(
        look.title,
        (("decoder", "left"), ("lost", "right"), ("what of it", "left")),
        [
            (name, _share(moved.lost), "; ".join(_what(moved)) or "nothing")
            for name, moved in ranked
        ],
    )
    console.say(LOST, "dim")


def wire_rows(moved: Moved) -> list[tuple[str, ...]]:
    """Lamp, output it leaves, output it goes to, and why that one."""
    return [
        (
            row.lamp,
            _output(row.source, row.wire),
            _output(row.target.number, row.target.wire) if row.target else "nowhere",
            row.how,
        )
        for row in moved.rewired
    ]


def _output(number: int, wire: str) -> str:
    return f"output {number}, {wire}" if wire else f"output {number}"


def _show_lost(moved: Moved) -> None:
    console.show_table(
        f"lost: {_share(moved.lost)}",
        (("lamp", "left"), ("lost", "right"), ("what will be noticed", "left")),
        [
            (lamp.name, _share(lamp.lost), "; ".join(lamp.words()) or "nothing")
            for lamp in moved.likeness.lamps
        ],
    )
    console.say(LOST, "dim")


def _what(moved: Moved) -> list[str]:
    """What will be noticed, and which lamps must be soldered to another output."""
    words = [
        f"{lamp.name}: {', '.join(lamp.words())}" for lamp in moved.likeness.lamps if lamp.words()
    ]
    words += [
        f"{row.lamp} goes to output {row.target.number}"
        for row in moved.rewired
        if row.target and row.target.number != row.source
    ]
    return words


def _share(lost: float) -> str:
    return "under 1 %" if 0 < lost < 0.01 else f"{lost:.0%}".replace("%", " %")
