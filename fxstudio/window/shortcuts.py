"""The shortcuts of the keyboard: what they do and how the help lists them, from one table."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pygame
from pygame.event import Event

from fxstudio.window.actions import Actions
from fxstudio.window.sheets.questions import Reply
from fxstudio.window.toolkit.widget import with_ctrl


class Shortcut(NamedTuple):
    """What a key does with Ctrl: `S`, `Shift-S`, `plus`.

    also : other keys that do the same and are not listed
    """

    key: str
    what: str
    do: Callable[[Actions], object]
    also: tuple[str, ...] = ()


class Keys(NamedTuple):
    """What the page, a lane or a line of text does by itself with some keys."""

    keys: str
    what: str


LINES: tuple[Keys | tuple[Shortcut, ...], ...] = (
    Keys("Tab, Shift-Tab", "go to the next control, or to the one before"),
    Keys("Space, Enter", "press it"),
    Keys("Arrow keys", "choose, or move a slider; Page up and down move it faster"),
    Keys("Escape", "close a list or a question, or take back what is being typed"),
    Keys("Enter on a lamp's lane", "go to the brightness of that lamp"),
    (Shortcut("L", "go to the lane of the selected lamp", lambda do: do.go_to_lane()),),
    Keys("Shift with arrow keys, Ctrl-A", "select in a line of text, select all of it"),
    Keys("Ctrl-C, Ctrl-X, Ctrl-V", "copy, cut and paste in a line of text"),
    (
        Shortcut("N", "new effect", lambda do: do.new()),
        Shortcut("O", "open a file", lambda do: do.open()),
    ),
    (
        Shortcut("S", "save", lambda do: do.save()),
        Shortcut("Shift-S", "save as", lambda do: do.save_as()),
    ),
    (
        Shortcut("Z", "undo", lambda do: do.studio.undo()),
        Shortcut("Y", "redo", lambda do: do.studio.redo(), also=("Shift-Z",)),
    ),
    (Shortcut("P", "pause, and go on", lambda do: do.pause_or_go_on()),),
    (
        Shortcut("plus", "larger text", lambda do: do.text_size(1), also=("=", "keypad plus")),
        Shortcut("minus", "smaller text", lambda do: do.text_size(-1), also=("keypad minus",)),
    ),
    (Shortcut("Q", "close the window", lambda do: do.quit()),),
)
"""One line of the help each."""

_SIGNS = {
    "plus": pygame.K_PLUS,
    "minus": pygame.K_MINUS,
    "keypad plus": pygame.K_KP_PLUS,
    "keypad minus": pygame.K_KP_MINUS,
}

_BY_NAME = {
    name: shortcut
    for line in LINES
    if not isinstance(line, Keys)
    for shortcut in line
    for name in (shortcut.key, *shortcut.also)
}

_BY_KEY = {
    (_SIGNS.get(plain, ord(plain[0].lower())), plain != name): shortcut
    for name, shortcut in _BY_NAME.items()
    for plain in [name.removeprefix("Shift-")]
}
"""Shortcuts by the key and whether it has to be pressed with Shift."""


def press(actions: Actions, event: Event) -> bool:
    """Take a key pressed with Ctrl; whether it was one that does something.

    Shift makes a difference only where the table has a row for it.
    """
    if not with_ctrl(event):
        return False
    shift = bool(event.mod & pygame.KMOD_SHIFT)
    found = _BY_KEY.get((event.key, shift)) or _BY_KEY.get((event.key, False))
    if found is None:
        return False
    if not actions.page.sheets:  # a question must be answered first
        if actions.page.focused is not None:
            actions.page.focused.blur()
        found.do(actions)
    return True


def show_shortcuts(actions: Actions) -> None:
    """Show them all."""
    text = "\n".join(f"{keys}: {what}." for keys, what in map(_told, LINES))
    actions.ask("Shortcuts", text, Reply("Back", lambda: None))


def _told(line: Keys | tuple[Shortcut, ...]) -> Keys:
    if isinstance(line, Keys):
        return line
    return Keys(
        ", ".join(f"Ctrl-{each.key}" for each in line), ", ".join(each.what for each in line)
    )
