"""What a pack may hold, and how large it may be: the rules for files that come from others."""

from __future__ import annotations

import re
from pathlib import PurePosixPath
from typing import Final

MOST_FILES: Final = 64
MOST_BYTES: Final = 256_000_000
"""Of all files together, and of the pack itself."""
MOST_BYTES_A_FILE: Final = 64_000_000
"""Room for a light map of 1600 x 1200 in three colours of 32 bits."""
DEEPEST: Final = 3
"""Names in a path: a file, in a folder, in a folder."""
LONGEST_NAME: Final = 100
"""Letters of one name in a path."""

ENDINGS: Final = frozenset(
    {".toml", ".txt", ".csv", ".gif", ".webp", ".avif", ".png", ".mp4", ".jpg", ".tif", ".tiff"}
)
"""Files to read and to look at; nothing that a computer would run."""

IN_WORDS: Final = (
    f"at most {MOST_FILES} files of {MOST_BYTES_A_FILE // 1_000_000} MB each and "
    f"{MOST_BYTES // 1_000_000} MB together"
)

_DEVICE = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that Windows takes for devices, whatever their ending. Common practice."""
_FORBIDDEN = re.compile(r'[\x00-\x1f\x7f<>:"|?*\\]')
"""What a name cannot have on one system or another. Common practice."""


def fault_of_name(name: str) -> str | None:
    """Why a file of this name is not taken out of a pack; None if it can be.

    A name is a path from the pack's top, with `/` between its parts. It must be safe, and the same
    file, on every system.
    """
    parts = name.split("/")
    if name.startswith("/") or _FORBIDDEN.search(name):
        return "has a name that is no path inside the pack"
    if any(part in ("", ".", "..") for part in parts):
        return "has a name that leads out of the pack"
    if len(parts) > DEEPEST:
        return f"lies deeper than {DEEPEST - 1} folders"
    if any(len(part) > LONGEST_NAME for part in parts):
        return f"has a name of more than {LONGEST_NAME} letters"
    if any(part != part.strip(" ") or part.endswith(".") or part.startswith(".") for part in parts):
        return "has a name that begins or ends with a point or a space"
    if any(_DEVICE.fullmatch(part) for part in parts):
        return "has the name of a device"
    if PurePosixPath(name).suffix.lower() not in ENDINGS:
        return "is of a kind that a pack does not hold"
    return None
