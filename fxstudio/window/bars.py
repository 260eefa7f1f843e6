"""The bars above and below: files, text size, notices, help and messages."""

from __future__ import annotations

from collections.abc import Callable

from fxstudio.editing.studio import Studio
from fxstudio.window.actions import Actions
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import PERCENTS, Look
from fxstudio.window.toolkit.widget import Live, Text
from fxstudio.window.views import Progress

FRAME_RATES = (15, 30, 60)
"""Frames a second to choose from."""


def toolbar(look: Look, studio: Studio, actions: Actions) -> Part:
    """Files, undo, film, and how the window shows itself."""
    document = studio.document
    free = studio.job is None
    buttons = (
        ("new", "New", actions.new, True, "Begin a new effect."),
        ("open", "Open", actions.open, True, "Open an effect file."),
        ("save", "Save", actions.save, True, "Write the effect to its file; comments in it stay."),
        ("save as", "Save as", actions.save_as, True, "Write the effect to another file."),
        ("undo", "Undo", studio.undo, document.can_undo, "Take the last change back."),
        ("redo", "Redo", studio.redo, document.can_redo, "Make the change again."),
        ("film", "Film", actions.film, free, "Film the present view as a GIF that loops."),
        ("still", "Still", actions.still, free, "Take a still picture of the present view."),
        ("shortcuts", "Shortcuts", actions.show_shortcuts, True,
         "What can be done with the keyboard alone."),
    )  # fmt: skip

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
               str(studio.text_percent), set_size, actions.open_list, "How large the text is."),
        Picker(look, "smoothness", {str(n): f"{n} frames a second" for n in FRAME_RATES},
               str(studio.fps), set_rate, actions.open_list,
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
    """What must not be overlooked: a file that is broken or gone, or that another one changed."""
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
    if document.gone:
        words = f"{document.name} is gone from its folder: save, or the effect is lost at closing."
        return [_notice(look, Text(look, words, "warning"))]
    return []


def _notice(look: Look, part: Part) -> Part:
    return Panel(Panel(part, look.gap), look.gap, "page")


def status(look: Look, studio: Studio, line: Callable[[], str]) -> Part:
    """A job under way, the message, and the help of the control one is at."""
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
    if words := studio.message.standing:
        colour = "warning" if studio.message.is_error else "text"
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
    rows.append(Live(look, "help", line, 400, "panel", "text", 700))
    return Panel(Column(rows, look.px(4)), look.gap)
