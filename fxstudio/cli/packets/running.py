"""`fxstudio packets`, the running: keys, speed, and an effect's whole drive."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from fxstudio.cli.given.options import EffectName, key_list
from fxstudio.cli.packets.shown import (
    AddressOption,
    BitsOption,
    LongOption,
    locomotive_of,
    said,
    show_bits,
)
from fxstudio.cli.shown import console
from fxstudio.dcc import packets as dcc
from fxstudio.dcc.drive_packets import drive_messages, too_fast
from fxstudio.dcc.instructions import SPEED_SCALES
from fxstudio.dcc.packets import Message, encode_packet, functions, groups_of
from fxstudio.effect.files import load_effect
from fxstudio.errors import InputError

IT_MOVES = (
    "The locomotive runs by these packets: keep hands, tools and other trains clear, and a way to "
    "cut the track power within reach."
)


# Source: NMRA S-9.2.1 (2012), C, function group one.
WHERE_F0_IS = "F0 goes with F1 to F4 only while bit 1 of CV29 is 1: 28 or 126 speed steps."


def keys(
    on: Annotated[
        str, typer.Argument(metavar="KEYS", help="Keys that are on, such as F0,F2, or none.")
    ],
    address: AddressOption = None,
    groups: Annotated[
        str, typer.Option(help="Also send the groups of these keys, such as F5,F13.")
    ] = "F0",
    long: LongOption = False,
    bits: BitsOption = False,
) -> None:
    """Show the packets that switch function keys; one packet switches a whole group of keys.

    Examples:
        fxstudio packets keys none --groups F0,F5 --address 1234

    Try it in a new folder:
        fxstudio packets keys F0,F2 --address 3
    """
    to = locomotive_of(address, long)
    lit = key_list(on)
    rows = groups_of([*lit, *key_list(groups)])
    _show_messages(functions(to, lit, rows), bits)
    console.say(WHERE_F0_IS)


def speed(
    step: Annotated[int, typer.Argument(help="Speed step; 0 is stop.")],
    address: AddressOption = None,
    reverse: Annotated[bool, typer.Option("--reverse", help="Drive backwards.")] = False,
    steps: Annotated[int, typer.Option(help="How many steps there are: 126 or 28.")] = 126,
    at_once: Annotated[
        bool, typer.Option("--at-once", help="With step 0: stop at once, without slowing down.")
    ] = False,
    long: LongOption = False,
    bits: BitsOption = False,
) -> None:
    """Show the packet that sets speed and direction.

    Examples:
        fxstudio packets speed 0 --address 3 --reverse --steps 28

    Try it in a new folder:
        fxstudio packets speed 40 --address 3
    """
    to = locomotive_of(address, long)
    name = _speed_format(steps)
    if at_once and step:
        raise InputError(
            "a locomotive that stops at once has no speed", field="STEP", given=step
        ).allowing("0 with --at-once", remedy="give step 0, or leave --at-once out")
    message = (
        dcc.stop_at_once(to, not reverse, name)
        if at_once
        else dcc.speed(to, step, not reverse, name)
    )
    _show_messages([message], bits)
    console.say(IT_MOVES, "dim")


def drive(
    effect: EffectName,
    address: AddressOption = None,
    steps: Annotated[int, typer.Option(help="How many speed steps: 126 or 28.")] = 126,
    top_speed: Annotated[
        float, typer.Option(metavar="KMH", help="Full-size speed at the highest step, in km/h.")
    ] = 100.0,
    every: Annotated[
        float,
        typer.Option(metavar="SECONDS", help="Time between packets while the speed changes."),
    ] = 0.5,
    long: LongOption = False,
    bits: BitsOption = False,
) -> None:
    """Show the packets that play an effect's drive on a layout: direction, speed and keys.

    Examples:
        fxstudio packets drive my_fire.toml --address 1234 --steps 28

    Try it in a new folder:
        fxstudio packets drive ashpan_beat --address 3
    """
    wanted = load_effect(effect)
    to = locomotive_of(address, long)
    sent = drive_messages(
        wanted.shown_by,
        to,
        wanted.keys,
        speed_format=_speed_format(steps),
        top_speed_kmh=top_speed,
        every_s=every,
    )
    packets = [encode_packet(message) for _, message in sent]
    console.show_table(
        f"{wanted.title}: {wanted.shown_by.length_s:g} s, {to}",
        (("at s", "right"), ("packet", "left"), ("says", "left")),
        [
            (f"{at:.2f}", str(packet), said(message))
            for (at, message), packet in zip(sent, packets, strict=True)
        ],
    )
    show_bits(packets, bits)
    if slower := too_fast(wanted.shown_by, top_speed):
        console.label("mind", f" {slower}", "yellow")
    console.say(
        "A station sends each again and again until the next one. Between two for the same "
        "locomotive goes an idle packet (FF 00 FF) or one for another: the standard wants 5 ms.",
    )
    console.say(WHERE_F0_IS)
    console.say(IT_MOVES, "dim")


def _speed_format(steps: int) -> str:
    for name, scale in SPEED_SCALES.items():
        if scale.steps == steps:
            return name
    raise InputError(
        "there is no such number of speed steps", field="--steps", given=steps
    ).allowing(
        " or ".join(str(scale.steps) for scale in SPEED_SCALES.values()),
        remedy="126 is what decoders with '128 steps' have",
    )


def _show_messages(messages: Sequence[Message], bits: bool) -> None:
    packets = [encode_packet(message) for message in messages]
    console.show_table(
        str(messages[0].address),
        (("packet", "left"), ("says", "left"), ("ms", "right")),
        [
            (str(packet), said(message), f"{packet.duration_us / 1000:.2f}")
            for packet, message in zip(packets, messages, strict=True)
        ],
    )
    show_bits(packets, bits)
