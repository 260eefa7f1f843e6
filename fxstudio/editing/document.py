"""The effect a person works on: its file, its past and its future. Knows nothing of pygame."""

from __future__ import annotations

import os
import re
from pathlib import Path
from tempfile import gettempdir

from fxstudio.documents.reading import parse, read_text
from fxstudio.editing.paths import free_path
from fxstudio.effect.files import read_effect, shipped_folder
from fxstudio.effect.model import Effect
from fxstudio.effect.writing import moved_to, to_text
from fxstudio.errors import FxError, WriteError
from fxstudio.whole_files import replacing

MOST_STEPS = 500
"""Steps that can be undone."""

NEW_EFFECT = {
    "title": "A new fire",
    "scene": "cab",
    "rate_hz": 4.0,
    "lamps": {
        "bed": {
            "output": 3,
            "key": "F1",
            "colour": {"wavelength_nm": 605.0},
            "pattern": {"kind": "steady", "level": 0.35},
        },
        "flames": {
            "output": 4,
            "key": "F1",
            "colour": {"temperature_k": 1900.0},
            "pattern": {"kind": "flicker", "style": "smooth", "lowest": 0.1, "highest": 1.0},
        },
    },
}
"""What a person begins with: a steady bed and flames above it."""


class Document:
    """One effect under edit.

    Its effect is always a usable one: an edit that is refused, and a file that breaks while
    it is watched, leave it as it was.
    """

    def __init__(self) -> None:
        self.start_new()

    def start_new(self) -> None:
        """Begin a new effect that has no file yet."""
        self._begin(parse(Effect, NEW_EFFECT), None, "")

    def open(self, path: Path) -> None:
        """Take the effect of a file; raises ReadError or InputError and then keeps the old one."""
        effect, text = _read(path)
        self._begin(effect, path, text)

    def _begin(self, effect: Effect, path: Path | None, text: str) -> None:
        self.effect = effect
        self.path = path
        self._text = text
        self._saved: Effect | None = effect
        self._past: list[Effect] = []
        self._future: list[Effect] = []
        self._gesture: str | None = None
        self._stamp = _stamp_of(path)
        self.broken: FxError | None = None
        self.outside: Effect | None = None
        self.gone = False

    @property
    def name(self) -> str:
        """Name of the file, or of the effect if it has none."""
        return self.path.name if self.path else "not saved yet"

    @property
    def unsaved(self) -> bool:
        """Whether something would be lost if it were closed now."""
        return self.effect != self._saved

    @property
    def is_shipped(self) -> bool:
        """Whether its file came with fxstudio; such files are left as they are."""
        return self.path is not None and _is_shipped(self.path)

    def edit(self, effect: Effect, gesture: str | None = None) -> None:
        """Take an edited effect. Edits of one gesture, such as a drag, are undone together."""
        if effect == self.effect:
            return
        if gesture is None or gesture != self._gesture:
            self._past = [*self._past, self.effect][-MOST_STEPS:]
        self._gesture = gesture
        self._future = []
        self.effect = effect

    def settle(self) -> None:
        """End the present gesture: the next edit is a step of its own."""
        self._gesture = None

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to do again."""
        return bool(self._future)

    def undo(self) -> None:
        """Take the last step back."""
        self._move(self._past, self._future)

    def redo(self) -> None:
        """Do the step again that was taken back."""
        self._move(self._future, self._past)

    def _move(self, source: list[Effect], target: list[Effect]) -> None:
        if source:
            target.append(self.effect)
            self.effect = source.pop()
        self._gesture = None

    def save(self, path: Path | None = None) -> Path:
        """Write the effect to `path`, or to its own file; comments in the file are kept.

        Raises WriteError if it cannot be written; the file, and the edits, are then as before.
        """
        target = path or self.path
        assert target is not None, "a new effect needs a path"
        if _is_shipped(target):
            raise WriteError("comes with fxstudio and stays as it is", target).advising(
                "choose another folder"
            )
        self.effect = moved_to(self.effect, target)
        text = to_text(self.effect, self._text)
        with replacing(target) as file:
            file.write(text.encode())
        self.path, self._text, self._saved = target, text, self.effect
        self._stamp = _stamp_of(target)
        self.broken = self.outside = None
        self.gone = False
        self._gesture = None
        return target

    def rescue(self, folder: Path) -> Path | None:
        """Write what is unsaved beside its file, under a name of its own; where, if anywhere."""
        if not self.unsaved:
            return None
        stem = self.path.stem if self.path else file_stem(self.effect.title)
        for each in (folder, Path(os.path.expanduser("~")), Path(gettempdir())):
            target = free_path(each, f"{stem}.rescued", ".toml")
            try:
                with replacing(target) as file:
                    effect = moved_to(self.effect, target)
                    file.write(to_text(effect, self._text).encode())
            except FxError:
                continue
            return target
        return None

    def look_at_file(self) -> str | None:
        """See whether another program has changed the file; what happened in words, or None.

        Without unsaved edits here the file's effect is taken at once, as a step that can be
        undone. With them it waits in `outside`. A file that cannot be used stands in `broken`.
        If the file is `gone`, all of the effect counts as unsaved: it is nowhere else.
        """
        stamp = _stamp_of(self.path)
        if self.path is None or stamp == self._stamp:
            return None
        self._stamp = stamp
        if stamp is None:
            self.gone, self.broken, self._saved = True, None, None
            return f"{self.name} is gone from its folder; saving writes it again"
        try:
            effect, text = _read(self.path)
        except FxError as error:
            self.broken = error
            return None
        self.broken = None
        if text == self._text:
            if not self.gone:
                return None
            self.gone, self._saved = False, effect
            return f"{self.name} is in its folder again"
        self.gone = False
        if self.unsaved and effect != self.effect:
            self.outside, self._outside_text = effect, text
            return None
        self._take(effect, text)
        return f"{self.name} was changed by another program and has been read again"

    def take_outside(self) -> None:
        """Take the file's effect instead of the unsaved edits; this can be undone."""
        if self.outside is not None:
            self._take(self.outside, self._outside_text)

    def keep_mine(self) -> None:
        """Keep the unsaved edits; saving will replace what the other program wrote."""
        if self.outside is not None:
            self._text, self._saved, self.outside = self._outside_text, self.outside, None

    def _take(self, effect: Effect, text: str) -> None:
        self.edit(effect)
        self._text, self._saved, self.outside = text, effect, None


def _is_shipped(path: Path) -> bool:
    return path.resolve().parent == shipped_folder().resolve()


def _read(path: Path) -> tuple[Effect, str]:
    return read_effect(path), read_text(path)


def _stamp_of(path: Path | None) -> tuple[int, int] | None:
    """Time of change and size of a file; None if there is none."""
    try:
        state = path.stat() if path else None
    except OSError:
        return None
    return (state.st_mtime_ns, state.st_size) if state else None


def file_stem(title: str) -> str:
    """A title as the beginning of a file name: `banked_for_the_night`."""
    return re.sub(r"\W+", "_", title.lower(), flags=re.ASCII).strip("_") or "effect"
