"""`fxstudio move` and `suit`: from one decoder to another."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.decoder.read import read_list
from fxstudio.cli.given.decoders import decoders
from fxstudio.cli.given.options import EffectName
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


def move(
    effect: EffectName,
    source: Annotated[
        str,
        typer.Option("--from", metavar="DECODER", help="The decoder the lamps are on now."),
    ],
    target: Annotated[str, typer.Option("--to", metavar="DECODER", help="The decoder they go to.")],
    present: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Values read from the first decoder: .toml or .csv. Without it, those for EFFECT.",
        ),
    ] = None,
) -> None:
    """See how to move a look to another decoder: wires, values, and what is lost.

    The second decoder shall show what the first one shows now. Each lamp goes to the wire of the
    same colour; if there is none, to the output of the same number, or to one that is free.

    Examples:
        fxstudio move my_fire.toml --from my_decoder.toml --to new_decoder.toml

    Try it in a new folder:
        fxstudio move banked_fire --from withybank_glim --to tolley_hearth
    """
    look = load_effect(effect)
    before, after = (read_description(find_description(name)) for name in (source, target))
    held = None if present is None else read_list(present, before, look)
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


def suit(
    effect: EffectName,
    files: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[DECODER]...", help="Decoder descriptions to rank with the shipped ones."
        ),
    ] = None,
) -> None:
    """Rank decoders by how much of an effect each of them would lose, the best first.

    Examples:
        fxstudio suit my_fire.toml my_decoder.toml

    Try it in a new folder:
        fxstudio suit banked_fire
    """
    look = load_effect(effect)
    known = decoders()
    more = {name: read_description(find_description(name)) for name in files or ()}
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
