"""The commands: one table, and how a command is loaded when it is called."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from importlib import import_module
from inspect import getdoc, signature
from types import MappingProxyType
from typing import Any, Final, NamedTuple, get_type_hints

import typer
from typer.core import TyperCommand

from fxstudio.errors import InputError


class Command(NamedTuple):
    """One row of `fxstudio --help`.

    line : what it does, the first line of its own help too
    where : its function, or its own group of commands, as `module:name` in `fxstudio.cli`
    options : the class of what may be given to its function, whose docstring is its help
    """

    name: str
    line: str
    where: str
    options: str = ""


COMMANDS: Final[Mapping[str, tuple[Command, ...]]] = MappingProxyType(
    {
        "See the look": (
            Command(
                "demo",
                "Get a film of a fire in a cab, and the values that make it.",
                "look.demo:demo",
                "look.options:DemoOptions",
            ),
            Command(
                "list",
                "List the shipped effects and decoders, and the scenes, places and patterns "
                "to use.",
                "look.catalogue:list_all",
                "look.options:ListOptions",
            ),
            Command(
                "show",
                "Open the window, where you see an effect live, change it and save it.",
                "look.show:show",
                "look.options:ShowOptions",
            ),
            Command(
                "film",
                "Film effects as GIFs that loop without a seam.",
                "look.film:film",
                "look.options:FilmOptions",
            ),
        ),
        "Your own locomotive": (
            Command(
                "scene",
                "Make a scene of your own locomotive from photographs.",
                "scene.group:scene",
            ),
        ),
        "Share it": (
            Command(
                "pack",
                "Put an effect, its decoder and a film into one file for others.",
                "share.pack:pack",
                "share.options:PackOptions",
            ),
            Command(
                "unpack",
                "Open a pack that someone made with `fxstudio pack`, safely.",
                "share.unpack:unpack",
                "share.options:UnpackOptions",
            ),
        ),
        "Keep it harmless": (
            Command(
                "check",
                "See every wrong field of your files, and what is allowed but may look wrong.",
                "harmless.check:check",
                "harmless.options:CheckOptions",
            ),
            Command(
                "calm",
                "Write the nearest effect whose film does not flash too much.",
                "harmless.calm:calm",
                "harmless.options:CalmOptions",
            ),
            Command(
                "figures",
                "Show how much, how fast and how bright each lamp and the whole picture flicker.",
                "harmless.figures:figures",
                "harmless.options:FiguresOptions",
            ),
            Command(
                "camera",
                "Show how a decoder's dimming looks on film, and which shutter hides it.",
                "harmless.camera:camera",
                "harmless.options:CameraOptions",
            ),
        ),
        "Make your decoder do it": (
            Command(
                "values",
                "Show which CV values make a decoder do this effect, and what it cannot do.",
                "decoder.values:values",
                "decoder.options:ValuesOptions",
            ),
            Command(
                "plan",
                "Get a plan of the fewest writes: their order, what you see after each, and "
                "the way back.",
                "decoder.plan:plan",
                "decoder.options:PlanOptions",
            ),
            Command(
                "read",
                "See which effect the values in a list make: in words, as a film or as an "
                "effect file.",
                "decoder.read:read",
                "decoder.options:ReadOptions",
            ),
            Command(
                "explain",
                "Show a decoder's description as a leaflet in plain words, with its values.",
                "decoder.explain:explain_decoder",
                "decoder.options:LeafletOptions",
            ),
            Command(
                "suit",
                "Rank decoders by how much of an effect each of them would lose, the best first.",
                "decoder.move:suit",
                "decoder.options:SuitOptions",
            ),
            Command(
                "move",
                "See how to move a look to another decoder: wires, values, and what is lost.",
                "decoder.move:move",
                "decoder.options:MoveOptions",
            ),
            Command(
                "describe",
                "Describe a decoder of your own from its leaflet.",
                "decoder.options:describe",
            ),
        ),
        "At the bench": (
            Command(
                "sheet",
                "Make a bench sheet: one HTML file to print and tick off beside the locomotive.",
                "bench.sheet:sheet",
                "bench.options:SheetOptions",
            ),
            Command(
                "truth",
                "Show which lamps are lit by which key and travel, and the fewest steps "
                "that prove it.",
                "bench.truth:truth",
                "bench.options:TruthOptions",
            ),
            Command(
                "resistor",
                "Find the resistor that an LED needs: its value, its heat and its rating.",
                "bench.resistor:resistor",
                "bench.options:ResistorOptions",
            ),
            Command(
                "currents",
                "Add up the currents of the lamps, against what outputs, decoder and plug "
                "can carry.",
                "bench.currents:currents",
                "bench.options:CurrentsOptions",
            ),
            Command(
                "wires",
                "Show the colours of decoder wires and the contacts of decoder plugs.",
                "bench.wires:wires",
                "bench.options:WiresOptions",
            ),
            Command(
                "packets",
                "Show the DCC packets that a command station sends: bytes, bits and time.",
                "packets.options:packets",
            ),
        ),
        "For your editor": (
            Command(
                "schema",
                "Write JSON Schema files, with which an editor completes and checks your "
                "TOML files.",
                "editor.schema:schema",
                "editor.options:SchemaOptions",
            ),
        ),
    }
)
"""Heading to its commands, in the order in which `--help` shows them."""

BY_NAME: Final[Mapping[str, Command]] = MappingProxyType(
    {row.name: row for rows in COMMANDS.values() for row in rows}
)


def loaded(where: str) -> Any:
    """What stands at `module:name` in `fxstudio.cli`; its module is imported now."""
    module, name = where.split(":")
    return getattr(import_module(f"fxstudio.cli.{module}"), name)


class Plain(TyperCommand):
    """A command that refuses words it has no place for in the words of other messages."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Take what was typed; raises InputError for a word too many."""
        super().parse_args(ctx, args)
        if ctx.args:
            pieces = self.collect_usage_pieces(ctx)[1:]  # after [OPTIONS]
            names = " and ".join(piece.strip("{[.]}") for piece in pieces)
            raise InputError(
                f"{ctx.command_path} takes {names or 'options'} and no other name or file",
                given=" ".join(ctx.args),
                remedy=f"leave it out; `{ctx.command_path} --help` shows what it takes",
            )
        return []


EXAMPLES: Final = ("Examples:", "Try it in a new folder:")
"""Headings of the calls in a docstring; what stands under the second works as it is."""


def add(to: typer.Typer, function: Callable[..., None], name: str | None = None) -> None:
    """Make a function a command; its docstring is the help, with the examples at its end."""
    blocks = (getdoc(function) or "").split("\n\n")
    below = [block for block in blocks if block.startswith(EXAMPLES)]
    text = "\n\n".join(block for block in blocks if block not in below)
    calls = (call for block in below for call in re.split(r"\s*\n\s*(?=fxstudio )", block))
    epilog = flowing("\n\n".join(calls)) or None
    settings = {"allow_extra_args": True}  # `Plain` refuses them
    to.command(name, cls=Plain, context_settings=settings, help=flowing(text), epilog=epilog)(
        function
    )


def deferred(options: type, where: str) -> Callable[..., None]:
    """A function whose parameters are the fields of `options`, a frozen dataclass.

    What it does stands at `where` and is imported when it is called: help needs none of it.
    """

    def call(**given: Any) -> None:
        loaded(where)(options(**given))

    call.__name__, call.__doc__ = where.partition(":")[2], getdoc(options)
    call.__annotations__ = get_type_hints(options, include_extras=True)
    call.__signature__ = signature(options, eval_str=True)  # type: ignore[attr-defined]
    return call


def group(about: str, members: Mapping[type, str]) -> typer.Typer:
    """A command that has commands: their options, and where each does what it is asked for."""
    made = typer.Typer(
        no_args_is_help=True, rich_markup_mode="rich", add_completion=False, help=about
    )
    for options, where in members.items():
        add(made, deferred(options, where))
    return made


def flowing(text: str) -> str:
    """Paragraphs that flow from edge to edge, however their source is broken into lines."""
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in text.split("\n\n"))


def stand_in(row: Command) -> TyperCommand:
    """A command that only shows its row in `--help`."""
    return TyperCommand(row.name, help=row.line)


def function_of(row: Command) -> Any:
    """The function of a row, or its group of commands; what it does is not imported yet."""
    return deferred(loaded(row.options), row.where) if row.options else loaded(row.where)


def built(row: Command) -> Any:
    """The command, or group of commands, of a row."""
    found = function_of(row)
    if isinstance(found, typer.Typer):
        return typer.main.get_command(found)
    alone = typer.Typer(add_completion=False, rich_markup_mode="rich")
    add(alone, found, row.name)
    return typer.main.get_command(alone)
