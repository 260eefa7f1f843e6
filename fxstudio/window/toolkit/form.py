"""Labels beside controls, and headings: what a form looks like."""

from __future__ import annotations

from fxstudio.window.toolkit.frames import Either
from fxstudio.window.toolkit.layout import Column, Row
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text

LABEL_SHARE = 0.33
"""Share of a panel's width that labels have."""

SIDE_BY_SIDE = 340
"""Width in pixels at 100 % below which a label stands above its control."""


def labelled(look: Theme, label: str, control: Part) -> Part:
    """A label and its control; those of one panel stand in line."""
    text = Text(look, capitalised(label), "quiet")
    side_by_side = Row([text, control], look.gap, [LABEL_SHARE, 1 - LABEL_SHARE])
    stacked = Column([text, control] if label else [control], look.px(2))
    return Either(side_by_side, stacked, look.px(SIDE_BY_SIDE))


def capitalised(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def heading(look: Theme, text: str) -> Text:
    """The title of a panel."""
    return Text(look, text, "chosen", "heading")
