"""Files that a command writes: whole, or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path

from fxstudio.errors import WriteError
from fxstudio.whole_files import replacing


def make_folder(folder: Path) -> None:
    """Make a folder if it is not there; raises WriteError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(
            f"cannot be made ({error.strerror})", folder, remedy="choose another folder"
        ) from error


def write_bytes(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; raises WriteError."""
    with replacing(path) as file:
        file.write(data)


def write_text(path: Path, text: str) -> None:
    """Write a text file whole or not at all; raises WriteError."""
    write_bytes(path, text.encode())


def write_together(texts: Mapping[Path, str]) -> None:
    """Write all of these files or, if one of them cannot be written, none; raises WriteError."""
    with ExitStack() as files:
        for path, text in texts.items():
            file = files.enter_context(replacing(path))
            file.write(text.encode())
            file.flush()  # a full disk is told here, before any file is replaced
