"""What a person must know of a write plan beside its steps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from fxstudio.dcc import write_rules
from fxstudio.dcc.cv import PAGE_CVS, CvAddress
from fxstudio.decoder.leaflet.evaluator import not_allowed
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.writing.locks import left_open
from fxstudio.decoder.writing.order import SomePage
from fxstudio.decoder.writing.steps import PlanStep

TRACKS: Final = ("main", "programming track")


def unexplained_in(held: Mapping[CvAddress, int], leaflet: Leaflet) -> Iterator[str]:
    """What the leaflet does not allow among the values, each with what it does allow."""
    for cv, cell in leaflet.cells.items():
        if cv in held and held[cv] not in cell.table:
            yield f"{cv}: {held[cv]} {not_allowed(leaflet, cv, held[cv]).problem}"


def plan_notes(
    present: Mapping[CvAddress, int] | None,
    held: Mapping[CvAddress, int],
    page: SomePage,
    steps: Sequence[PlanStep],
    unread: Sequence[tuple[CvAddress, int]],
    unexplained: Sequence[str],
    leaflet: Leaflet,
) -> Iterator[str]:
    """What was taken for granted, what stays as it is, and what to know before writing.

    The arguments are those of `Plan`; `held` is all that is known before, `page` what CV31 and
    CV32 hold.
    """
    if unexplained:
        yield (
            f"The description does not explain all that the decoder holds: "
            f"{'; '.join(unexplained)}. No lamp of this plan depends on it, so it stays as it is; "
            "`fxstudio read` refuses such a list."
        )
    assumed = [
        str(step.cv)
        for step in steps
        if step.cv not in (present or {}) and step.cv in leaflet.delivered
    ]
    yield from _of_silence(held, steps, leaflet)
    if present is None and (assumed or unread):
        yield (
            f"No present values were given: {leaflet.title} is taken to be as delivered. "
            "Read its CVs first if it has ever been changed."
        )
    elif assumed:
        yield f"Not among the present values, so taken as delivered: {', '.join(assumed)}."
    yield from _of_values(present or {}, steps, leaflet)
    if any(step.cv.page for step in steps):
        pages = [number for number, known in zip(PAGE_CVS, page, strict=True) if known is None]
        yield from _not_set_back(pages, "at the last page")
    keys = left_open(leaflet, leaflet.cells.values())
    open_ = {step.cv.number for step in steps if step.cv in keys} - {
        cv.number for cv in present or {}
    }
    yield from _not_set_back(sorted(open_), "unlocked")
    yield from _of_writes(steps)


def other_keys(cvs: Sequence[CvAddress]) -> Iterator[str]:
    """What is taken for granted of keys that a lamp does not ask for."""
    if cvs:
        yield (
            "Taken as delivered: that no other key lights these lamps, by "
            f"{', '.join(map(str, cvs))}. Read them too if a lamp shines with a key that is not "
            "its own."
        )


def _of_silence(
    held: Mapping[CvAddress, int], steps: Sequence[PlanStep], leaflet: Leaflet
) -> Iterator[str]:
    """What is written though nobody knows what stands there."""
    cells = [leaflet.cells[s.cv] for s in steps if s.cv in leaflet.cells and s.cv not in held]
    if not cells:
        return
    named, many = ", ".join(str(cell.cv) for cell in cells), len(cells) > 1
    told = (
        f"Not known: what {named} {'hold' if many else 'holds'}, as no value as delivered is "
        f"printed. Read {'them' if many else 'it'} before you write, and note down what you read: "
        "the restore list has a blank for it."
    )
    shared = ", ".join(str(cell.cv) for cell in cells if len(cell.parts) > 1)
    if shared:
        told += (
            f" Give what you read as present values, and the plan keeps what {shared} says of "
            "other things too. Without that it writes what is only supposed."
        )
    yield told


def _of_values(
    present: Mapping[CvAddress, int], steps: Sequence[PlanStep], leaflet: Leaflet
) -> Iterator[str]:
    """Which values are replaced that the leaflet does not allow."""
    for step in steps:
        cell, held = leaflet.cells.get(step.cv), present.get(step.cv)
        if cell and held is not None and held not in cell.table:
            wrong = not_allowed(leaflet, step.cv, held)
            yield (
                f"{step.cv} holds {held}, which {wrong.problem} ({wrong.allowed}): {wrong.remedy}. "
                f"{step.value} is written in its place, and nothing of it is kept. The restore "
                f"list writes {held} again; {cell.mended(held)} instead has it as delivered."
            )


def _not_set_back(numbers: Sequence[int], where: str) -> Iterator[str]:
    """CVs of which nobody knows what they hold, so that neither list can set them back."""
    if numbers:
        many = len(numbers) > 1
        named = " and ".join(f"CV{number}" for number in numbers)
        they, them = ("they hold", "them") if many else ("it holds", "it")
        stay = "they are" if many else "it is"
        yield (
            f"Not known: what {named} {'hold' if many else 'holds'} now, so {stay} left {where}. "
            f"To get back what {they}, read {them} first and add {them} to the list of present "
            "values."
        )


def _of_writes(steps: Sequence[PlanStep]) -> Iterator[str]:
    """What the standard has to say of the CVs, on both tracks or on one."""
    writes = [
        (step.cv.number, step.value)
        for step in steps
        if step.cv.number not in PAGE_CVS and step.value is not None
    ]
    tracks = {track: list(write_rules.notes(writes, track)) for track in TRACKS}
    for track, texts in tracks.items():
        for text in texts:
            if all(text in told for told in tracks.values()):
                if track == TRACKS[0]:
                    yield text
            else:
                yield f"On the {track}: {text}"
