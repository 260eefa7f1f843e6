"""What is sent in which order, how often, and how long it takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil
from typing import Final, NamedTuple

from fxstudio.dcc.framing import GAP_US, Packet
from fxstudio.dcc.instructions import WRITE_BIT, WRITE_BYTE
from fxstudio.dcc.packets import IDLE_PACKET, RESET, Address, Message, encode_packet
from fxstudio.dcc.write_rules import check_list


class Repeated(NamedTuple):
    """One line of a sequence: `times` times a reset, or the instruction itself."""

    what: str
    times: int
    why: str


_GET_READY = Repeated("reset", 3, "the decoder listens for a programming instruction")
_SETTLE = Repeated("reset", 6, "time for the decoder to store it")

# Least numbers of packets. Source: NMRA S-9.2.3 (2012), E, direct mode, for a write; that a
# verify has the same opening and no time to settle is from memory. On the main NMRA S-9.2.1
# (2012): two identical packets before a decoder acts on a write.
SEQUENCES: Final = {
    ("programming track", "write"): (
        _GET_READY,
        Repeated("instruction", 5, "the decoder acts on the second that it hears"),
        _SETTLE,
    ),
    ("programming track", "verify"): (
        _GET_READY,
        Repeated("instruction", 5, "the decoder says yes by a pulse of current"),
    ),
    ("main", "write"): (Repeated("instruction", 2, "the decoder acts when it has heard it twice"),),
    ("main", "verify"): (Repeated("instruction", 2, "the decoder answers if it can send back"),),
}

_WRITES = (WRITE_BYTE, WRITE_BIT)

# Source: NMRA S-9.2.3 (2012): basic acknowledgment.
ACKNOWLEDGEMENT: Final = "at least 60 mA more for 6 ms, give or take 1 ms"


class Send(NamedTuple):
    """One packet, how many times it is sent, and why."""

    packet: Packet
    times: int
    why: str


def write_messages(writes: Sequence[tuple[int, int]], address: Address | None) -> list[Message]:
    """One message for each (CV, value); on the programming track with address None.

    Raises InputError for a CV that stands twice, or CV17 and CV18 in the wrong order.
    """
    check_list(writes)
    return [Message(WRITE_BYTE, {"cv": cv, "value": value}, address) for cv, value in writes]


def sequence(messages: Iterable[Message]) -> list[Send]:
    """All that is sent for CV instructions, in order; raises InputError if one cannot be."""
    sends = []
    for message in messages:
        track = "programming track" if message.address is None else "main"
        packet = encode_packet(message)
        reset = Packet(RESET.data, packet.preamble_bits)
        job = "write" if message.name in _WRITES else "verify"
        sends += [
            Send(packet if part.what == "instruction" else reset, part.times, part.why)
            for part in SEQUENCES[track, job]
        ]
    return sends


def stream(sends: Iterable[Send], spaced: bool) -> list[Packet]:
    """The packets one by one as they go to the rails.

    spaced : for the main: between two packets for the same address go as many idle packets as
        give the time the standard wants there; one is enough. They do not undo a write, as any
        other packet for that locomotive would.
    """
    packets = [send.packet for send in sends for _ in range(send.times)]
    if not spaced:
        return packets
    out = packets[:1]
    for before, after in pairwise(packets):
        if _same_address(before, after):
            lacks_us = max(GAP_US - after.preamble_us, 0)
            out += [IDLE_PACKET] * ceil(lacks_us / IDLE_PACKET.duration_us)
        out.append(after)
    return out


def duration_us(packets: Iterable[Packet]) -> float:
    """Time that packets take one after the other, in µs."""
    return sum(packet.duration_us for packet in packets)


def _same_address(one: Packet, other: Packet) -> bool:
    size = 2 if 192 <= one.data[0] <= 231 else 1
    return one.data[0] != IDLE_PACKET.data[0] and one.data[:size] == other.data[:size]
