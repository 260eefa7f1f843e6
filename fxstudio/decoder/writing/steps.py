"""What a write plan is: its steps, the way back, and what a person must know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fxstudio.dcc.cv import CvAddress


@dataclass(frozen=True)
class PlanStep:
    """One write.

    cv : what is written; its page is already selected when it is this step's turn
    value : 0..255; None in a restore list, where nobody knows what stood there: to be noted before
    before : what it holds before, whatever other writes do to it; None if that is not known
    why : what the value says, or what the write is for
    seen : what changes at the locomotive once it is written
    assumed : in a restore list: nobody has read the value, it is as delivered
    """

    cv: CvAddress
    value: int | None
    before: int | None
    why: str
    seen: str
    assumed: bool = False

    @property
    def binary(self) -> str:
        """The value's bits, bit 7 first: `00100001`; empty if it is not known."""
        return "" if self.value is None else f"{self.value:08b}"

    @property
    def hexadecimal(self) -> str:
        """The value in base 16: `0x21`; empty if it is not known."""
        return "" if self.value is None else f"0x{self.value:02X}"


@dataclass(frozen=True)
class Plan:
    """What to write, in order, how to go back, and what a person must know.

    steps : from the present values to the wanted ones
    restore : from there to the present values; sets the page itself, so it serves at any time
    notes : what was taken for granted
    kept : CVs that need no write, as the present values say so, with what they hold
    unread : CVs that need no write if they are as delivered, with what they then hold
    other_keys : CVs that are only taken to let no other key light the lamps
    unexplained : what the decoder holds in the end and the description has no meaning for
    page_lost : whether the steps select a page and nobody knows which one was selected before
    present : the values it starts from, as they were given; None: as delivered
    day : when it was made, if that is to be said
    earlier : the restore list that leads further back, `back.txt of 2026-01-31`, if one is known
    """

    steps: tuple[PlanStep, ...]
    restore: tuple[PlanStep, ...]
    notes: tuple[str, ...] = ()
    kept: tuple[tuple[CvAddress, int], ...] = ()
    unread: tuple[tuple[CvAddress, int], ...] = ()
    unexplained: tuple[str, ...] = ()
    page_lost: bool = False
    present: Mapping[CvAddress, int] | None = None
    day: date | None = None
    earlier: str = ""
    other_keys: tuple[CvAddress, ...] = ()

    @property
    def restores_assumed(self) -> bool:
        """Whether the restore list has values that nobody has read."""
        return any(step.assumed for step in self.restore)

    @property
    def to_note(self) -> tuple[CvAddress, ...]:
        """The CVs of which nobody knows what they hold: to be read and noted before the writes."""
        return tuple(dict.fromkeys(step.cv for step in self.restore if step.value is None))
