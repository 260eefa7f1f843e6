"""The bars above and below: files, text size, notices, help and messages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fxstudio.window.buttons import Button
from fxstudio.window.layout import Column, Flow, Panel, Part, Row
from fxstudio.window.lists import Picker
from fxstudio.window.studio import Studio
from fxstudio.window.theme import PERCENTS, Look
from fxstudio.window.views import Progress
from fxstudio.window.widget import Live, Text

if TYPE_CHECKING:
    from fxstudio.window.app import App

FRAME_RATES = (15, 30, 60)
"""Frames a second to choose from."""


def toolbar(look: Look, app: App) -> Part:
    """Files, undo, film, and how the window shows itself."""
    studio, document = app.studio, app.studio.document
    free = studio.job is None
    buttons = (
        ("new", "New", app.new, True, "Begin a new effect."),
        ("open", "Open", app.open, True, "Open an effect file."),
        ("save", "Save", app.save, True, "Write the effect to its file; comments in it stay."),
        ("save as", "Save as", app.save_as, True, "Write the effect to another file."),
        ("undo", "Undo", studio.undo, document.can_undo, "Take the last change back."),
        ("redo", "Redo", studio.redo, document.can_redo, "Make the change again."),
        ("film", "Film", app.film, free, "Film the present view as a GIF that loops."),
        ("still", "Still", app.still, free, "Take a still picture of the present view."),
        ("keys", "Keys", app.show_keys, True, "Which keys of the keyboard do what."),
    )

    def set_size(percent: str) -> None:
        studio.text_percent = int(percent)

    def set_rate(fps: str) -> None:
        studio.fps = int(fps)
        studio.revision += 1

    parts: list[Part] = [
        Button(look, key, text, action, usable=usable, help=help_text)
        for key, text, action, usable, help_text in buttons
    ]
    parts += [
        Picker(look, "text size", {str(p): f"Text {p} %" for p in PERCENTS},
               str(studio.text_percent), set_size, app.open_list, "How large the text is."),
        Picker(look, "smoothness", {str(n): f"{n} frames a second" for n in FRAME_RATES},
               str(studio.fps), set_rate, app.open_list,
               "How smoothly the picture moves; fewer frames use less of the computer."),
    ]  # fmt: skip
    state = "changes not saved" if document.unsaved else "no unsaved changes"
    title = Flow(
        [
            Text(look, studio.effect.title, "text", "title"),
            Text(look, f"{document.name}, {state}", "quiet"),
        ],
        look.pad,
    )
    return Panel(Column([title, Flow(parts, look.gap)], look.gap), look.gap, "page")


def notices(look: Look, studio: Studio) -> list[Part]:
    """What must not be overlooked: a broken file, or one that another program changed."""
    document = studio.document
    if document.broken is not None:
        first = "The file cannot be used as it is now; the last good effect is shown."
        return [_notice(look, Text(look, f"{first}\n{document.broken}", "warning"))]
    if document.outside is not None:
        words = Text(
            look,
            f"Another program changed {document.name}, and you have unsaved changes here.",
            "warning",
        )
        buttons = [
            Button(look, "take outside", "Take the file's", studio.take_outside,
                   help="Your changes can be had back with Undo."),
            Button(look, "keep mine", "Keep mine", studio.keep_mine,
                   help="Saving then replaces what the other program wrote."),
        ]  # fmt: skip
        return [_notice(look, Column([words, Flow(buttons, look.gap)], look.gap))]
    return []


def _notice(look: Look, part: Part) -> Part:
    return Panel(Panel(part, look.gap), look.gap, "page")


def status(look: Look, app: App) -> Part:
    """A job under way, the message, and the help of the control one is at."""
    studio = app.studio

    rows: list[Part] = []
    if studio.job is not None:
        job = studio.job
        rows.append(
            Row(
                [
                    Progress(look, job.title, lambda: job.share),
                    Button(look, "stop job", "Stop", job.stop, help="Stop; nothing is written."),
                ],
                look.gap,
                [1, 0],
            )
        )
    if studio.message and studio.message_stays:
        colour = "warning" if studio.message_is_error else "text"
        words = f"Error: {studio.message}" if studio.message_is_error else studio.message
        rows.append(
            Row(
                [
                    Text(look, words, colour),
                    Button(look, "close message", "Close", lambda: studio.say("")),
                ],
                look.gap,
                [1, 0],
            )
        )
    rows.append(Live(look, "help", lambda: app.status_line, 400, "panel", "text", 700))
    return Panel(Column(rows, look.px(4)), look.gap)
