"""Show a folder to the person, in whatever the system has for that. Nothing here waits for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from fxstudio.errors import FxError

OPENERS = {"darwin": "open"}
OTHER_OPENER = "xdg-open"
"""The program that opens a folder, by platform; common practice. Windows has a call for it."""


class NoFolderViewError(FxError):
    """Nothing here shows a folder."""

    @classmethod
    def of(cls, folder: Path, why: str) -> NoFolderViewError:
        """The error for one folder."""
        return cls(f"the folder cannot be opened from here: {why}", remedy=f"go to {folder}")


class OpenedFolder:
    """A folder that something else was asked to show."""

    def __init__(self, folder: Path) -> None:
        """Raises NoFolderViewError where nothing can be asked."""
        self.folder = folder
        self._asked: subprocess.Popen[bytes] | None = None
        try:
            self._ask()
        except OSError as error:
            raise NoFolderViewError.of(folder, error.strerror or str(error)) from error

    def _ask(self) -> None:
        if sys.platform == "win32":
            os.startfile(self.folder)
            return
        program = OPENERS.get(sys.platform, OTHER_OPENER)
        found = shutil.which(program)
        if found is None:
            raise NoFolderViewError.of(self.folder, f"{program} is not installed")
        quiet = subprocess.DEVNULL
        self._asked = subprocess.Popen(
            [found, str(self.folder)],
            stdin=quiet,
            stdout=quiet,
            stderr=quiet,
            start_new_session=True,
        )

    @property
    def done(self) -> bool:
        """Whether what was asked has answered, or cannot."""
        return self._asked is None or self._asked.poll() is not None

    def check(self) -> None:
        """Raise NoFolderViewError if it has answered that it cannot show the folder."""
        if self._asked is not None and self._asked.poll():
            raise NoFolderViewError.of(self.folder, "no program for folders was found")
