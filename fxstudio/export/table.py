"""The values to write as a table, for terminal and text file alike."""

from __future__ import annotations

from fxstudio.decoder.compile import Compiled

HEADINGS = (
    ("CV", "right"),
    ("decimal", "right"),
    ("binary", "right"),
    ("works", "right"),
    ("write it?", "left"),
    ("meaning", "left"),
)
"""Title and alignment of each column."""


def value_rows(compiled: Compiled) -> list[tuple[str, ...]]:
    """One row of text for each value, in the columns of `HEADINGS`."""
    return [
        (
            str(value.cv),
            str(value.value),
            value.binary,
            str(value.works),
            "yes" if value.differs else "as it is",
            value.meaning,
        )
        for value in compiled.values
    ]


def values_text(title: str, compiled: Compiled) -> str:
    """The table as plain text, with the compromises below it."""
    rows = [tuple(name for name, _ in HEADINGS), *value_rows(compiled)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADINGS))]
    lines = [title, ""]
    for row in rows:
        cells = [
            cell.rjust(width) if side == "right" else cell.ljust(width)
            for cell, width, (_, side) in zip(row, widths, HEADINGS, strict=True)
        ]
        lines.append("  ".join(cells).rstrip())
    lines += ["", "'works' is the value the decoder leaves the works with."]
    lines += [f"Compromise: {entry}" for entry in compiled.compromises]
    return "\n".join(lines) + "\n"
