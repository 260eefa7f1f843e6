"""Every file that a command reads and writes, compared before any of them is opened.

A command that writes calls `check_files` first, with all names it was given or makes itself.
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from fxstudio.errors import InputError, WriteError
from fxstudio.export.plan_table import holds_restore_list
from fxstudio.whole_files import check_can_write

Named = tuple[str, Path | None]
"""The option or argument that names a file, and the file; None if it was not given."""


def never(_option: str, _text: str) -> bool:
    """No restore list may be replaced."""
    return False


def check_files(
    reads: Iterable[Named],
    writes: Iterable[Named],
    replace: bool,
    may_renew: Callable[[str, str], bool] = never,
) -> None:
    """Refuse what would lose a file, before anything is opened or worked out.

    Parameters
    ----------
    reads, writes : all files of the command; for a name that the command makes itself, the
        option that gives another
    replace : whether files that are there may be replaced
    may_renew : asked, with the option and the text of the file there, whether a restore list
        may be replaced

    Raises InputError if a file to write is one that is read or another that is written, and
    WriteError if a file to write is there already or is a restore list to be kept.
    """
    outputs = [(option, path) for option, path in writes if path is not None]
    inputs = [(option, path) for option, path in reads if path is not None]
    for number, (option, path) in enumerate(outputs):
        for other, taken in (*inputs, *outputs[:number]):
            if same_file(path, taken):
                raise InputError(
                    "would be written twice"
                    if option == other
                    else f"names the same file as {other}",
                    path,
                    field=option,
                    given=None if path == taken else f"{path}, and {taken} for {other}",
                    remedy="give each of them a name of its own, or make them in two calls"
                    if option == other
                    else "give each of them a name of its own",
                )
    there = [(option, path) for option, path in outputs if os.path.exists(path)]
    for _, path in there:
        if not path.is_file():
            check_can_write(path)  # a folder or a device: says so
    if there and not replace:
        _refuse(there)
    for option, path in there:
        _keep_restore_list(option, path, may_renew)


def same_file(one: Path, other: Path) -> bool:
    """Whether two names lead to one file, or will once it is written.

    Names of two files that are not there yet and differ in capitals only count as one: on many
    disks they are.
    """
    try:
        return os.path.samefile(one, other)
    except OSError:
        if os.path.exists(one) or os.path.exists(other):
            return False
        return _place(one) == _place(other)


def _place(path: Path) -> str:
    return unicodedata.normalize("NFC", os.path.realpath(path)).casefold()


def _refuse(there: Sequence[tuple[str, Path]]) -> None:
    options = " or ".join(dict.fromkeys(option for option, _ in there))
    many = len(there) > 1
    raise WriteError(
        "are there already" if many else "is there already",
        ", ".join(str(path) for _, path in there),
        remedy=f"choose another name with {options}\n"
        f"or replace {'them' if many else 'it'} with --replace",
    )


def _keep_restore_list(option: str, path: Path, may_renew: Callable[[str, str], bool]) -> None:
    try:
        text = path.read_text("utf-8", errors="replace")
    except OSError:  # one that cannot be read
        return
    if holds_restore_list(text) and not may_renew(option, text):
        raise WriteError(
            "holds a restore list made from other present values; it is never replaced", path
        ).advising(f"choose another name with {option}; keep this list, it is a way back")
