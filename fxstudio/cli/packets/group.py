"""`fxstudio packets`: the group of its commands."""

from __future__ import annotations

import typer

from fxstudio.cli.commands import add
from fxstudio.cli.packets.cvs import explain, long_address, verify, write
from fxstudio.cli.packets.running import drive, keys, speed

packets = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode="rich",
    add_completion=False,
    help="""Show the DCC packets that a command station sends: bytes, bits and time.

    fxstudio sends nothing. It only shows the packets, for people who build stations or want to
    know what one sends.""",
)
for command in (write, verify, long_address, explain, keys, speed, drive):
    add(packets, command)
