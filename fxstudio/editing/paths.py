"""Paths that a person types. Knows nothing of pygame."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path


def typed_path(folder: Path, text: str, suffix: str = "") -> Path | None:
    """What was typed as a path from `folder`, with `suffix` added; None if it can be none."""
    text = text.strip()
    if not text:
        return None
    try:
        path = folder / Path(text).expanduser()
        if suffix and path.suffix.lower() != suffix:
            path = path.with_name(path.name + suffix)
    except (RuntimeError, ValueError):  # nobody's home folder, or no name to add to
        return None
    return path


def there(path: Path, how: Callable[[Path], bool] = Path.exists) -> bool:
    """Whether a path is there, as a file or a folder if asked; not if that cannot be seen."""
    try:
        return how(path)
    except (OSError, ValueError):  # no right to look, a name too long for the disk
        return False


def free_path(folder: Path, stem: str, suffix: str) -> Path:
    """A path in `folder` that is not taken: `stem.png`, `stem_2.png` ..."""
    path, number = folder / f"{stem}{suffix}", 1
    while there(path):
        number += 1
        path = folder / f"{stem}_{number}{suffix}"
    return path
