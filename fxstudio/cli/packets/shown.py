"""The options that all packets share, and how packets are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from fxstudio.cli.shown import console
from fxstudio.dcc.framing import Packet
from fxstudio.dcc.packets import Address, Message, locomotive
from fxstudio.errors import InputError

AddressOption = Annotated[
    int | None,
    typer.Option(
        "--address", "-a", help="The locomotive's number: 1 to 127 short, 128 to 10239 long."
    ),
]
LongOption = Annotated[
    bool, typer.Option("--long", help="Use a long address although the number is below 128.")
]
TrackOption = Annotated[
    bool,
    typer.Option("--programming-track", help="Programming track: direct mode, without an address."),
]
BitOption = Annotated[
    int | None, typer.Option(help="Only this bit of the CV, 0 to 7; --value is then 0 or 1.")
]
BitsOption = Annotated[bool, typer.Option("--bits", help="Also show every packet as bits.")]


def locomotive_of(number: int | None, long: bool) -> Address:
    """The address; raises InputError if there is none."""
    if number is None:
        raise InputError("which locomotive?", field="--address").allowing(
            "1 to 127 short, 128 to 10239 long",
            remedy="add --address NUMBER; write and verify may have --programming-track instead",
        )
    return locomotive(number, long)


def whom(number: int | None, long: bool, programming_track: bool) -> Address | None:
    """The address, or None for the programming track."""
    if not programming_track:
        return locomotive_of(number, long)
    if number is not None:
        raise InputError(
            "the programming track has no addresses", field="--address", given=number
        ).advising("leave out --address, or --programming-track")
    return None


def said(message: Message) -> str:
    """What it says, without whom it is for."""
    return str(message).split(": ", 1)[-1]


def show_bits(packets: Sequence[Packet], wanted: bool) -> None:
    """Every packet as bits, each once."""
    for packet in dict.fromkeys(packets) if wanted else ():
        count = len(packet.bits.replace(" ", ""))
        console.label(packet, f"  {count} bits, {packet.duration_us:g} µs")
        console.say(f"  {packet.bits}")
