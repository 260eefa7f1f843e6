"""`fxstudio packets`, the CVs: what a command station sends, byte by byte."""

from __future__ import annotations

from collections.abc import Sequence

from fxstudio.cli.packets.options import (
    ExplainOptions,
    LongAddressOptions,
    VerifyOptions,
    WriteOptions,
)
from fxstudio.cli.packets.shown import (
    said,
    show_bits,
    whom,
)
from fxstudio.cli.shown import console
from fxstudio.dcc.framing import packet_from_text
from fxstudio.dcc.instructions import VERIFY_BIT, VERIFY_BYTE, WRITE_BIT
from fxstudio.dcc.packets import Address, Message, decode_packet, long_address_cvs
from fxstudio.dcc.sequences import (
    ACKNOWLEDGEMENT,
    Send,
    duration_us,
    sequence,
    stream,
    write_messages,
)
from fxstudio.dcc.write_rules import notes
from fxstudio.errors import InputError

ONLY_ONE = {
    "main": "Every locomotive on this address takes the write: let no other one answer to it, and "
    "expect a twitch or a blink at each write.",
    "programming track": "Whatever stands on the programming track is written: put only this one "
    "locomotive there.",
}


def write(asked: WriteOptions) -> None:
    """Do what `WriteOptions` asks for."""
    to = whom(asked.address, asked.long, asked.programming_track)
    if len(asked.cv) != len(asked.value):
        raise InputError(
            "each CV needs its value",
            field="--value",
            given=f"{len(asked.cv)} CVs, {len(asked.value)} values",
        ).advising("write --cv 49 --value 15 for each of them")
    pairs = list(zip(asked.cv, asked.value, strict=True))
    if asked.bit is None:
        messages = write_messages(pairs, to)
    else:
        messages = [_bit_message(WRITE_BIT, pairs, asked.bit, to)]
    track = "main" if to else "programming track"
    _show_sequence(sequence(messages), messages, asked.bits)
    for note in notes(pairs, track, as_bit=asked.bit is not None):
        console.label("note", f" {note}", "yellow")
    console.caution("writing", ONLY_ONE[track])


def verify(asked: VerifyOptions) -> None:
    """Do what `VerifyOptions` asks for."""
    to = whom(asked.address, asked.long, asked.programming_track)
    if asked.bit is None:
        message = Message(VERIFY_BYTE, {"cv": asked.cv, "value": asked.value}, to)
    else:
        message = _bit_message(VERIFY_BIT, [(asked.cv, asked.value)], asked.bit, to)
    _show_sequence(sequence([message]), [message], asked.bits)
    if to is None:
        console.say(f"The decoder says yes by drawing {ACKNOWLEDGEMENT}; no answer means no.")
    else:
        console.say("On the main you learn the answer only if decoder and station can send back.")


def long_address(asked: LongAddressOptions) -> None:
    """Do what `LongAddressOptions` asks for."""
    high, low = long_address_cvs(asked.number)
    messages = [
        *write_messages([(17, high), (18, low)], None),
        Message(WRITE_BIT, {"cv": 29, "bit": 5, "bit_value": 1}),
    ]
    _show_sequence(sequence(messages), messages, asked.bits)
    console.say(
        f"CV17 = {high}, CV18 = {low}, then bit 5 of CV29 = 1 (32 added if it was 0): from then on "
        f"the locomotive answers to {asked.number}."
    )
    console.caution("writing", ONLY_ONE["programming track"])


def explain(asked: ExplainOptions) -> None:
    """Do what `ExplainOptions` asks for."""
    track = "programming track" if asked.programming_track else "main"
    heard = packet_from_text(" ".join(asked.packet), track)
    console.label(heard, f"  {decode_packet(heard, asked.programming_track)}")
    show_bits([heard], asked.bits)


def _bit_message(
    name: str, pairs: Sequence[tuple[int, int]], bit: int, to: Address | None
) -> Message:
    if len(pairs) > 1:
        raise InputError("a bit of which CV?", field="--bit", given=bit).allowing(
            "one --cv with --bit", remedy="show the packets of one CV at a time"
        )
    ((cv, value),) = pairs
    return Message(name, {"cv": cv, "bit": bit, "bit_value": value}, to)


def _show_sequence(sends: Sequence[Send], messages: Sequence[Message], bits: bool) -> None:
    """The packets in order, how often and why, and the time all take."""
    to = messages[0].address
    sent = stream(sends, spaced=to is not None)
    console.show_table(
        str(to or "programming track"),
        (("times", "right"), ("packet", "left"), ("says", "left"), ("why so often", "left")),
        [
            (
                str(send.times),
                str(send.packet),
                said(decode_packet(send.packet, to is None)),
                send.why,
            )
            for send in sends
        ],
    )
    show_bits([send.packet for send in sends], bits)
    between = ", with an idle packet (FF 00 FF) between two of them" if to else ""
    console.say(
        f"These are the fewest that the standard asks for: {len(sent)} packets{between}, "
        f"{duration_us(sent) / 1000:.0f} ms. Stations may send more."
    )
