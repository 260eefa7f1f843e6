"""The house as one table: its rooms, what each is for, and what stands on what.

Imports go down only, between rooms and inside them; `test_layers.py` holds the package to it.
`python tests/house.py` writes the table into DEVELOPERS.md.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

PACKAGE = Path(__file__).parents[1] / "fxstudio"
PAGE = PACKAGE.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- rooms: written by tests/house.py -->", "<!-- end of rooms -->"


class Room(NamedTuple):
    """A folder: what it is for, and its modules from the ground up.

    Modules of one floor stand side by side; `<` leads to the floor above. A module knows only
    what stands on a lower floor of its own room, or in a room on a lower floor of the house.
    """

    what: str
    floors: str


ROOMS = {}


def floors(room: str) -> dict[str, int]:
    """The floor of each module and folder of a room, by name."""
    return {
        name: level
        for level, names in enumerate(ROOMS[room].floors.split(" < "))
        for name in names.split()
    }


def modules() -> list[Path]:
    """All modules of the package, but the pages of packages that hold a docstring only."""
    return sorted(PACKAGE.rglob("*.py"))


def dotted(path: Path) -> str:
    """`fxstudio.film.take` for the file of that module."""
    return ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(
        ".__init__"
    )


def imported(path: Path) -> Iterator[str]:
    """Dotted names of all that a module imports, wherever in it; relative ones made whole."""
    parents = path.relative_to(PACKAGE.parent).with_suffix("").parts
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = parents[: len(parents) - node.level] if node.level else ()
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from (f"{stem}.{alias.name}" for alias in node.names)


def page() -> str:
    """The table as it stands in DEVELOPERS.md."""
    rows = [
        f"| `{room}/` | {told.what} | {told.floors.replace('__', chr(92) + '_' * 2)} |"
        for room, told in ROOMS.items()
    ]
    return "\n".join(
        ["| room | what it is for | what stands on what |", "| --- | --- | --- |", *rows]
    )


def written(text: str) -> str:
    """DEVELOPERS.md with the table of today in its place."""
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    return f"{before}{BEGIN}\n{page()}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
