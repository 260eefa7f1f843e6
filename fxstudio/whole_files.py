"""Write a file whole or not at all."""

from __future__ import annotations

import errno
import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from fxstudio.errors import WriteError

REMEDIES = {
    errno.ENOENT: "make the folder first, or choose another",
    errno.ENOTDIR: "choose a folder: a part of the path is a file",
    errno.EEXIST: "choose another name",
    errno.EISDIR: "add a file name: this is a folder",
    errno.EACCES: "choose a folder you may write in, or ask for the right to write here",
    errno.EPERM: "choose a folder you may write in, or ask for the right to write here",
    errno.EROFS: "choose a folder on a disk that can be written",
    errno.ENOSPC: "make room on the disk, or choose another",
    errno.EDQUOT: "make room on the disk, or choose another",
    errno.EFBIG: "choose another disk, or write a smaller file",
    errno.ENAMETOOLONG: "choose a shorter name",
}
OTHER_REMEDY = "choose another place to write to"


class _EnoughError(Exception):
    """The folder takes a file."""


def check_can_write(path: Path | str) -> None:
    """Raise `WriteError` where `replacing` would, before long work is done for nothing."""
    with suppress(_EnoughError), replacing(path):
        raise _EnoughError


@contextmanager
def replacing(path: Path | str) -> Iterator[BinaryIO]:
    """A new binary file that takes the place of `path` once all of it is written.

    It stands in the same folder under a passing name. If anything fails inside the `with`
    block, that file is removed and `path` is as it was before; a link is followed.

    Raises `WriteError` for any `OSError`, from opening to the last byte.
    """
    target = Path(os.path.realpath(path))
    passing = target.parent / f".{secrets.token_hex(6)}.part"
    try:
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if target.exists() and not target.is_file():  # a pipe or a device would be lost
            raise OSError(errno.EEXIST, "there is something there that is not an ordinary file")
        try:
            with open(passing, "xb") as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            if target.exists():
                passing.chmod(target.stat().st_mode & 0o777)
            os.replace(passing, target)
        except BaseException:
            passing.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise WriteError(
            f"cannot be written: {error.strerror or error}",
            file=path,
            remedy=REMEDIES.get(error.errno or 0, OTHER_REMEDY),
        ) from error


def check_new(folder: Path) -> None:
    """Raise WriteError where `new_folder` would for what is there, before long work."""
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise WriteError(
            "is there already and is not empty" if folder.is_dir() else "is a file already",
            folder,
            remedy="choose the name of a new folder",
        )


@contextmanager
def new_folder(folder: Path | str) -> Iterator[Path]:
    """A new folder under a passing name, which becomes `folder` once all in it is written.

    Raises `WriteError` if there is something in `folder` already, and for any `OSError`; then
    nothing new is left behind.
    """
    target = Path(folder)
    passing = target.parent / f".{secrets.token_hex(6)}.part"
    try:
        check_new(target)
        passing.mkdir()
        try:
            yield passing
            if target.exists():
                target.rmdir()
            os.replace(passing, target)
        except BaseException:
            shutil.rmtree(passing, ignore_errors=True)
            raise
    except OSError as error:
        raise WriteError(
            f"cannot be written: {error.strerror or error}",
            file=target,
            remedy=REMEDIES.get(error.errno or 0, OTHER_REMEDY),
        ) from error
