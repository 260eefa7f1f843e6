"""Questions and lists that lie on top of the page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from pygame import Rect

from fxstudio.cautions import for_steps
from fxstudio.flashes.count import MOST_FLASHES
from fxstudio.flashes.verdict import Verdict
from fxstudio.window.toolkit.controls.buttons import Button
from fxstudio.window.toolkit.controls.lists import List, Picker
from fxstudio.window.toolkit.form import capitalised, heading
from fxstudio.window.toolkit.frames import Panel, Scroll, Sized
from fxstudio.window.toolkit.layout import Column, Flow
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Action, Text

WIDEST = 560
"""Width of a question in pixels at 100 %."""


@dataclass
class Reply:
    """One answer to a question."""

    text: str
    action: Action
    chosen: bool = False


class QuestionSheet:
    """Some text and its answers. The first answer has the focus.

    close : takes the question away; called before the action of an answer
    escape : number of the answer that Escape means
    """

    anchor: Rect | None = None

    def __init__(
        self,
        title: str,
        text: str,
        answers: Sequence[Reply],
        close: Callable[[], object],
        escape: int = -1,
    ) -> None:
        self.title, self.text, self.answers, self.close = title, text, answers, close
        self.escape = escape

    def build(self, look: Theme) -> Part:
        """Title, text and buttons."""
        width = look.px(WIDEST)
        buttons = [
            Button(
                look, f"answer {number}", each.text, partial(self.give, each), chosen=each.chosen
            )
            for number, each in enumerate(self.answers)
        ]
        column = Column(
            [
                heading(look, self.title),
                *(Text(look, text, widest=WIDEST) for text in self.text.split("\n")),
                Flow(buttons, look.gap),
            ],
            look.pad,
        )
        return Sized(Scroll("question", Panel(column, look.pad, "page"), look.px(10)), width)

    def give(self, answer: Reply) -> None:
        """Take an answer."""
        self.close()
        answer.action()

    def cancel(self) -> None:
        """As the answer that Escape means."""
        self.give(self.answers[self.escape])


class OptionsSheet:
    """The list of a picker, below it."""

    def __init__(self, picker: Picker, close: Callable[[], object]) -> None:
        self.picker, self.close = picker, close
        self.anchor: Rect | None = Rect(picker.rect)

    def build(self, look: Theme) -> Part:
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
