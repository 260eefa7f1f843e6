"""DCC packets on the rails: bytes, the error byte, the string of bits and how long it takes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import reduce
from operator import xor
from typing import Final, NamedTuple

from fxstudio.errors import InputError

SHORTEST, LONGEST = 3, 6
"""Bytes of a packet with its error byte. Source: NMRA S-9.2 and S-9.2.1 (2012)."""

GAP_US: Final = 5000.0
"""Least time in µs from the end of a packet to the next for the same address. Source: NMRA S-9.2
(2004), C."""


class HalfBit(NamedTuple):
    """Half the length of a bit in µs."""

    least: float
    nominal: float
    most: float


# Source: NMRA S-9.1 (edition of 2020), table 1.
HALF_BITS: Final = {
    ("1", "sent"): HalfBit(55, 58, 61),
    ("1", "received"): HalfBit(52, 58, 64),
    ("0", "sent"): HalfBit(95, 100, 9900),
    ("0", "received"): HalfBit(90, 100, 10000),
}


class Preamble(NamedTuple):
    """How many 1 bits go before a packet."""

    sent: int
    """What a command station sends at least."""
    accepted: int
    """Fewer are refused by a decoder."""


# Source: NMRA S-9.2 (2004), A for the main; NMRA S-9.2.3 (2012), E for the programming track,
# where no smaller number is named for the decoder.
PREAMBLES: Final = {"main": Preamble(14, 10), "programming track": Preamble(20, 10)}


@dataclass(frozen=True)
class Packet:
    """One packet: its bytes with the error byte last, and the preamble that goes before."""

    data: bytes
    preamble_bits: int = PREAMBLES["main"].sent

    def __post_init__(self) -> None:
        if not SHORTEST <= len(self.data) <= LONGEST:
            raise InputError(
                f"a packet of {len(self.data)} bytes cannot be",
                field="packet",
                given=self.data.hex(" ").upper(),
                allowed=f"{SHORTEST} to {LONGEST} bytes, the last of them the error byte",
                remedy="write every byte as two hexadecimal digits, such as 03 EC 30 0F D0",
            )
        if reduce(xor, self.data):
            raise InputError(
                "the error byte does not fit the other bytes", field="packet", given=str(self)
            ).allowing(
                f"{error_byte(self.data[:-1]):02X} as the last byte",
                remedy="a decoder ignores such a packet: look for a wrong digit",
            )

    @classmethod
    def holding(cls, body: bytes, track: str = "main") -> Packet:
        """The packet of these bytes: the error byte is added."""
        return cls(body + bytes([error_byte(body)]), PREAMBLES[track].sent)

    @property
    def bits(self) -> str:
        """Its bits in order, parts set apart by spaces: preamble, then each byte after its 0, 1."""
        return " ".join(["1" * self.preamble_bits, *(f"0 {byte:08b}" for byte in self.data), "1"])

    @property
    def duration_us(self) -> float:
        """Time it takes with nominal bits, in µs."""
        bits = self.bits
        return sum(2 * HALF_BITS[bit, "sent"].nominal * bits.count(bit) for bit in "01")

    @property
    def preamble_us(self) -> float:
        """Time its preamble takes with nominal bits, in µs."""
        return 2 * HALF_BITS["1", "sent"].nominal * self.preamble_bits

    def __str__(self) -> str:
        return self.data.hex(" ").upper()


def error_byte(body: bytes) -> int:
    """Exclusive or of all bytes; with it the whole packet gives 0. Source: NMRA S-9.2 (2004)."""
    return reduce(xor, body, 0)


def packet_from_text(text: str, track: str = "main") -> Packet:
    """The packet written in hexadecimal or as all its bits; raises InputError."""
    digits = "".join(text.split())
    as_bits = len(digits) > 2 * LONGEST and set(digits) <= set("01")
    return (packet_from_bits if as_bits else packet_from_hex)(text, track)


def packet_from_hex(text: str, track: str = "main") -> Packet:
    """The packet written as `03 EC 30 0F D0`; raises InputError."""
    digits = re.sub(r"[\s,:]|0[xX]", "", text)
    if not re.fullmatch(r"([0-9A-Fa-f]{2})+", digits):
        raise InputError("is not a packet", field="packet", given=text).allowing(
            "bytes of two hexadecimal digits each, 0 to 9 and A to F",
            remedy="write it like 03 EC 30 0F D0",
        )
    return Packet(bytes.fromhex(digits), PREAMBLES[track].sent)


def packet_from_bits(text: str, track: str = "main") -> Packet:
    """The packet in a string of bits as a decoder hears it; raises InputError."""
    bits = "".join(text.split())
    framed = re.fullmatch(r"(1*)((?:0[01]{8})+)1", bits)
    if not framed:
        raise InputError("is not a packet", field="bits", given=text).allowing(
            "1s, then a 0 before each byte of eight bits, and a 1 at the end",
            remedy="check that no bit is missing",
        )
    preamble, framed_bytes = framed.groups()
    if len(preamble) < PREAMBLES[track].accepted:
        raise InputError(
            f"a preamble of {len(preamble)} bits is too short for a decoder",
            field="bits",
            given=text,
            allowed=f"{PREAMBLES[track].accepted} or more",
            remedy=f"send {PREAMBLES[track].sent} bits of 1 or more first",
        )
    data = bytes(int(framed_bytes[at + 1 : at + 9], 2) for at in range(0, len(framed_bytes), 9))
    return Packet(data, len(preamble))
