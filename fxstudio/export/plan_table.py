"""A write plan as rows for a table, and as a text to print and tick off."""

from __future__ import annotations

import html
import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from fxstudio.cautions import CAUTIONS, for_steps
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.compromise import Compromise
from fxstudio.decoder.values.unknowns import NotKnown
from fxstudio.decoder.writing.steps import Plan, PlanStep
from fxstudio.units import NO_BREAK, unbroken

HEADINGS = (
    ("no.", "right"),
    ("CV", "left"),
    ("decimal", "right"),
    ("binary", "right"),
    ("hex", "right"),
    ("was", "right"),
    ("why", "left"),
    ("then you see", "left"),
)
"""Title and alignment of each column."""

UNKNOWN = "?"
NOTHING_TO_WRITE = "Nothing needs to be written: the decoder holds all of it already."
NOTHING_IF_AS_DELIVERED = "Nothing needs to be written if the decoder is as delivered."
NOTHING_FOR_ITS_LAMPS = (
    "Nothing needs to be written for the lamps of this effect. The decoder holds other values that "
    "the description does not explain."
)
PAGE_LOST = (
    "Nobody read what CV31 and CV32 held before, so this list does not set both back: read them "
    "before you write anything, and write what they held last of all."
)
KEPT = "Already as needed"
UNREAD = "Needed as delivered: read them too, and go on only if they hold this"
RESTORE = "Restore list: back to what it held before"
RESTORE_ASSUMED = "Restore list: back to what it held before, or as delivered"
ASSUMED = (
    "Where no present value was given, this is the value as delivered: read yours before you "
    "write anything, and write that back instead."
)
TO_NOTE = (
    "Where a blank stands, nobody knows what the decoder held: read it before you write anything, "
    "and put it in the blank."
)
BLANK = "________"
WIDTH = 78


def nothing_words(plan: Plan) -> str:
    """What to say of a plan without writes."""
    if plan.unexplained:
        return NOTHING_FOR_ITS_LAMPS
    return NOTHING_IF_AS_DELIVERED if plan.unread or plan.other_keys else NOTHING_TO_WRITE


def restore_heading(plan: Plan) -> str:
    """What the restore list leads back to."""
    return RESTORE_ASSUMED if plan.restores_assumed else RESTORE


def restore_notes(decoder: str, plan: Plan) -> list[str]:
    """What to know of the restore list and its values, on paper."""
    assumed = [f"{ASSUMED} Put it in the blank."] if plan.restores_assumed else []
    assumed += [TO_NOTE] if plan.to_note else []
    lost = [PAGE_LOST] * plan.page_lost
    return [*_history(plan), *assumed, *lost, origin(decoder, plan.present)]


def _history(plan: Plan) -> Iterator[str]:
    if plan.day:
        yield f"Made on {plan.day.isoformat()}."
    if plan.earlier:
        yield (
            "It leads back to what the decoder held after an earlier plan. The restore list of "
            f"that plan, {plan.earlier}, leads further back: keep both."
        )


def origin(decoder: str, present: Mapping[CvAddress, int] | None) -> str:
    """The sentence by which a restore list says which present values it was made from."""
    if present is None:
        return f"Made from no present values: {decoder} as delivered."
    held = sorted(present.items(), key=lambda entry: entry[0].order)
    return f"Made from these present values of {decoder}: {'; '.join(held_lines(held))}."


def holds_restore_list(text: str) -> bool:
    """Whether a file, a text or a sheet, has a restore list in it."""
    return re.search(r"^ *(<h2>)?Restore list: ", text, re.MULTILINE) is not None


def made_from(text: str, decoder: str, present: Mapping[CvAddress, int] | None) -> bool:
    """Whether the restore list in a file was made from these present values."""
    if text.lower().startswith("<!doctype html"):
        text = html.unescape(re.sub("<[^>]*>", " ", text))
    return _joined(origin(decoder, present)) in _joined(text)


def _joined(text: str) -> str:
    """Text without any space: lines may be broken anywhere, at a hyphen too."""
    return "".join(text.split())


def held_lines(values: Iterable[tuple[CvAddress, int]]) -> list[str]:
    """CVs and what they hold, in a line for those without a page and one for each page."""
    lines = []
    for page, group in groupby(values, key=lambda entry: entry[0].page):
        where = f"with CV31 = {page[0]}, CV32 = {page[1]}: " if page else ""
        lines.append(where + ", ".join(f"CV{cv.number} = {value}" for cv, value in group))
    return lines


def step_rows(steps: Iterable[PlanStep]) -> list[tuple[str, ...]]:
    """One row of text for each write, in the columns of `HEADINGS`."""
    return [
        (
            str(number),
            str(step.cv),
            BLANK if step.value is None else str(step.value),
            step.binary,
            step.hexadecimal,
            UNKNOWN if step.before is None else str(step.before),
            step.why,
            step.seen,
        )
        for number, step in enumerate(steps, start=1)
    ]


def plan_text(
    title: str,
    decoder: str,
    plan: Plan,
    compromises: Iterable[Compromise] = (),
    unknown: Iterable[NotKnown] = (),
    consequences: Iterable[str] = (),
) -> str:
    """The plan as plain text for paper: cautions in their places, a box for each write."""
    return "\n".join(_lines(title, decoder, plan, compromises, unknown, consequences)) + "\n"


def _lines(
    title: str,
    decoder: str,
    plan: Plan,
    compromises: Iterable[Compromise],
    unknown: Iterable[NotKnown],
    consequences: Iterable[str],
) -> Iterator[str]:
    yield from (title, f"on {decoder}", "")
    if not plan.steps:
        yield from (nothing_words(plan), "")
    else:
        yield from _bullets("Before you write", CAUTIONS["before writing"])
        yield from _bullets("On the main", CAUTIONS["writing on the main"])
    yield from _bullets("Take note", plan.notes)
    yield from _bullets(KEPT, held_lines(plan.kept))
    yield from _bullets(UNREAD, held_lines(plan.unread), "  [ ] ")
    if plan.steps:
        yield from step_lines("Write, in this order", plan.steps)
        yield from _bullets("Afterwards", CAUTIONS["after writing"])
    yield from _bullets("What the decoder cannot do", map(str, compromises))
    yield from _bullets("What follows from that", consequences)
    yield from _bullets("Not known: find it out and fill it in", map(to_fill_in, unknown))
    if plan.steps:
        notes = restore_notes(decoder, plan)
        yield from step_lines(restore_heading(plan), plan.restore, notes)


def restore_text(title: str, decoder: str, plan: Plan) -> str:
    """The restore list alone as plain text, to keep with the locomotive."""
    lines = [restore_heading(plan), f"{title}, on {decoder}", ""]
    if plan.steps:
        lines += _bullets("Before you write", for_steps("restoring", "before writing"))
        lines += _bullets("On the main", CAUTIONS["writing on the main"])
        notes = restore_notes(decoder, plan)
        lines += step_lines("Write, in this order", plan.restore, notes)
    else:
        lines += ["Nothing was to be written, so there is nothing to restore.", ""]
        lines += _bullets("Take note", restore_notes(decoder, plan))
    return "\n".join(lines) + "\n"


def to_fill_in(row: NotKnown) -> str:
    """`flames: how fast (drawn at 4 a second); count its changes in ten seconds: ________`."""
    return f"{row.lamp}: {row.what} ({row.shown}); {row.find}: {BLANK}"


def _bullets(heading: str, texts: Iterable[str], mark: str = "  - ") -> Iterator[str]:
    texts = list(texts)
    if texts:
        yield heading
        for text in texts:
            yield from _wrapped(mark, text)
        yield ""


def step_lines(heading: str, steps: Sequence[PlanStep], notes: Iterable[str] = ()) -> Iterator[str]:
    """A heading, notes and a box to tick for each write, no line longer than `WIDTH`."""
    yield heading
    for note in notes:
        yield from _wrapped("  - ", note)
    for step, row in zip(steps, step_rows(steps), strict=True):
        number, cv, decimal, binary, hexadecimal, before, why, seen = row
        yield ""
        told = [f"  [ ] {number:>2}.  {cv} = {decimal}", binary, hexadecimal, f"was {before}"]
        yield "   ".join(filter(None, told))
        if step.assumed:
            yield f"           you read: {BLANK}"
        yield from _wrapped("           why:   ", why)
        yield from _wrapped("           then:  ", seen)
    yield ""


def _wrapped(start: str, text: str) -> list[str]:
    lines = textwrap.wrap(
        unbroken(text),
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_long_words=False,
    )
    return [line.replace(NO_BREAK, " ") for line in lines]
