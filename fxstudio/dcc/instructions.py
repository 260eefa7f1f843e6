"""The formats of DCC addresses and instructions as one table, and the walk that uses it.

A pattern is bits as the standards print them: 0 and 1 are fixed, letters are the bits of a
field, the highest first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV
from fxstudio.errors import InputError


class Field(NamedTuple):
    """A number inside a pattern.

    letters : its bits, the highest first; the bits of a letter in the order of the pattern
    lowest, highest : numbers a person may give
    less : what is taken off the number before it is coded
    help : what it is, for messages
    """

    name: str
    letters: str
    lowest: int
    highest: int
    help: str
    less: int = 0

    def check(self, number: int) -> None:
        """Raise InputError if the number is out of range."""
        if not self.lowest <= number <= self.highest:
            raise InputError("is out of range", field=self.name, given=number).allowing(
                f"{self.lowest} to {self.highest}", remedy=f"change it; it means: {self.help}"
            )


@dataclass(frozen=True)
class Format:
    """One row: a name, its bits, its fields and what it says in words.

    keys : function keys of the field `functions`, from bit 0 upwards
    programming_track : sent there, without an address
    """

    name: str
    pattern: str
    fields: tuple[Field, ...] = ()
    words: str = ""
    keys: tuple[str, ...] = ()
    programming_track: bool = False

    @cached_property
    def bits(self) -> str:
        """The pattern without spaces."""
        return self.pattern.replace(" ", "")

    @property
    def size(self) -> int:
        """Bytes it takes."""
        return len(self.bits) // 8

    def encode(self, numbers: Mapping[str, int]) -> bytes:
        """The bytes of these numbers; raises InputError for one out of range."""
        bits = list(self.bits)
        for field in self.fields:
            number = numbers[field.name]
            field.check(number)
            for place, bit in zip(
                self._places(field), reversed(self._low_first(field, number)), strict=True
            ):
                bits[place] = bit
        return int("".join(bits), 2).to_bytes(self.size)

    def fits(self, data: bytes) -> bool:
        """Whether `data` are bytes of this format."""
        return len(data) == self.size and all(
            want == got for want, got in zip(self.bits, _bits(data), strict=True) if want in "01"
        )

    def decode(self, data: bytes) -> dict[str, int]:
        """The numbers in bytes that fit."""
        bits = _bits(data)
        return {
            field.name: int("".join(bits[place] for place in self._places(field)), 2) + field.less
            for field in self.fields
        }

    def _places(self, field: Field) -> list[int]:
        return [at for letter in field.letters for at, bit in enumerate(self.bits) if bit == letter]

    def _low_first(self, field: Field, number: int) -> str:
        return f"{number - field.less:0{len(self._places(field))}b}"[::-1]


def _bits(data: bytes) -> str:
    return "".join(f"{byte:08b}" for byte in data)


CV = Field("cv", "v", FIRST_CV, LAST_CV, "number of the CV", less=1)
VALUE = Field("value", "d", 0, LARGEST_VALUE, "what the CV holds, one byte")
BIT = Field("bit", "b", 0, 7, "number of the bit, 0 the lowest")
BIT_VALUE = Field("bit_value", "d", 0, 1, "whether the bit is set")
FORWARD = Field("forward", "r", 0, 1, "1 forward, 0 reverse")


def _keys(*runs: tuple[int, int]) -> tuple[str, ...]:
    return tuple(f"F{number}" for first, last in runs for number in range(first, last + 1))


def _functions(pattern: str, *runs: tuple[int, int]) -> Format:
    keys = _keys(*runs)
    field = Field("functions", "f", 0, 2 ** len(keys) - 1, "one bit a key")
    return Format(f"functions {_span(keys)}", pattern, (field,), "{functions}", keys)


def _span(keys: tuple[str, ...]) -> str:
    ordered = sorted(keys, key=lambda key: int(key[1:]))
    return f"{ordered[0]} to {ordered[-1]}"


# How a long address is coded. Source: NMRA S-9.2.1 (2012), A. That numbers below 128 may be long
# too is common practice.
SHORT = Format("short", "0aaaaaaa", (Field("address", "a", 1, 127, "the locomotive's number"),))
LONG = Format(
    "long", "11aaaaaa aaaaaaaa", (Field("address", "a", 1, 10239, "the locomotive's number"),)
)
BROADCAST = Format("broadcast", "00000000")
IDLE = Format("idle", "11111111")

WRITE_BYTE, VERIFY_BYTE = "write byte", "verify byte"
WRITE_BIT, VERIFY_BIT = "write bit", "verify bit"
SPEED_126, SPEED_28 = "speed in 126 steps", "speed in 28 steps"

CV_FORMS: Final = (
    (VERIFY_BYTE, "01vv vvvvvvvv dddddddd", (CV, VALUE), "ask whether CV{cv} holds {value}"),
    (WRITE_BYTE, "11vv vvvvvvvv dddddddd", (CV, VALUE), "write {value} to CV{cv}"),
    (
        VERIFY_BIT,
        "10vv vvvvvvvv 1110dbbb",
        (CV, BIT, BIT_VALUE),
        "ask whether bit {bit} of CV{cv} is {bit_value}",
    ),
    (
        WRITE_BIT,
        "10vv vvvvvvvv 1111dbbb",
        (CV, BIT, BIT_VALUE),
        "make bit {bit} of CV{cv} {bit_value}, the others stay",
    ),
)
"""What follows the opening bits of a CV instruction, the same on both tracks."""

# Source: NMRA S-9.2.1 (2012), C; the 28 steps and the reset NMRA S-9.2 (2004), B; the rows of
# the programming track NMRA S-9.2.3 (2012), E. The place of the state bit in the row of binary
# states is from memory.
FORMATS: Final = (
    Format("reset", "00000000", words="forget speed and functions, as at power-on"),
    Format(
        SPEED_28,
        "01rcssss",
        (FORWARD, Field("speed", "sc", 0, 31, "0 stop, 2 stop at once, 4 to 31 steps 1 to 28")),
        "{speed}",
    ),
    Format(
        SPEED_126,
        "00111111 rsssssss",
        (FORWARD, Field("speed", "s", 0, 127, "0 stop, 1 stop at once, 2 to 127 steps 1 to 126")),
        "{speed}",
    ),
    _functions("100fffff", (1, 4), (0, 0)),
    _functions("1011ffff", (5, 8)),
    _functions("1010ffff", (9, 12)),
    _functions("11011110 ffffffff", (13, 20)),
    _functions("11011111 ffffffff", (21, 28)),
    Format(
        "binary state",
        "11011101 dnnnnnnn",
        (Field("state", "d", 0, 1, "1 on, 0 off"), Field("number", "n", 0, 127, "0 means all")),
        "binary state {number} to {state}; number 0 means all",
    ),
    Format(
        "acceleration trim", "11110010 dddddddd", (VALUE,), "write {value} to CV23 (short form)"
    ),
    Format("braking trim", "11110011 dddddddd", (VALUE,), "write {value} to CV24 (short form)"),
    *(Format(name, "1110" + bits, fields, words) for name, bits, fields, words in CV_FORMS),
    Format(
        "page preset",
        "01111101 00000001",
        words="set the page register to 1",
        programming_track=True,
    ),
    *(
        Format(name, "0111" + bits, fields, words, programming_track=True)
        for name, bits, fields, words in CV_FORMS
    ),
)


def format_named(name: str, programming_track: bool = False) -> Format:
    """The row of an instruction by its name and its track."""
    return next(
        row for row in FORMATS if row.name == name and row.programming_track == programming_track
    )


FUNCTION_FORMATS: Final = tuple(row for row in FORMATS if row.keys)
"""The rows that switch function keys."""


class SpeedScale(NamedTuple):
    """How speed steps are coded: 0 stop, `at_once` stop at once, `first` is step 1."""

    steps: int
    at_once: int
    first: int


# Source: NMRA S-9.2 (2004), B for 28 steps; NMRA S-9.2.1 (2012), C for 126.
SPEED_SCALES: Final = {SPEED_28: SpeedScale(28, 2, 4), SPEED_126: SpeedScale(126, 1, 2)}
