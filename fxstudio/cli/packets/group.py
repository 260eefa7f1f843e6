"""`fxstudio packets`: the group of its commands."""

from __future__ import annotations

import typer

from fxstudio.cli.commands import add, deferred
from fxstudio.cli.packets import options

packets = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode="rich",
    add_completion=False,
    help="""Show the DCC packets that a command station sends: bytes, bits and time.

    fxstudio sends nothing. It only shows the packets, for people who build stations or want to
    know what one sends.""",
)
for what, where in (
    (options.WriteOptions, "cvs:write"),
    (options.VerifyOptions, "cvs:verify"),
    (options.LongAddressOptions, "cvs:long_address"),
    (options.ExplainOptions, "cvs:explain"),
    (options.KeysOptions, "running:keys"),
    (options.SpeedOptions, "running:speed"),
    (options.DriveOptions, "running:drive"),
):
    add(packets, deferred(what, f"packets.{where}"))
