"""`fxstudio packets`, the running: keys, speed, and an effect's whole drive."""

from __future__ import annotations

from collections.abc import Sequence

from fxstudio.cli.given.options import key_list
from fxstudio.cli.packets.options import DriveOptions, KeysOptions, SpeedOptions
from fxstudio.cli.packets.shown import (
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


def keys(asked: KeysOptions) -> None:
    """Do what `KeysOptions` asks for."""
    to = locomotive_of(asked.address, asked.long)
    lit = key_list(asked.on)
    rows = groups_of([*lit, *key_list(asked.groups)])
    _show_messages(functions(to, lit, rows), asked.bits)
    console.say(WHERE_F0_IS)


def speed(asked: SpeedOptions) -> None:
    """Do what `SpeedOptions` asks for."""
    to = locomotive_of(asked.address, asked.long)
    name = _speed_format(asked.steps)
    if asked.at_once and asked.step:
        raise InputError(
            "a locomotive that stops at once has no speed", field="STEP", given=asked.step
        ).allowing("0 with --at-once", remedy="give step 0, or leave --at-once out")
    message = (
        dcc.stop_at_once(to, not asked.reverse, name)
        if asked.at_once
        else dcc.speed(to, asked.step, not asked.reverse, name)
    )
    _show_messages([message], asked.bits)
    console.say(IT_MOVES, "dim")


def drive(asked: DriveOptions) -> None:
    """Do what `DriveOptions` asks for."""
    wanted = load_effect(asked.effect)
    to = locomotive_of(asked.address, asked.long)
    sent = drive_messages(
        wanted.shown_by,
        to,
        wanted.keys,
        speed_format=_speed_format(asked.steps),
        top_speed_kmh=asked.top_speed,
        every_s=asked.every,
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
    show_bits(packets, asked.bits)
    if slower := too_fast(wanted.shown_by, asked.top_speed):
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
