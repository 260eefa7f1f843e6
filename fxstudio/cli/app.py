"""The application: `fxstudio --help`, and the call of a command."""

from __future__ import annotations

import re
from typing import Annotated, Any, Final

import typer
from typer.core import TyperGroup

from fxstudio import __version__
from fxstudio.cli.codes import INTERRUPTED
from fxstudio.cli.commands import BY_NAME, COMMANDS, built, loaded, stand_in
from fxstudio.errors import WrongFileError, near

TYPED: Final = "fxstudio.typed"
"""Where the words of the command are kept while it runs."""


class Commands(TyperGroup):
    """All commands, shown under their headings; ends in plain words when interrupted.

    `commands` holds what `--help` shows; a command is imported when it is called.
    """

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        for row in BY_NAME.values():
            self.add_command(stand_in(row))

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command of that name, or None."""
        return built(BY_NAME[cmd_name]) if cmd_name in BY_NAME else None

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Keep what was typed: a message may have to say it again, put right."""
        ctx.meta[TYPED] = list(args)
        return super().parse_args(ctx, args)

    def invoke(self, ctx: Any) -> Any:
        """Run the command that was called."""
        try:
            return super().invoke(ctx)
        except WrongFileError as error:
            loaded("given.exchanged:say_what_was_meant")(error, ctx.meta[TYPED])
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
        for heading, rows in COMMANDS.items():
            with formatter.section(heading):
                formatter.write_dl([(row.name, row.line) for row in rows])


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
