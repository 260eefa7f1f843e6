"""Which key switches which output: the function map of CVs 33 to 46."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from fxstudio.dcc.cv import Bits, CvAddress
from fxstudio.effect.gate import Directed

MapStyle = Literal["s-9.2.2", "none"]
Directions = frozenset[str]

DIRECTIONS: Final[dict[str, Directions]] = {
    "forward": frozenset({"forward"}),
    "reverse": frozenset({"reverse"}),
    "both": frozenset({"forward", "reverse"}),
    "none": frozenset(),
}
TRAVEL_OF: Final[dict[Directions, Directed]] = {
    DIRECTIONS["forward"]: "forward",
    DIRECTIONS["reverse"]: "reverse",
    DIRECTIONS["both"]: "both",
}

WINDOW = 8
"""Outputs that one CV of the map can switch, one a bit."""


class MapRow(NamedTuple):
    """One CV of a function map.

    A set bit lets the key switch an output: bit 0 is output `lowest_output`.
    `travel` is the direction in which the CV counts. `works_output` is the one output the
    standard names for a new decoder.
    """

    cv: int
    key: str
    travel: Directed
    lowest_output: int
    works_output: int

    def reaches(self, output: int) -> bool:
        """Whether one of the CV's bits stands for `output`."""
        return 0 <= output - self.lowest_output < WINDOW

    def bits_of(self, output: int) -> Bits:
        """The bit that stands for `output`."""
        return Bits(CvAddress(self.cv), output - self.lowest_output, 1)

    @property
    def name(self) -> str:
        """`F0 forward`, `F3`."""
        return self.key if self.travel == "both" else f"{self.key} {self.travel}"


# Source: NMRA S-9.2.2 (2012), CVs 33 to 46. F0 there is FL: FL(f) forward, FL(r) reverse.
# Note where the window shifts: at CV38 and at CV43.
FUNCTION_MAPS: Final[dict[MapStyle, tuple[MapRow, ...]]] = {
    "s-9.2.2": (
        MapRow(33, "F0", "forward", 1, 1),
        MapRow(34, "F0", "reverse", 1, 2),
        MapRow(35, "F1", "both", 1, 3),
        MapRow(36, "F2", "both", 1, 4),
        MapRow(37, "F3", "both", 1, 5),
        MapRow(38, "F4", "both", 4, 6),
        MapRow(39, "F5", "both", 4, 7),
        MapRow(40, "F6", "both", 4, 8),
        MapRow(41, "F7", "both", 4, 9),
        MapRow(42, "F8", "both", 4, 10),
        MapRow(43, "F9", "both", 7, 11),
        MapRow(44, "F10", "both", 7, 12),
        MapRow(45, "F11", "both", 7, 13),
        MapRow(46, "F12", "both", 7, 14),
    ),
    "none": (),
}


def rows_for(rows: tuple[MapRow, ...], output: int, key: str, travel: Directed) -> list[MapRow]:
    """The rows that let `key` switch `output` in `travel`; empty if the map cannot."""
    return [
        row
        for row in rows
        if row.key == key and row.reaches(output) and DIRECTIONS[row.travel] & DIRECTIONS[travel]
    ]


def keys_reaching(rows: tuple[MapRow, ...], output: int) -> tuple[str, ...]:
    """The keys that the map can give `output`, in order."""
    return tuple(dict.fromkeys(row.key for row in rows if row.reaches(output)))
