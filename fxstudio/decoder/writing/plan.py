"""The write plan: the fewest writes from present to wanted values, and the way back."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from fxstudio.dcc.addressing import (
    ADDRESS_CVS,
    ADDRESS_PAIR,
    CLEARED,
    SHORT,
    address_words,
    why_again,
    with_company,
    written_again,
)
from fxstudio.dcc.cv import PAGE_CVS, CvAddress, CvPage
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.compromise import check_accepted
from fxstudio.decoder.values.lists import check_values
from fxstudio.decoder.values.meaning import UNEXPLAINED, subject
from fxstudio.decoder.writing.currents import check_currents
from fxstudio.decoder.writing.extras import Extra, check_extras, check_writable
from fxstudio.decoder.writing.locks import Locks, left_open
from fxstudio.decoder.writing.look import Lamps, with_values
from fxstudio.decoder.writing.notes import other_keys, plan_notes, unexplained_in
from fxstudio.decoder.writing.order import SomePage, in_order
from fxstudio.decoder.writing.passing import Passing
from fxstudio.decoder.writing.sight import NO_CHANGE, Sight, explained
from fxstudio.decoder.writing.steps import Plan, PlanStep
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError

SELECTS_PAGE = "no light changes: it only selects a page"
ACCEPT: Final = "or accept it with --accept-dark"
RESTORES_PAGE = "back: the page selected before"
NOTED: Final = "what you read there before you wrote it"
CLEARS = f", and writing {SHORT} on the programming track clears bits of it"


def plan(
    wanted: Compiled | Mapping[CvAddress, int],
    present: Mapping[CvAddress, int] | None,
    leaflet: Leaflet,
    extra: Sequence[Extra] = (),
    accept_dark: bool = False,
) -> Plan:
    """The writes that lead from present to wanted values, and those that lead back.

    Parameters
    ----------
    wanted : a compiled effect: it is compiled again for what the decoder holds, with as few
        changes as can be; or values to be held exactly, such as those of `held_before`
    present : what the decoder holds; a CV that is missing is as delivered; CV31 and CV32 may
        be among them. None: all as delivered
    leaflet : the decoder
    extra : other CVs to write in the same sitting
    accept_dark : plan it even if a compromise of the compiled effect is grave

    The order: a page is selected only when it changes, and pages are taken in the order with
    the fewest writes. Among such orders one is taken in which no lamp is for a while brighter or
    darker than both before and after; where there is none, the step says so. The shared rate
    comes after all that, and CVs of the address at the very end (`in_order`).

    Raises InputError for a grave compromise, for lamps that draw too much at once, for values
    that are no bytes, for CVs that must not be written, and for CVs that the description does not
    have and whose present value nobody knows, as they could not be restored. Those that it has,
    without a value as delivered, are written whatever they hold, and left blank in the way back.
    """
    check_values(present or {})
    offered = {CvAddress(row.cv, row.page): row.delivered for row in leaflet.also}
    assumed = {cv: value for cv, value in offered.items() if value is not None}
    held = {**assumed, **leaflet.delivered, **(present or {})}
    like = None
    if isinstance(wanted, Compiled):
        wanted = wanted.from_values(present or {})
        if not accept_dark:
            check_accepted(wanted.compromises, ACCEPT)
        check_currents(wanted.seen, leaflet)
        like = wanted.seen
    target = _target(wanted, held, extra)
    changes = _changes(target, held, leaflet)
    read = frozenset(present or ())
    planner = _Planner(leaflet, like, {entry.cv: entry.note for entry in extra}, read)
    cv31, cv32 = (held.get(CvAddress(number)) for number in PAGE_CVS)
    first_page = (cv31, cv32)
    steps = planner.steps(held, changes, first_page)
    back = planner.back({**held, **changes}, held, changes, first_page)
    unchanged = sorted((target.keys() - changes.keys()), key=lambda cv: cv.order)
    kept = tuple((cv, held[cv]) for cv in unchanged if cv in (present or {}))
    silent = wanted.needed - wanted.by_cv.keys() if isinstance(wanted, Compiled) else frozenset()
    others = tuple(cv for cv in unchanged if cv in silent and cv not in (present or {}))
    unread = tuple(
        (cv, held[cv]) for cv in unchanged if cv not in (present or {}) and cv not in others
    )
    unexplained = tuple(unexplained_in({**held, **changes}, leaflet))
    page_lost = any(step.cv.page for step in steps) and None in first_page
    notes = (
        *plan_notes(present, held, first_page, steps, unread, unexplained, leaflet),
        *other_keys(others),
    )
    return Plan(
        steps, back, notes, kept, unread, unexplained, page_lost, present, other_keys=others
    )


def held_before(
    earlier: Mapping[CvAddress, int], present: Mapping[CvAddress, int], leaflet: Leaflet
) -> dict[CvAddress, int]:
    """What a decoder is to hold so that it is as an earlier list says: the target of a plan.

    What the earlier list leaves out is as delivered, as in every list. The index page is none
    of it: a plan selects pages as it needs them, and its restore list sets them back.
    """
    delivered = {cv: value for cv, value in leaflet.delivered.items() if cv in present}
    target = {**delivered, **earlier}
    return {cv: value for cv, value in target.items() if cv.number not in PAGE_CVS}


def to_read(
    wanted: Compiled, leaflet: Leaflet, extra: Sequence[Extra] = ()
) -> tuple[CvAddress, ...]:
    """The CVs whose present values a plan needs, in order, CV31 and CV32 first if there are pages.

    What unlocks others is among them, so that it can be set back.

    Raises InputError for other CVs that must not be written.
    """
    needed = {*wanted.needed, *wanted.changes}
    check_extras(extra, needed)
    keys = left_open(leaflet, (leaflet.cells[cv] for cv in needed))
    cvs = with_company([*needed, *keys, *(entry.cv for entry in extra)])
    pages = [CvAddress(number) for number in PAGE_CVS if any(cv.page for cv in cvs)]
    return (*pages, *sorted(cvs, key=lambda cv: cv.order))


def _target(
    wanted: Compiled | Mapping[CvAddress, int],
    held: Mapping[CvAddress, int],
    extra: Sequence[Extra],
) -> dict[CvAddress, int]:
    """What the decoder shall hold in the end, in all CVs that anybody asks for."""
    if isinstance(wanted, Compiled):
        target = {cv: wanted.held_after(cv) for cv in wanted.needed - wanted.left}
        target |= wanted.changes
    else:
        target = dict(wanted)
        for cv, value in target.items():
            if held.get(cv) != value:
                check_writable(cv, value)
    check_extras(extra, target)
    return target | {entry.cv: entry.value for entry in extra}


def _changes(
    target: Mapping[CvAddress, int], held: Mapping[CvAddress, int], leaflet: Leaflet
) -> dict[CvAddress, int]:
    """The CVs to write: those that differ, and those that the write of another CV undoes.

    Both halves of a long address go together, a write of CV1 clears bits of other CVs, and a
    decoder may set CVs back to what they are as delivered when one of its own is written.
    """
    pair = [CvAddress(number) for number in ADDRESS_PAIR]
    if not target.keys().isdisjoint(pair):
        target = {**{cv: _known(cv, held) for cv in pair}, **target}
    changes = {
        cv: value
        for cv, value in target.items()
        if (held.get(cv) if cv in leaflet.cells else _known(cv, held)) != value
    }
    if not changes.keys().isdisjoint(pair):
        changes |= {cv: target[cv] for cv in pair}
    if SHORT in changes:
        target = {**{cv: _known(cv, held, CLEARS) for cv in CLEARED}, **target}
        changes |= {cv: target[cv] for cv in written_again(target, held)}
    writing = [cv for cv in changes if cv in leaflet.cells]
    while writing:
        for cv in leaflet.cells[writing.pop()].resets:
            value = target.get(cv, held.get(cv))
            if cv not in changes and value is not None and value != leaflet.delivered.get(cv):
                changes[cv] = value
                writing.append(cv)
    return changes


def _known(cv: CvAddress, held: Mapping[CvAddress, int], why: str = "") -> int:
    if cv in held:
        return held[cv]
    raise InputError(
        f"what it holds now is not known, so it could not be restored{why}",
        field=str(cv),
        allowed="a CV of the description, or one in the list of present values",
        remedy="read it and add it to the list of present values"
        + ("; 0 if the decoder has no such CV" if why else ""),
    )


@dataclass(frozen=True)
class _Planner:
    """Puts writes in order and says what each is for."""

    leaflet: Leaflet
    like: Effect | None
    extras: Mapping[CvAddress, str]
    read: Collection[CvAddress]

    def steps(
        self,
        before: Mapping[CvAddress, int],
        changes: Mapping[CvAddress, int | None],
        page: SomePage,
        prefix: str = "",
        *,
        home: SomePage | None = None,
        locks: Locks | None = None,
    ) -> tuple[PlanStep, ...]:
        """The writes of `changes`, with the page that is selected at the beginning.

        In the end the page `home` is selected, as far as it is known, or that of the beginning,
        and then is locked what was unlocked. CVs of the address come after that, for the decoder
        might no longer be heard.
        """
        found: list[PlanStep] = []
        home, locks = home or page, locks or Locks(self.leaflet, before)
        sight = Sight(self.leaflet, before, self.like)
        passing = Passing(Lamps.of(self.leaflet, self.like), before, changes)
        ordered = in_order(changes, page, self.leaflet, passing, home)
        left, held, closed = frozenset(changes), dict(before), False
        for cv in ordered:
            if cv.number in ADDRESS_CVS and not closed:
                found += (*self._home(found, home), *locks.after_all())
                closed = True
            found += locks.before(cv)
            if cv.page:
                why = f"the page of {self._page_words(cv.page)}"
                found += _select(page, cv.page, why)
                page = cv.page
            told = sight.write(cv, changes[cv])
            if cv.number in ADDRESS_CVS:
                told = address_words(cv.number, cv == ordered[-1])
            left -= {cv}
            glaring = [
                f"{name} is brighter or darker than before and after, until all is written"
                for name in passing.glares(cv, left)
            ]
            resets = self._reset_by(cv)
            gone = [sight.write(other, value) for other, value in resets.items()]
            told = "; ".join([told, *glaring, *(words for words in gone if words != NO_CHANGE)])
            why = self._why(cv, changes[cv], before.get(cv), prefix)
            found.append(PlanStep(cv, changes[cv], held.get(cv), why, told))
            held = with_values(held, resets)
            found += locks.after(cv, changes[cv])
        if not closed:
            found += (*self._home(found, home), *locks.after_all())
        return tuple(found)

    @staticmethod
    def _home(found: Sequence[PlanStep], home: SomePage) -> Iterator[PlanStep]:
        """The writes that select the page of before again, if another one was selected."""
        pages = [step.cv.page for step in found if step.cv.page]
        if pages:
            yield from _select(pages[-1], home, RESTORES_PAGE)

    def _reset_by(self, cv: CvAddress) -> dict[CvAddress, int | None]:
        """The CVs that go back to what they are as delivered when `cv` is written."""
        resets = self.leaflet.cells[cv].resets if cv in self.leaflet.cells else ()
        return {other: self.leaflet.delivered.get(other) for other in resets}

    def back(
        self,
        after: Mapping[CvAddress, int],
        before: Mapping[CvAddress, int],
        changes: Collection[CvAddress],
        page: SomePage,
    ) -> tuple[PlanStep, ...]:
        """The writes that undo `changes`, whatever page is selected and whatever is locked."""
        undone = {cv: before.get(cv) for cv in changes}
        locks = Locks(self.leaflet, before, undoing=True)
        steps = self.steps(after, undone, (None, None), "back: ", home=page, locks=locks)
        return tuple(
            replace(step, assumed=undone.get(step.cv) is not None and step.cv not in self.read)
            for step in steps
        )

    @property
    def _names(self) -> dict[int, str]:
        return {lamp.output: name for name, lamp in self.like.lamps.items()} if self.like else {}

    def _why(self, cv: CvAddress, value: int | None, before: int | None, prefix: str) -> str:
        if cv in self.extras:
            return ("undo: " if prefix else "") + self.extras[cv]
        if cv in CLEARED and value == before:
            return prefix + why_again(cv)
        if cv.number in ADDRESS_PAIR:
            return f"{prefix}the other half of the long address"
        if value is None:
            return prefix + NOTED
        told = explained(cv, value, self.leaflet, self._names)
        if prefix and told == UNEXPLAINED and cv in self.leaflet.cells:
            mended = self.leaflet.cells[cv].mended(value)
            told += f"; write {mended} instead to have it as delivered"
        return prefix + told

    def _page_words(self, page: CvPage) -> str:
        names = self._names
        cells = [cell for cell in self.leaflet.cells.values() if cell.cv.page == page]
        parts = [part for cell in cells for part in cell.parts]
        own = {who for part in parts if len(part.who) == 1 for who in part.who}
        told = own & names.keys() or own
        words = [subject(n, names.get(n)) for n in self.leaflet.output if n in told]
        shared = dict.fromkeys(f"the {part.title}" for part in parts if len(part.who) > 1)
        return " and ".join([*([", ".join(words)] if words else []), *shared]) or "the next CV"


def _select(here: SomePage, there: SomePage, why: str) -> Iterator[PlanStep]:
    """The writes that lead from one page to another: only what differs and is known."""
    for number, held, value in zip(PAGE_CVS, here, there, strict=True):
        if value not in (None, held):
            yield PlanStep(CvAddress(number), value, held, why, SELECTS_PAGE)
