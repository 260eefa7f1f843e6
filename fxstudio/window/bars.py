"""The bars above and below: files, text size, notices, help and messages."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from fxstudio.editing.studio import Studio
from fxstudio.window.actions import Actions
from fxstudio.window.shortcuts import show_shortcuts
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.form import capitalised
from fxstudio.window.toolkit.frames import Either, Panel
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import PERCENTS, Theme
from fxstudio.window.toolkit.widget import Live, Text, Widget
from fxstudio.window.views import ProgressBar

LEAST_BESIDE = 560
"""Width in pixels at 100 % from which on a message has its buttons beside it."""

FRAME_RATES = (15, 30, 60)
"""Frames a second to choose from."""


def toolbar(look: Theme, studio: Studio, actions: Actions) -> Part:
    """Files, undo, film, and how the window shows itself."""
    parts = [*_buttons(look, studio, actions), *_pickers(look, studio, actions)]
    column = Column([_title(look, studio), Flow(parts, look.gap)], look.gap)
    return Panel(column, look.gap, "page")


class Tool(NamedTuple):
    """A button of the bar: its key, its words, what it does and what for."""

    key: str
    action: Callable[[], object]
    help: str
    usable: bool = True


def _buttons(look: Theme, studio: Studio, actions: Actions) -> list[Widget]:
    document, free = studio.document, studio.job is None
    tools = [
        Tool("new", actions.new, "Begin a new effect."),
        Tool("open", actions.open, "Open an effect file."),
        Tool("save", actions.save, "Write the effect to its file; comments in it stay."),
        Tool("save as", actions.save_as, "Write the effect to another file."),
        Tool("undo", studio.undo, "Take the last change back.", document.can_undo),
        Tool("redo", studio.redo, "Make the change again.", document.can_redo),
        Tool("film", actions.film, "Film what is seen, as a picture that loops or a video.", free),
        Tool("still", actions.still, "Take a still picture of the present view.", free),
        Tool(
            "shortcuts",
            lambda: show_shortcuts(actions),
            "What can be done with the keyboard alone.",
        ),
    ]
    return [
        Button(
            look, tool.key, capitalised(tool.key), tool.action, usable=tool.usable, help=tool.help
        )
        for tool in tools
    ]


def _pickers(look: Theme, studio: Studio, actions: Actions) -> list[Widget]:
    """How large the text is and how smoothly the picture moves."""

    def set_size(percent: str) -> None:
        studio.text_percent = int(percent)

    def set_rate(fps: str) -> None:
        studio.fps = int(fps)

    return [
        Picker(
            look,
            "text size",
            {str(percent): f"Text {percent} %" for percent in PERCENTS},
            str(studio.text_percent),
            set_size,
            actions.open_list,
            "How large the text is.",
        ),
        Picker(
            look,
            "smoothness",
            {str(fps): f"{fps} frames a second" for fps in FRAME_RATES},
            str(studio.fps),
            set_rate,
            actions.open_list,
            "How smoothly the picture moves; fewer frames use less of the computer.",
        ),
    ]


def _title(look: Theme, studio: Studio) -> Part:
    document = studio.document
    state = "changes not saved" if document.unsaved else "no unsaved changes"
    title = Text(look, studio.effect.title, "text", "title")
    return Flow([title, Text(look, f"{document.name}, {state}", "quiet")], look.pad)


def notices(look: Theme, studio: Studio) -> list[Part]:
    """What must not be overlooked: a file that is broken or gone, or that another one changed."""
    document = studio.document
    if document.broken is not None:
        first = "The file cannot be used as it is now; the last good effect is shown."
        return [_notice(look, f"{first}\n{document.broken.in_words()}")]
    if document.outside is not None:
        words = f"Another program changed {document.name}, and you have unsaved changes here."
        return [_notice(look, words, *_both_sides(look, studio))]
    if document.gone:
        words = f"{document.name} is no longer in its folder. Save it, or it will be lost."
        return [_notice(look, words)]
    return []


def _both_sides(look: Theme, studio: Studio) -> list[Widget]:
    """Buttons to choose between the effect in the file and the one here."""
    taken = "Your changes can be had back with Undo."
    kept = "Saving then replaces what the other program wrote."
    return [
        Button(look, "take outside", "Take the file's", studio.take_outside, help=taken),
        Button(look, "keep mine", "Keep mine", studio.keep_mine, help=kept),
    ]


def _notice(look: Theme, words: str, *buttons: Widget) -> Part:
    text = Text(look, words, "warning")
    part = Column([text, Flow(buttons, look.gap)], look.gap) if buttons else text
    return Panel(Panel(part, look.gap), look.gap, "page")


def status(look: Theme, studio: Studio, line: Callable[[], str]) -> Part:
    """A job under way, the message, and the help of the control one is at."""
    rows = [
        _job(look, studio),
        _message(look, studio),
        Live(look, "help", line, 400, "panel", "text", 700),
    ]
    return Panel(Column(rows, look.px(4)), look.gap)


def _job(look: Theme, studio: Studio) -> Part | None:
    job = studio.job
    if job is None:
        return None
    stop = Button(look, "stop job", "Stop", job.stop, help="Stop; nothing is written.")
    return Row([ProgressBar(look, job.title, lambda: job.share), stop], look.gap, [1, 0])


def _message(look: Theme, studio: Studio) -> Part | None:
    words = studio.message.standing
    if not words:
        return None
    text = Text(look, words, "warning" if studio.message.is_error else "text")
    close = Button(look, "close message", "Close", lambda: studio.say(""))
    folder = studio.message.folder
    if folder is None:
        return Row([text, close], look.gap, [1, 0])
    show = Button(
        look,
        "open folder",
        "Open the folder",
        lambda: studio.open_folder(folder),
        help="Show where it lies, outside of this window.",
    )
    beside = Row([text, show, close], look.gap, [1, 0, 0])
    below = Column([text, Flow([show, close], look.gap)], look.gap)
    return Either(beside, below, look.px(LEAST_BESIDE))
