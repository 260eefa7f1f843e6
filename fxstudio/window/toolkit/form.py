"""Controls for the fields of a model: label, range and help come from the model itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel

from fxstudio.models import SHARES, Facts, field_facts
from fxstudio.window.toolkit.buttons import Choice
from fxstudio.window.toolkit.frames import Either
from fxstudio.window.toolkit.layout import Column, Part, Row
from fxstudio.window.toolkit.slider import Slider
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Text, Widget

Set = Callable[[str, Any, str | None], object]
"""Called with a field's name, its new value and the gesture it belongs to."""

OPEN_END = 0.01
"""How near a slider comes to a limit that is itself not allowed."""

LABEL_SHARE = 0.33
"""Share of a panel's width that labels have."""

SIDE_BY_SIDE = 340
"""Width in pixels at 100 % below which a label stands above its control."""


def labelled(look: Look, label: str, control: Widget | Part) -> Part:
    """A label and its control; those of one panel stand in line."""
    text = Text(look, capitalised(label), "quiet")
    side_by_side = Row([text, control], look.gap, [LABEL_SHARE, 1 - LABEL_SHARE])
    stacked = Column([text, control] if label else [control], look.px(2))
    return Either(side_by_side, stacked, look.px(SIDE_BY_SIDE))


def capitalised(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def heading(look: Look, text: str) -> Text:
    """The title of a panel."""
    return Text(look, text, "chosen", "heading")


BRIGHTNESS = ("level", "highest", "lowest")
"""Fields of a pattern that are a brightness; the one that says how bright it is at most first."""


def brightness_key(pattern: BaseModel) -> str:
    """What the control of a pattern's brightness is found by."""
    name = next(name for name in BRIGHTNESS if name in type(pattern).model_fields)
    return f"pattern.{name}"


def pattern_controls(look: Look, pattern: BaseModel, change: Set) -> list[Part]:
    """A labelled control for each field of a pattern, its brightness first."""
    fields = field_facts(type(pattern))
    names = [name for name in BRIGHTNESS if name in fields]
    names += [name for name in fields if name not in (*BRIGHTNESS, "kind")]
    return [
        labelled(
            look,
            fields[name].words,
            field_control(look, f"pattern.{name}", fields[name], getattr(pattern, name), change),
        )
        for name in names
    ]


def field_control(look: Look, key: str, facts: Facts, value: Any, change: Set) -> Widget:
    """The control for one field: a choice among words, or a slider."""
    name = facts.name
    if facts.choices:
        options = {choice: capitalised(choice) for choice in facts.choices}
        return Choice(look, key, options, value, lambda new: change(name, new, None), facts.help)
    low, high = slider_ends(facts)
    whole, share = facts.type is int, facts.unit in SHARES
    return Slider(
        look,
        key,
        value,
        low,
        high,
        lambda new, gesture: change(name, int(new) if whole else new, gesture),
        facts.text,
        step=1 if whole else 0.01 if share else None,
        wide=high > 20 * max(low, 0.05) and not whole and not share,
        help=facts.help,
    )


def slider_ends(facts: Facts) -> tuple[float, float]:
    """Where a slider begins and ends: next to a limit that is itself not allowed."""
    low = 0.0 if facts.lowest is None else facts.lowest + facts.above * OPEN_END
    high = 1.0 if facts.highest is None else facts.highest - facts.below * OPEN_END
    return low, high
