"""Choosing a file to open, or a name to save under."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from pygame import Rect

from fxstudio.editing.paths import there, typed_path
from fxstudio.errors import FxError
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.lists import List
from fxstudio.window.toolkit.form import heading
from fxstudio.window.toolkit.frames import Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

WIDEST = 640

UP = ".."

SUFFIX = ".toml"


@dataclass(frozen=True)
class Wanted:
    """What a file is wanted for.

    take : called with the path; raises FxError if it cannot be used
    name : the name to begin with
    saving : whether the file will be written
    then : called once it is taken and the sheet has closed
    shipped : files that came with fxstudio by name, offered first
    """

    title: str
    button: str
    take: Callable[[Path], object]
    name: str = ""
    saving: bool = False
    note: str = ""
    then: Callable[[], object] = lambda: None
    shipped: Mapping[str, Path] = field(default_factory=dict)


class FileSheet:
    """A folder's files and a line for the path."""

    anchor: Rect | None = None

    def __init__(
        self,
        wanted: Wanted,
        folder: Path,
        close: Callable[[], object],
        rebuild: Callable[[], object],
    ) -> None:
        self.wanted, self.folder, self.name = wanted, folder, wanted.name
        self.close, self.rebuild = close, rebuild
        self.problem = ""
        self._told = False

    # What is in the list

    def rows(self) -> dict[str, str]:
        """Paths and how each is called."""
        rows = {str(path): f"{name}  (example)" for name, path in self.wanted.shipped.items()}
        rows[UP] = "..  (the folder above)"
        try:
            entries = sorted(self.folder.iterdir(), key=lambda path: path.name.lower())
        except OSError as error:
            self.problem = f"The folder cannot be read: {error.strerror}."
            return rows
        seen = [path for path in entries if not path.name.startswith(".")]
        rows |= {str(path): f"{path.name}/" for path in seen if there(path, Path.is_dir)}
        rows |= {str(path): path.name for path in seen if path.suffix == SUFFIX}
        return rows

    @property
    def path(self) -> Path | None:
        """The path typed or chosen; None if there is no name yet, or none that a file can have."""
        return typed_path(self.folder, self.name, SUFFIX if self.wanted.saving else "")

    @property
    def replaces(self) -> bool:
        """Whether a file that is there would be replaced."""
        return self.wanted.saving and self.path is not None and there(self.path, Path.is_file)

    # The sheet

    def build(self, look: Theme) -> Part:
        """Folder, list, name, buttons."""
        self._told = self.replaces
        rows: list[Part | None] = [
            heading(look, self.wanted.title),
            Text(look, str(self.folder), "quiet", widest=WIDEST),
            self._list(look),
            Row([Text(look, "Name", "quiet"), self._entry(look)], look.gap, [0, 1]),
            self._words(look),
            self._buttons(look),
        ]
        whole = Panel(Column(rows, look.gap), look.pad, "page")
        return Sized(Scroll("file sheet", whole, look.px(10)), look.px(WIDEST))

    def _list(self, look: Theme) -> Widget:
        rows = self.rows()
        return List(
            look,
            "files",
            rows,
            self._marked(rows),
            self._choose,
            most=9,
            mark=self._mark,
            at_once=False,
        )

    def _entry(self, look: Theme) -> Widget:
        return Entry(
            look,
            "file name",
            self.name,
            self._typed,
            typed=self._typed,
            longest=500,
            help="Type a name, or choose a file above.",
            done=self.accept,
        )

    def _words(self, look: Theme) -> Part | None:
        """What is wrong, what will be replaced, or the note on what the file is wanted for."""
        path, words, colour = self.path, self.wanted.note, "text"
        if self.problem or (self._told and path is not None):
            colour = "warning"
            there_already = f"{path.name} is there already and will be replaced." if path else ""
            words = self.problem or there_already
        return Text(look, words, colour, widest=WIDEST) if words else None

    def _buttons(self, look: Theme) -> Part:
        text = "Replace it" if self._told else self.wanted.button
        usable = self.path is not None
        take = Button(look, "file take", text, self.accept, usable=usable, chosen=True)
        return Flow([take, Button(look, "file cancel", "Back", self.cancel)], look.gap)

    def _marked(self, rows: Mapping[str, str]) -> str:
        return str(self.path) if str(self.path) in rows else next(iter(rows), UP)

    def _mark(self, row: str) -> None:
        if row != UP and not there(Path(row), Path.is_dir):
            self.name = row if row in map(str, self.wanted.shipped.values()) else Path(row).name
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
        else:
            self._take(path)

    def _take(self, path: Path) -> None:
        try:
            self.wanted.take(path)
        except FxError as error:
            self.problem = error.in_words()
            self.rebuild()
        else:
            self.close()
            self.wanted.then()

    def cancel(self) -> None:
        """Choose nothing."""
        self.close()
