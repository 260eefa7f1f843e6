"""The values to write as a table, for terminal and text file alike."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Final

from fxstudio.decoder.values.compile import Compiled, Value
from fxstudio.decoder.values.unknowns import NotKnown, said_of_film


def _printed(delivered: int | None) -> str:
    return "?" if delivered is None else str(delivered)


COLUMNS: tuple[tuple[str, str, Callable[[Value], str]], ...] = (
    ("CV31", "right", lambda value: str(value.cv.page[0]) if value.cv.page else ""),
    ("CV32", "right", lambda value: str(value.cv.page[1]) if value.cv.page else ""),
    ("CV", "right", lambda value: str(value.cv.number)),
    ("decimal", "right", lambda value: str(value.value)),
    ("binary", "right", lambda value: value.binary),
    ("delivered", "right", lambda value: _printed(value.delivered)),
    ("meaning", "left", lambda value: value.meaning),
)
"""Title, alignment and text of each column. CV31 and CV32 select the page of a CV."""

AS_ASKED: Final = "The decoder does this as asked: no brightness differs by more than 1 L*."
AS_FAR_AS_KNOWN: Final = "The decoder does this as asked, as far as its description says."
NOT_PROVED: Final = (
    "Not proved best: there are too many values to try them all. Others may come nearer to what "
    "is asked, or need fewer writes."
)

NOT_PROVED_FEWEST: Final = "Not proved that fewer writes would not do as well."

WRITE = ("write?", "left")
"""The column before the meaning: whether a plan for a decoder as delivered writes the CV."""


def value_table(
    compiled: Compiled,
) -> tuple[list[tuple[str, str]], list[tuple[str, ...]], list[bool]]:
    """Headings (title, alignment), one row of text for each value, and which rows are written.

    The columns of CV31 and CV32 are left out where no CV is on a page.
    """
    paged = any(value.cv.page for value in compiled.values)
    columns = COLUMNS if paged else COLUMNS[2:]
    headings = [(title, side) for title, side, _ in columns]
    headings.insert(-1, WRITE)
    written = [value.cv in compiled.changes for value in compiled.values]
    rows = []
    for value, write in zip(compiled.values, written, strict=True):
        *cells, meaning = (text(value) for *_, text in columns)
        rows.append((*cells, "yes" if write else "no", meaning))
    return headings, rows, written


def shared_note(compiled: Compiled) -> str:
    """Which values have bits that are not the effect's, or "" if none has.

    A decoder that has been changed may hold other bits there than one as delivered.
    """
    shared = [str(v.cv) for v in compiled.values if v.shared and v.delivered is not None]
    if not shared:
        return ""
    return (
        f"Bits of other outputs and uses are shown as delivered in {', '.join(shared)}. If your "
        "decoder has been changed, `fxstudio plan --present FILE` leaves them as they are."
    )


def silent_note(compiled: Compiled) -> str:
    """Which values nobody knows as delivered, or "" if there is none."""
    unread = [v for v in compiled.values if v.delivered is None and v.cv not in compiled.held]
    if not unread:
        return ""
    told = (
        f"Not known as delivered: {', '.join(str(value.cv) for value in unread)}. Read and note "
        "what stands there before you write it"
    )
    shared = [str(value.cv) for value in unread if value.shared]
    if not shared:
        return f"{told}."
    return (
        f"{told}. In {', '.join(shared)} bits of other outputs and uses are only supposed: with "
        "what you read, `fxstudio plan --present FILE` leaves them as they are."
    )


def notes_of(compiled: Compiled) -> list[str]:
    """What to know of the values themselves."""
    return [*filter(None, [shared_note(compiled), silent_note(compiled), proof_note(compiled)])]


def proof_note(compiled: Compiled) -> str:
    """What is not proved of the values; "" if nothing can be better."""
    if compiled.proved:
        return ""
    return NOT_PROVED if compiled.compromises else NOT_PROVED_FEWEST


def as_asked(unknown: Collection[NotKnown]) -> str:
    """What to say of a decoder without compromises."""
    return AS_FAR_AS_KNOWN if unknown else AS_ASKED


def table_text(title: str, compiled: Compiled) -> str:
    """The table as plain text, with the compromises and what is not known below it."""
    headings, rows, _ = value_table(compiled)
    rows.insert(0, tuple(name for name, _ in headings))
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = [title, ""]
    for row in rows:
        cells = [
            cell.rjust(width) if side == "right" else cell.ljust(width)
            for cell, width, (_, side) in zip(row, widths, headings, strict=True)
        ]
        lines.append("  ".join(cells).rstrip())
    lines += [""]
    lines += notes_of(compiled)
    lines += [f"Compromise: {entry}" for entry in compiled.compromises]
    lines += compiled.consequences
    lines += said_of_film(compiled.shown)
    return "\n".join(lines) + "\n"
