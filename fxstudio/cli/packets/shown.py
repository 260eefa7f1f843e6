"""Whom packets are for, and how they are shown."""

from __future__ import annotations

from collections.abc import Sequence

from fxstudio.cli.shown import console
from fxstudio.dcc.framing import Packet
from fxstudio.dcc.packets import Address, Message, locomotive
from fxstudio.errors import InputError


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
