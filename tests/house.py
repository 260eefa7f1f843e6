"""The house: rooms, floors, and what each room is for, as one table.

Imports go down only, between rooms and inside them; `test_layers.py` holds the package to it.
`python tests/house.py` writes the table into DEVELOPERS.md.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "fxstudio"
PAGE = PACKAGE.parent / "DEVELOPERS.md"

FLOORS = (
    "cautions colour errors units",
    "documents electrics flashes scenes whole_files",
    "effect",
    "dcc light",
    "decoder film",
    "editing export",
    "window",
    "cli",
    "__main__",
)
"""Rooms from the bottom up. Rooms of one floor do not know each other."""
