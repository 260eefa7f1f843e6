"""Writes that a leaflet wants around others: what unlocks them, and what locks or confirms them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from fxstudio.dcc.cv import CvAddress
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

    known : what is known of what stands in CVs before the first write
    """

    def __init__(self, leaflet: Leaflet, known: Known) -> None:
        self._leaflet, self._first = leaflet, known
        self._now: dict[CvAddress, int | None] = dict(known)
        self._opened: set[CvAddress] = set()
        self._before_all = [(CvAddress(int(cv)), value) for cv, value in leaflet.before.items()]
        self._after_all = [(CvAddress(int(cv)), value) for cv, value in leaflet.after.items()]

    def before(self, cv: CvAddress) -> Iterator[PlanStep]:
        """What must be written before `cv` is; nothing that stands there already."""
        if cv in self._leaflet.cells:
            lock = self._leaflet.cells[cv].lock
            own = [write for write in lock.before if write not in self._before_all]
            yield from self._writes(self._before_all, BEFORE_ALL, again=False)
            yield from self._writes(own, BEFORE_ONE.format(cv=cv), again=False)

    def after(self, cv: CvAddress) -> Iterator[PlanStep]:
        """What must be written once `cv` is."""
        if cv in self._leaflet.cells:
            lock = self._leaflet.cells[cv].lock
            own = [write for write in lock.after if write not in self._after_all]
            yield from self._writes(own, AFTER_ONE.format(cv=cv), again=True)

    def after_all(self) -> Iterator[PlanStep]:
        """What must be written once all is; what was unlocked is as before, where that is known."""
        if not self._opened:
            return
        yield from self._writes(self._after_all, AFTER_ALL, again=True)
        closed = {cv for cv, _ in self._after_all}
        back = [(cv, self._first[cv]) for cv in self._opened - closed if cv in self._first]
        yield from self._writes(sorted(back, key=lambda row: row[0].order), AS_BEFORE, again=False)

    def _writes(self, writes: Writes, why: str, again: bool) -> Iterator[PlanStep]:
        for cv, value in writes:
            self._opened.add(cv)
            if again or self._now.get(cv) != value:
                yield PlanStep(cv, value, self._now.get(cv), why, NO_LIGHT)
            self._now[cv] = value
