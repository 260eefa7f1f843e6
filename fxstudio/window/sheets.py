"""Questions and lists that lie on top of the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pygame import Rect

from fxstudio.cautions import for_steps
from fxstudio.flashes.verdict import MOST_FLASHES, Verdict
from fxstudio.window.toolkit.buttons import Button
from fxstudio.window.toolkit.form import capitalised, heading
from fxstudio.window.toolkit.frames import Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow, Part
from fxstudio.window.toolkit.lists import List, Picker
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Action, Text

WIDEST = 560
"""Width of a question in pixels at 100 %."""

SHORTCUTS = (
    ("Tab, Shift-Tab", "go to the next control, or to the one before"),
    ("Space, Enter", "press it"),
    ("Arrow keys", "choose, or move a slider; Page up and down move it faster"),
    ("Escape", "close a list or a question, or take back what is being typed"),
    ("Enter on a lamp's lane", "go to the brightness of that lamp"),
    ("Ctrl-L", "go to the lane of the selected lamp"),
    ("Shift with arrow keys, Ctrl-A", "select in a line of text, select all of it"),
    ("Ctrl-C, Ctrl-X, Ctrl-V", "copy, cut and paste in a line of text"),
    ("Ctrl-N, Ctrl-O", "new effect, open a file"),
    ("Ctrl-S, Ctrl-Shift-S", "save, save as"),
    ("Ctrl-Z, Ctrl-Y", "undo, redo"),
    ("Ctrl-P", "pause, and go on"),
    ("Ctrl-plus, Ctrl-minus", "larger text, smaller text"),
    ("Ctrl-Q", "close the window"),
)
"""Shortcuts of the keyboard and what they do."""


@dataclass
class Answer:
    """One answer to a question."""

    text: str
    action: Action
    chosen: bool = False


class Question:
    """Some text and its answers. The first answer has the focus.

    close : takes the question away; called before the action of an answer
    escape : number of the answer that Escape means
    """

    anchor: Rect | None = None

    def __init__(
        self,
        title: str,
        text: str,
        answers: Sequence[Answer],
        close: Callable[[], object],
        escape: int = -1,
    ) -> None:
        self.title, self.text, self.answers, self.close = title, text, answers, close
        self.escape = escape

    def build(self, look: Look) -> Part:
        """Title, text and buttons."""
        width = look.px(WIDEST)
        buttons = [
            Button(
                look, f"answer {number}", answer.text,
                lambda answer=answer: self.give(answer), chosen=answer.chosen,
            )
            for number, answer in enumerate(self.answers)
        ]  # fmt: skip
        column = Column(
            [
                heading(look, self.title),
                *(Text(look, text, widest=WIDEST) for text in self.text.split("\n")),
                Flow(buttons, look.gap),
            ],
            look.pad,
        )
        return Sized(Scroll("question", Panel(column, look.pad, "page"), look.px(10)), width)

    def give(self, answer: Answer) -> None:
        """Take an answer."""
        self.close()
        answer.action()

    def cancel(self) -> None:
        """As the answer that Escape means."""
        self.give(self.answers[self.escape])


class Options:
    """The list of a picker, below it."""

    def __init__(self, picker: Picker, close: Callable[[], object]) -> None:
        self.picker, self.close = picker, close
        self.anchor: Rect | None = Rect(picker.rect)

    def build(self, look: Look) -> Part:
        """The list."""
        picker = self.picker
        return List(
            look, "options", picker.options, picker.chosen, self._choose, patches=picker.patches
        )

    def _choose(self, name: str) -> None:
        self.close()
        self.picker.choose(name)

    def cancel(self) -> None:
        """Leave it as it was."""
        self.close()


def flash_words(verdict: Verdict) -> str:
    """What a person should know of a film that flashes too much, one sentence a line."""
    worst = max(finding.flashes for finding in verdict.failures)
    lines = [
        *for_steps("looking"),
        f"It flashes {worst} times in one second; at most {MOST_FLASHES} are safe.",
    ]
    for finding in verdict.failures:
        lines.append(
            f"{capitalised(finding.rule.name)}: {finding.flashes} in the second from "
            f"{finding.at_s:.1f} s on, over {finding.area:.2%} of a field of view, where flashes "
            "over more than a quarter count."
        )
    lines.append(f"This holds for a film {verdict.viewing} (WCAG 2.3.1).")
    return "\n".join(lines)


def shortcuts_text() -> str:
    """The shortcuts, one a line."""
    return "\n".join(f"{keys}: {what}." for keys, what in SHORTCUTS)
