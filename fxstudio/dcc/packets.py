"""DCC packets: from a message to bytes and from bytes to a message.

Formats are rows of `instructions.py`, bits and times are in `framing.py`, what is sent in
which order in `sequences.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from fxstudio.dcc.framing import Packet
from fxstudio.dcc.instructions import (
    BROADCAST,
    FORMATS,
    FUNCTION_FORMATS,
    IDLE,
    LONG,
    SHORT,
    SPEED_126,
    SPEED_SCALES,
    WRITE_BIT,
    WRITE_BYTE,
    Format,
    format_named,
)
from fxstudio.dcc.write_rules import check_bit_write, check_write
from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError

LARGEST_SHORT: Final = SHORT.fields[0].highest
LARGEST_LONG: Final = LONG.fields[0].highest


class Partition(NamedTuple):
    """What the first byte of a packet on the main says: `first` to `last`."""

    first: int
    last: int
    row: Format | None
    use: str


# Source: NMRA S-9.2.1 (2012), A.
PARTITIONS: Final = (
    Partition(0, 0, BROADCAST, "every locomotive"),
    Partition(1, 127, SHORT, "locomotives with a short address"),
    Partition(128, 191, None, "points and other accessories"),
    Partition(192, 231, LONG, "locomotives with a long address"),
    Partition(232, 254, None, "reserved"),
    Partition(255, 255, IDLE, "nobody: an idle packet"),
)


@dataclass(frozen=True)
class Address:
    """Whom a packet is for: `kind` is short, long, broadcast or idle."""

    kind: str
    number: int = 0

    @property
    def row(self) -> Format:
        """Its row of the table of formats."""
        return next(p.row for p in PARTITIONS if p.row is not None and p.row.name == self.kind)

    @property
    def data(self) -> bytes:
        """Its one or two bytes."""
        return self.row.encode({"address": self.number})

    def __str__(self) -> str:
        if self.row.fields:
            return f"locomotive {self.number} ({self.kind} address)"
        return next(p.use for p in PARTITIONS if p.row is self.row)


EVERYONE: Final = Address(BROADCAST.name)
NOBODY: Final = Address(IDLE.name)


def locomotive(number: int, long: bool = False) -> Address:
    """The address of a locomotive; raises InputError.

    1 to 127 are short and 128 to 10239 long. `long` makes a long address of a number below
    128, which is common practice with some command stations.
    """
    if not 1 <= number <= LARGEST_LONG:
        why = "; 0 is every locomotive at once" if number == 0 else ""
        raise InputError(
            f"is not the address of a locomotive{why}", field="address", given=number
        ).allowing(
            f"1 to {LARGEST_SHORT} (short), {LARGEST_SHORT + 1} to {LARGEST_LONG} (long)",
            remedy="give the number that you call the locomotive by",
        )
    return Address((LONG if long or number > LARGEST_SHORT else SHORT).name, number)


@dataclass(frozen=True)
class Message:
    """What a packet says.

    name : name of a row of `instructions.FORMATS`
    numbers : its fields by name
    address : whom it is for; None on the programming track, where it is for whoever stands there
    """

    name: str
    numbers: Mapping[str, int] = field(default_factory=dict)
    address: Address | None = None

    @property
    def row(self) -> Format:
        """Its row of the table of formats."""
        return format_named(self.name, self.address is None)

    @property
    def keys(self) -> tuple[str, ...]:
        """The function keys that it switches on."""
        code = self.numbers.get("functions", 0)
        return tuple(key for bit, key in enumerate(self.row.keys) if code >> bit & 1)

    def __str__(self) -> str:
        if self.address == NOBODY:
            return "idle: nothing to do for anybody"
        words = {"speed": self._speed_words(), "functions": self._function_words()}
        said = self.row.words.format_map({**self.numbers, **words})
        return f"{self.address or 'programming track'}: {said}"

    def _speed_words(self) -> str:
        scale = SPEED_SCALES.get(self.name)
        if scale is None:
            return ""
        travel = "forward" if self.numbers["forward"] else "reverse"
        code = self.numbers["speed"]
        if code < scale.at_once:
            return f"stop, {travel}"
        if code < scale.first:
            return f"stop at once, {travel}"
        return f"step {code - scale.first + 1} of {scale.steps}, {travel}"

    def _function_words(self) -> str:
        off = [key for key in self.row.keys if key not in self.keys]
        said = [f"{', '.join(by_number(self.keys))} on"] if self.keys else []
        said += [f"{', '.join(by_number(off))} off"] if off else []
        return "; ".join(said)


def by_number(keys: Iterable[str]) -> list[str]:
    """Function keys in order of their numbers."""
    return sorted(keys, key=lambda key: int(key[1:]))


def encode_packet(message: Message) -> Packet:
    """The packet of a message; raises InputError for a number out of range.

    A write that the standard forbids (CV7, CV8, an address that cannot be) is refused.
    """
    data = message.row.encode(message.numbers)
    if message.name == WRITE_BYTE:
        check_write(message.numbers["cv"], message.numbers["value"])
    elif message.name == WRITE_BIT:
        check_bit_write(*(message.numbers[name] for name in ("cv", "bit", "bit_value")))
    if message.address is None:
        return Packet.holding(data, "programming track")
    return Packet.holding(message.address.data + data)


def decode_packet(packet: Packet, programming_track: bool = False) -> Message:
    """What a packet says; raises InputError if no row of the tables fits.

    The same bytes say something else on the programming track: there 0111.... is no address.
    """
    body = packet.data[:-1]
    if programming_track:
        for row in FORMATS:
            if row.programming_track and row.fits(body):
                return Message(row.name, row.decode(body))
    part = next(part for part in PARTITIONS if part.first <= body[0] <= part.last)
    if part.row is None:
        raise _unknown(packet, f"its first byte is for {part.use}")
    head, rest = body[: part.row.size], body[part.row.size :]
    address = Address(part.row.name, part.row.decode(head).get("address", 0))
    for row in FORMATS:
        if not row.programming_track and row.fits(rest):
            return Message(row.name, row.decode(rest), address)
    raise _unknown(packet, f"it is for {address}, with an instruction that is not in the table")


def _unknown(packet: Packet, why: str) -> InputError:
    return InputError(
        f"this packet is not understood: {why}", field="packet", given=str(packet)
    ).allowing(
        "speed, functions F0 to F28, CV instructions, reset and idle",
        remedy="look it up in NMRA S-9.2.1, or in the manual of what sent it",
    )


RESET: Final = encode_packet(Message("reset", address=EVERYONE))
IDLE_PACKET: Final = encode_packet(Message("reset", address=NOBODY))


def functions(address: Address, on: Iterable[str], groups: Iterable[Format]) -> list[Message]:
    """One message a group: keys in `on` on, all other keys of the group off."""
    on = frozenset(on)
    return [
        Message(
            row.name,
            {"functions": sum(1 << bit for bit, key in enumerate(row.keys) if key in on)},
            address,
        )
        for row in groups
    ]


def groups_of(keys: Iterable[str]) -> list[Format]:
    """The rows that switch any of `keys`; raises InputError for a key that no row switches."""
    keys = list(keys)
    known = [key for row in FUNCTION_FORMATS for key in row.keys]
    for key in keys:
        if key not in known:
            raise InputError(
                "is not a function key", field="keys", given=key, choices=KEYS
            ).allowing("F0 to F28", remedy="write them like F0,F2")
    return [row for row in FUNCTION_FORMATS if set(row.keys) & set(keys)]


def speed(address: Address, step: int, forward: bool = True, name: str = SPEED_126) -> Message:
    """A speed step, 0 for stop; raises InputError. `name` is a key of `SPEED_SCALES`."""
    scale = SPEED_SCALES[name]
    if not 0 <= step <= scale.steps:
        raise InputError("is not a speed step", field="step", given=step).allowing(
            f"0 (stop) to {scale.steps}", remedy="choose a step in this range"
        )
    code = step + scale.first - 1 if step else 0
    return Message(name, {"speed": code, "forward": int(forward)}, address)


def stop_at_once(address: Address, forward: bool = True, name: str = SPEED_126) -> Message:
    """A stop without slowing down first."""
    return Message(name, {"speed": SPEED_SCALES[name].at_once, "forward": int(forward)}, address)


def long_address_cvs(number: int) -> tuple[int, int]:
    """The values of (CV17, CV18) for a long address. Source: NMRA S-9.2.2 (2012)."""
    high, low = locomotive(number, long=True).data
    return high, low
