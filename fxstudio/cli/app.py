"""The Typer application, and what several commands share.

Commands import what they need when they run, so that `--help` answers at once.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer
from typer.core import TyperGroup

from fxstudio import __version__
from fxstudio.errors import InputError, WriteError, WrongFileError, near

if TYPE_CHECKING:
    from fxstudio.decoder.description.model import Description
    from fxstudio.decoder.values.compile import Compiled
    from fxstudio.effect.model import Effect

DONE, FAULT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130
"""Exit codes."""

COMMANDS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "See the look": ("demo", "list", "show", "film"),
        "Keep it harmless": ("check", "calm", "figures", "camera"),
        "Make your decoder do it": ("values", "plan", "read", "suit", "move", "describe"),
        "At the bench": ("sheet", "truth", "resistor", "currents", "wires", "packets"),
        "For your editor": ("schema",),
    }
)
"""Heading to commands, in the order in which `--help` shows them."""


TYPED: Final = "fxstudio.typed"
"""Where the words of the command are kept while it runs."""


class Group(TyperGroup):
    """Commands whose help flows from edge to edge, however its source is broken into lines."""

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of that name, or None."""
        command = super().get_command(ctx, cmd_name)
        if command and command.help:
            paragraphs = command.help.split("\n\n")
            command.help = "\n\n".join(" ".join(text.split()) for text in paragraphs)
        return command


class Commands(Group):
    """All commands, shown under their headings; ends in plain words when interrupted."""

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        """Keep what was typed: a message may have to say it again, put right."""
        ctx.meta[TYPED] = list(args)
        return super().parse_args(ctx, args)

    def invoke(self, ctx: Any) -> Any:
        """Run the command that was called."""
        try:
            return super().invoke(ctx)
        except WrongFileError as error:
            from fxstudio.cli.exchanged import explain

            explain(error, ctx.meta[TYPED])
            raise
        except typer.BadParameter as error:
            _suggest(error)
            raise
        except KeyboardInterrupt:
            typer.echo("interrupted; no file is left half-written", err=True)
            raise typer.Exit(INTERRUPTED) from None

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Plain text: it answers in half the time that frames and colours take to load."""
        super(TyperGroup, self).format_help(ctx, formatter)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """One section for each heading."""
        for heading, names in COMMANDS.items():
            rows = [(name, self.commands[name].get_short_help_str(200)) for name in names]
            with formatter.section(heading):
                formatter.write_dl(rows)


def _suggest(error: typer.BadParameter) -> None:
    """Add the choice that was meant to an error about an option with choices."""
    found = re.search(r"'(.*)' is not one of (.*)", error.message)
    if found and (guess := near(found[1], re.findall("'(.*?)'", found[2]))):
        error.message += f" Did you mean '{guess}'?"


app = typer.Typer(
    name="fxstudio",
    cls=Commands,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    help="""Choose a lighting effect for a model locomotive on screen, then write it to the decoder.

    An effect file says which lamps a locomotive has and how each behaves. fxstudio films it, \
and tells which CV values make your decoder do it and what the decoder cannot do.

    Exit codes: 0 done, 2 a file or an option cannot be used, 1 a fault in fxstudio, \
130 interrupted; no file is ever left half-written.""",
    epilog="Start with `fxstudio demo`, then `fxstudio list`.",
)

EffectName = Annotated[
    str, typer.Argument(metavar="EFFECT", help="A shipped effect by name, or the path of a file.")
]
DecoderName = Annotated[
    str | None,
    typer.Option(
        "--decoder", "-d", metavar="DECODER", help="A decoder description by name or path."
    ),
]


def decoders() -> dict[str, Description]:
    """The shipped decoder descriptions by name."""
    from fxstudio.decoder.description.files import read_description, shipped

    return {name: read_description(path) for name, path in shipped().items()}


def compile_for(effect: Effect, decoder: str) -> Compiled:
    """What to write so that a decoder, by name or path, does `effect`."""
    from fxstudio.decoder.values.compile import compile_effect

    return compile_effect(effect, description_for(decoder))


def description_for(decoder: str | None) -> Description:
    """The description that --decoder names; raises InputError if it names none."""
    from fxstudio.decoder.description.files import read_description

    return read_description(description_file(decoder))


def description_file(decoder: str | None) -> Path:
    """The file of the description that --decoder names; raises InputError if it names none."""
    from fxstudio.decoder.description.files import find_description

    if decoder is None:
        raise InputError(
            "which decoder?", field="--decoder", allowed=", ".join(decoders()) + ", or a path",
            remedy="add --decoder NAME; `fxstudio describe new` describes your own",
        )  # fmt: skip
    return find_description(decoder)


def key_list(text: str) -> list[str]:
    """The keys in `F1, f2` or `F1 F2`; none of them in `none`."""
    return [key.upper() for key in re.split(r"[,;\s]+", text) if key.lower() not in ("", "none")]


def make_folder(folder: Path) -> None:
    """Make a folder if it is not there; raises WriteError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(
            f"cannot be made ({error.strerror})", folder, remedy="choose another folder"
        ) from error


def write_text(path: Path, text: str) -> None:
    """Write a text file whole or not at all; raises WriteError."""
    from fxstudio.whole_files import replacing

    with replacing(path) as file:
        file.write(text.encode())


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"fxstudio {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    pass
