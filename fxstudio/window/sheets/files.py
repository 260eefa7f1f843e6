"""Choosing a file to open, or a name to save under."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from pygame import Rect

from fxstudio.editing.paths import there, typed_path
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.lists import List
from fxstudio.window.toolkit.form import heading
from fxstudio.window.toolkit.frames import Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Text

WIDEST = 640

UP = ".."


class FileSheet:
    """A folder's files and a line for the path.

    take : called with the path; why it could not be used, or nothing, and the sheet closes
    then : called once it has closed
    shipped : files that came with fxstudio by name, offered first; empty where one saves
    saving : whether the file will be written
    """

    anchor: Rect | None = None

    def __init__(
        self, title: str, button: str, folder: Path, name: str, suffix: str,
        take: Callable[[Path], str], close: Callable[[], object],
        rebuild: Callable[[], object], *, shipped: Mapping[str, Path] | None = None,
        saving: bool = False, note: str = "", then: Callable[[], object] = lambda: None,
    ) -> None:  # fmt: skip
        self.title, self.button, self.suffix = title, button, suffix
        self.folder, self.name = folder, name
        self.take, self.close, self.rebuild, self.then = take, close, rebuild, then
        self.shipped, self.saving, self.note = dict(shipped or {}), saving, note
        self.problem = ""
        self._told = False

    # What is in the list

    def rows(self) -> dict[str, str]:
        """Paths and how each is called."""
        rows = {str(path): f"{name}  (example)" for name, path in self.shipped.items()}
        rows[UP] = "..  (the folder above)"
        try:
            entries = sorted(self.folder.iterdir(), key=lambda path: path.name.lower())
        except OSError as error:
            self.problem = f"The folder cannot be read: {error.strerror}."
            return rows
        seen = [path for path in entries if not path.name.startswith(".")]
        rows |= {str(path): f"{path.name}/" for path in seen if there(path, Path.is_dir)}
        rows |= {str(path): path.name for path in seen if path.suffix == self.suffix}
        return rows

    @property
    def path(self) -> Path | None:
        """The path typed or chosen; None if there is no name yet, or none that a file can have."""
        return typed_path(self.folder, self.name, self.suffix if self.saving else "")

    @property
    def replaces(self) -> bool:
        """Whether a file that is there would be replaced."""
        return self.saving and self.path is not None and there(self.path, Path.is_file)

    # The sheet

    def build(self, look: Look) -> Part:
        """Folder, list, name, buttons."""
        replaces = self._told = self.replaces
        rows = self.rows()
        words = self.problem or (
            f"{self.path.name} is there already and will be replaced." if replaces else self.note
        )
        column = Column(
            [
                heading(look, self.title),
                Text(look, str(self.folder), "quiet", widest=WIDEST),
                List(look, "files", rows, self._marked(rows), self._choose, most=9,
                     mark=self._mark, at_once=False),
                Row(
                    [
                        Text(look, "Name", "quiet"),
                        Entry(look, "file name", self.name, self._typed, typed=self._typed,
                              longest=500, help="Type a name, or choose a file above.",
                              done=self.accept),
                    ],
                    look.gap, [0, 1],
                ),
                Text(look, words, "warning" if words != self.note else "text", widest=WIDEST)
                if words else None,
                Flow(
                    [
                        Button(look, "file take", "Replace it" if replaces else self.button,
                               self.accept, usable=self.path is not None, chosen=True),
                        Button(look, "file cancel", "Back", self.cancel),
                    ],
                    look.gap,
                ),
            ],
            look.gap,
        )  # fmt: skip
        whole = Scroll("file sheet", Panel(column, look.pad, "page"), look.px(10))
        return Sized(whole, look.px(WIDEST))

    def _marked(self, rows: Mapping[str, str]) -> str:
        return str(self.path) if str(self.path) in rows else next(iter(rows), UP)

    def _mark(self, row: str) -> None:
        if row != UP and not there(Path(row), Path.is_dir):
            self.name = row if row in map(str, self.shipped.values()) else Path(row).name
            self.problem = ""
            self.rebuild()

    def _choose(self, row: str) -> None:
        target = self.folder.parent if row == UP else Path(row)
        if there(target, Path.is_dir):
            self.folder, self.problem = target, ""
            self.rebuild()
        else:
            self._mark(row)
            if not self.replaces:  # only the button that says so replaces a file
                self.accept()

    def _typed(self, text: str) -> None:
        self.name, self.problem = text, ""
        self.rebuild()

    def accept(self) -> None:
        """Use the path, or say why it cannot be used."""
        path = self.path
        if path is None:
            return
        if there(path, Path.is_dir):
            self.folder, self.name = path, ""
            self.rebuild()
        elif self.replaces and not self._told:  # it came to be there meanwhile
            self.rebuild()
        elif problem := self.take(path):
            self.problem = problem
            self.rebuild()
        else:
            self.close()
            self.then()

    def cancel(self) -> None:
        """Choose nothing."""
        self.close()
