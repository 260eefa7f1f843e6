"""Controls for the fields of a model: range and help come from the model itself.

A control is found by the name of its field: `lamp.travel`, `pattern.level`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from fxstudio.decoder.values.compromise import PATTERN_FIELDS, PatternField
from fxstudio.editing.fields import BRIGHTNESS, limits, longest
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


def help_of(model: type[BaseModel], name: str) -> str:
    """What a field of a model is for."""
    return model.model_fields[name].description or ""


def text_control(
    look: Theme, key: str, model: BaseModel, name: str, take: Callable[[str], object]
) -> Widget:
    """A line for a field of text."""
    return Entry(
        look,
        key,
        getattr(model, name),
        take,
        help=help_of(type(model), name),
        longest=longest(type(model).model_fields[name]),
    )


def choice_control(
    look: Theme, key: str, model: BaseModel, name: str, change: Callable[[str], object]
) -> Widget:
    """A choice among the words that a field may be."""
    info = type(model).model_fields[name]
    options = {choice: capitalised(choice) for choice in get_args(info.annotation)}
    return Choice(look, key, options, getattr(model, name), change, help_of(type(model), name))


def pattern_controls(look: Theme, pattern: BaseModel, change: Set) -> list[Part]:
    """A labelled control for each field of a pattern, its brightness first."""
    fields = type(pattern).model_fields
    names = [name for name in BRIGHTNESS if name in fields]
    names += [name for name in fields if name not in (*BRIGHTNESS, "kind")]
    return [
        labelled(look, _row(name).words, _pattern_control(look, pattern, name, change))
        for name in names
    ]


def _row(name: str) -> PatternField:
    return PATTERN_FIELDS.get(name, PatternField(name))


def _pattern_control(look: Theme, pattern: BaseModel, name: str, change: Set) -> Widget:
    """The control for one field: a choice among words, or a slider."""
    info, key = type(pattern).model_fields[name], f"pattern.{name}"
    if get_origin(info.annotation) is Literal:
        return choice_control(look, key, pattern, name, lambda new: change(name, new, None))
    return _slider(look, key, name, info, getattr(pattern, name), change)


def _slider(look: Theme, key: str, name: str, info: FieldInfo, value: float, change: Set) -> Widget:
    low, high = limits(info)
    whole, share = info.annotation is int, _row(name).unit == "share"
    return Slider(
        look,
        key,
        value,
        low,
        high,
        lambda new, gesture: change(name, int(new) if whole else new, gesture),
        _row(name).text,
        step=1 if whole else 0.01 if share else None,
        wide=high > WIDE * max(low, 0.05) and not whole and not share,
        help=info.description or "",
    )
