"""Values from outside the project, each file with its source on the first line."""

from __future__ import annotations

import csv
from pathlib import Path

TRUTHS = Path(__file__).parent / "truths"


def truth(name: str) -> list[dict[str, str]]:
    """Rows of a truth file; its first line says where the values are from."""
    lines = (TRUTHS / name).read_text("utf-8").splitlines()
    assert lines[0].startswith("# "), f"{name} does not say its source"
    return list(csv.DictReader(lines[1:]))
