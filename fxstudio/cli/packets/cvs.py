"""`fxstudio packets`, the CVs: what a command station sends, byte by byte."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from fxstudio.cli.packets.shown import (
    AddressOption,
    BitOption,
    BitsOption,
    LongOption,
    TrackOption,
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
CvOption = Annotated[list[int], typer.Option(help="Number of the CV, 1 to 1024.")]
ValueOption = Annotated[list[int], typer.Option(help="What to write there, 0 to 255.")]


def write(
    cv: CvOption,
    value: ValueOption,
    address: AddressOption = None,
    bit: BitOption = None,
    long: LongOption = False,
    programming_track: TrackOption = False,
    bits: BitsOption = False,
) -> None:
    """Show the packets that write CVs; repeat --cv and --value to write several.

    Examples:
        fxstudio packets write --cv 49 --value 15 --cv 50 --value 7 --programming-track
        fxstudio packets write --address 3 --cv 29 --bit 5 --value 1

    Try it in a new folder:
        fxstudio packets write --address 3 --cv 49 --value 15
    """
    to = whom(address, long, programming_track)
    if len(cv) != len(value):
        raise InputError(
            "each CV needs its value", field="--value", given=f"{len(cv)} CVs, {len(value)} values"
        ).advising("write --cv 49 --value 15 for each of them")
    pairs = list(zip(cv, value, strict=True))
    if bit is None:
        messages = write_messages(pairs, to)
    else:
        messages = [_bit_message(WRITE_BIT, pairs, bit, to)]
    track = "main" if to else "programming track"
    _show_sequence(sequence(messages), messages, bits)
    for note in notes(pairs, track, as_bit=bit is not None):
        console.label("note", f" {note}", "yellow")
    console.caution("writing", ONLY_ONE[track])


def verify(
    cv: Annotated[int, typer.Option(help="Number of the CV, 1 to 1024.")],
    value: Annotated[int, typer.Option(help="What you think it holds, 0 to 255.")],
    address: AddressOption = None,
    bit: BitOption = None,
    long: LongOption = False,
    programming_track: TrackOption = False,
    bits: BitsOption = False,
) -> None:
    """Show the packets that ask whether a CV holds a value; they change nothing in the decoder.

    Examples:
        fxstudio packets verify --address 3 --cv 29 --bit 5 --value 1

    Try it in a new folder:
        fxstudio packets verify --cv 8 --value 13 --programming-track
    """
    to = whom(address, long, programming_track)
    if bit is None:
        message = Message(VERIFY_BYTE, {"cv": cv, "value": value}, to)
    else:
        message = _bit_message(VERIFY_BIT, [(cv, value)], bit, to)
    _show_sequence(sequence([message]), [message], bits)
    if to is None:
        console.say(f"The decoder says yes by drawing {ACKNOWLEDGEMENT}; no answer means no.")
    else:
        console.say("On the main you learn the answer only if decoder and station can send back.")


def long_address(
    number: Annotated[int, typer.Argument(help="The long address, 1 to 10239.")],
    bits: BitsOption = False,
) -> None:
    """Show the packets that give the locomotive on the programming track a long address.

    Try it in a new folder:
        fxstudio packets long-address 1234
    """
    high, low = long_address_cvs(number)
    messages = [
        *write_messages([(17, high), (18, low)], None),
        Message(WRITE_BIT, {"cv": 29, "bit": 5, "bit_value": 1}),
    ]
    _show_sequence(sequence(messages), messages, bits)
    console.say(
        f"CV17 = {high}, CV18 = {low}, then bit 5 of CV29 = 1 (32 added if it was 0): from then on "
        f"the locomotive answers to {number}."
    )
    console.caution("writing", ONLY_ONE["programming track"])


def explain(
    packet: Annotated[
        list[str],
        typer.Argument(
            metavar="BYTES...", help="The packet in hexadecimal, or as bits as --bits shows them."
        ),
    ],
    programming_track: TrackOption = False,
    bits: BitsOption = False,
) -> None:
    """See in words what a packet says.

    Examples:
        fxstudio packets explain 7C300F43 --programming-track
        fxstudio packets explain 11111111111111 0 11111111 0 00000000 0 11111111 1

    Try it in a new folder:
        fxstudio packets explain 03 EC 30 0F D0
    """
    track = "programming track" if programming_track else "main"
    heard = packet_from_text(" ".join(packet), track)
    console.label(heard, f"  {decode_packet(heard, programming_track)}")
    show_bits([heard], bits)


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
