"""Writes that a leaflet wants around others: what unlocks them, and what locks or confirms them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from fxstudio.dcc.addressing import ADDRESS_CVS
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import Cell, Lock
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.writing.steps import PlanStep

BEFORE_ALL: Final = "unlocks: this must stand here before any of the decoder's own CVs is written"
AFTER_ALL: Final = "locks again, or confirms what was written"
BEFORE_ONE: Final = "this must stand here before {cv} is written"
AFTER_ONE: Final = "this must be written after {cv}"
AS_BEFORE: Final = "back: what stood here before"
NO_LIGHT: Final = "no light changes"

Known = Mapping[CvAddress, int]
Writes = Iterable[tuple[CvAddress, int]]


class Locks:
    """Puts the writes that a leaflet wants around those of its CVs.

    known : what is known of what stood in CVs before the first write of a plan
    undoing : whether this is the way back: then nobody knows what stands there now, and in the
        end all is as it was, though the leaflet locks it
    """

    def __init__(self, leaflet: Leaflet, known: Known, *, undoing: bool = False) -> None:
        self._leaflet, self._first = leaflet, dict(known)
        self._now: dict[CvAddress, int] = {} if undoing else dict(known)
        self._keys = keys_of(leaflet.cells.values())
        self._opened: set[CvAddress] = set()
        self._before_all = [(CvAddress(int(cv)), value) for cv, value in leaflet.before.items()]
        self._after_all = [(CvAddress(int(cv)), value) for cv, value in leaflet.after.items()]
        self._closed = set() if undoing else {cv for cv, _ in self._after_all}
        self._any = False

    def before(self, cv: CvAddress) -> Iterator[PlanStep]:
        """What must be written before `cv` is; nothing that stands there already."""
        if cv in self._keys or cv.number in ADDRESS_CVS:
            return
        self._any = True
        own = [write for write in self._of(cv).before if write not in self._before_all]
        yield from self._open(self._before_all, BEFORE_ALL)
        yield from self._open(own, BEFORE_ONE.format(cv=cv))

    def after(self, cv: CvAddress, value: int | None) -> Iterator[PlanStep]:
        """What must be written once `cv` is; what unlocks is to hold such a value in the end."""
        if cv in self._keys and value is not None:
            self._now[cv] = self._first[cv] = value
        own = [write for write in self._of(cv).after if write not in self._after_all]
        yield from self._writes(own, AFTER_ONE.format(cv=cv))

    def after_all(self) -> Iterator[PlanStep]:
        """What must be written once all is; what was unlocked is as before, where that is known."""
        if self._any:
            yield from self._writes(self._after_all, AFTER_ALL)
        for cv in sorted(self._opened - self._closed, key=lambda cv: cv.order):
            if cv in self._first and self._now[cv] != self._first[cv]:
                yield from self._writes([(cv, self._first[cv])], AS_BEFORE)

    def _of(self, cv: CvAddress) -> Lock:
        return self._leaflet.cells[cv].lock if cv in self._leaflet.cells else Lock()

    def _open(self, writes: Writes, why: str) -> Iterator[PlanStep]:
        for cv, value in writes:
            self._opened.add(cv)
            if self._now.get(cv) != value:
                yield from self._writes([(cv, value)], why)

    def _writes(self, writes: Writes, why: str) -> Iterator[PlanStep]:
        for cv, value in writes:
            yield PlanStep(cv, value, self._now.get(cv), why, NO_LIGHT)
            self._now[cv] = value


def keys_of(cells: Iterable[Cell]) -> frozenset[CvAddress]:
    """The CVs that unlock any of these cells."""
    return frozenset(cv for cell in cells for cv, _ in cell.lock.before)


def left_open(leaflet: Leaflet, cells: Iterable[Cell]) -> frozenset[CvAddress]:
    """The CVs that unlock any of these cells and that nothing locks again."""
    return keys_of(cells) - {CvAddress(int(cv)) for cv in leaflet.after}
