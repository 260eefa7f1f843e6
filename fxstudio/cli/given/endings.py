"""What kinds of files each command can write, by the ending of the name."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fxstudio.errors import InputError
from fxstudio.film.choices.table import FORMAT_NAMES

FILMS: Final = tuple(FORMAT_NAMES)

ENDINGS: Final = {
    ("film", "--output"): FILMS,
    ("film", "--poster"): (".png", ".jpg"),
    ("read", "--film"): FILMS,
    ("read", "--save"): (".toml",),
    ("check", "--flash-map"): (".png",),
    ("figures", "--plot"): (".png", ".svg", ".pdf"),
    ("calm", "--output"): (".toml",),
    ("plan", "--output"): (".txt",),
    ("plan", "--restore"): (".txt",),
    ("plan", "--after"): (".toml", ".csv"),
    ("plan", "--to-read"): (".csv",),  # the other kind of list can have no blanks
    ("sheet", "--output"): (".html", ".htm"),
    ("scene show", "--output"): (".png",),
    ("pack", "--output"): (".zip",),
    ("describe new", "--output"): (".toml",),
    ("describe renew", "--output"): (".toml",),
}
"""Command and option to the endings of the files that it can write."""
WRITTEN: Final = frozenset({"-o", *(option for _, option in ENDINGS)})
"""Options that name a file to write."""
ALL_ENDINGS: Final = frozenset({".json", *(e for endings in ENDINGS.values() for e in endings)})


def check_ending(command: str, option: str, path: Path | None) -> None:
    """Raise InputError if `path` has not an ending that the command can write there."""
    endings = ENDINGS[command, option]
    if path is not None and path.suffix.lower() not in endings:
        allowed = " or ".join(endings)
        raise InputError(f"the name must end in {allowed}", field=option, given=str(path)).allowing(
            allowed, remedy=f"write it like {path.stem or 'my_file'}{endings[0]}"
        )


def check_folder(option: str, folder: Path | None) -> None:
    """Raise InputError if a folder to write to is a file, or is called like one."""
    if folder is None or folder.is_dir():
        return
    if folder.is_file() or folder.suffix.lower() in ALL_ENDINGS:
        raise InputError(
            "is the name of a file, where a folder is expected", field=option, given=str(folder)
        ).allowing(
            "the name of a folder; the files in it get their own names",
            remedy=f"write it like {folder.stem}",
        )
