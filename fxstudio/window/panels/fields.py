"""Controls for the fields of a model: range and help come from the model itself.

A control is found by the name of its field: `lamp.travel`, `pattern.level`.
"""

from __future__ import annotations

from collections.abc import Callable

from pydantic import BaseModel

from fxstudio.documents.models import SHARES, Facts, field_facts
from fxstudio.editing.edits import BRIGHTNESS
from fxstudio.window.toolkit.controls.buttons import Choice
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.form import capitalised, labelled
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Widget

Set = Callable[[str, object, str | None], object]
"""Called with a field's name, its new value and the gesture it belongs to."""

WIDE = 20
"""From this ratio of the ends of a range on, a slider's equal ways mean equal ratios."""

OPEN_END = 0.01
"""How near a slider comes to a limit that is itself not allowed."""


def slider_ends(facts: Facts) -> tuple[float, float]:
    """Where a slider begins and ends: next to a limit that is itself not allowed."""
    low = 0.0 if facts.lowest is None else facts.lowest + facts.above * OPEN_END
    high = 1.0 if facts.highest is None else facts.highest - facts.below * OPEN_END
    return low, high


def help_of(model: type[BaseModel], name: str) -> str:
    """What a field of a model is for."""
    return field_facts(model)[name].help


def text_control(
    look: Theme, key: str, model: BaseModel, name: str, take: Callable[[str], object]
) -> Widget:
    """A line for a field of text."""
    facts = field_facts(type(model))[name]
    return Entry(look, key, getattr(model, name), take, help=facts.help, longest=facts.longest)


def choice_control(
    look: Theme, key: str, model: BaseModel, name: str, change: Callable[[str], object]
) -> Widget:
    """A choice among the words that a field may be."""
    facts = field_facts(type(model))[name]
    options = {choice: capitalised(choice) for choice in facts.choices}
    return Choice(look, key, options, getattr(model, name), change, facts.help)


def pattern_controls(look: Theme, pattern: BaseModel, change: Set) -> list[Part]:
    """A labelled control for each field of a pattern, its brightness first."""
    fields = field_facts(type(pattern))
    names = [name for name in BRIGHTNESS if name in fields]
    names += [name for name in fields if name not in (*BRIGHTNESS, "kind")]
    return [
        labelled(look, fields[name].words, _pattern_control(look, pattern, fields[name], change))
        for name in names
    ]


def _pattern_control(look: Theme, pattern: BaseModel, facts: Facts, change: Set) -> Widget:
    """The control for one field: a choice among words, or a slider."""
    name, key = facts.name, f"pattern.{facts.name}"
    if facts.choices:
        return choice_control(look, key, pattern, name, lambda new: change(name, new, None))
    low, high = slider_ends(facts)
    whole, share = facts.type is int, facts.unit in SHARES
    return Slider(
        look,
        key,
        getattr(pattern, name),
        low,
        high,
        lambda new, gesture: change(name, int(new) if whole else new, gesture),
        facts.text,
        step=1 if whole else 0.01 if share else None,
        wide=high > WIDE * max(low, 0.05) and not whole and not share,
        help=facts.help,
    )
