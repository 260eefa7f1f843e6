"""The panel of the effect as a whole: title, locomotive, scene, and the shared rate."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.shared_rate import shared_rate
from fxstudio.documents.models import field_facts
from fxstudio.editing import edits
from fxstudio.editing.studio import Studio
from fxstudio.effect.model import Effect
from fxstudio.scenes.catalogue import SCENES
from fxstudio.units import hz
from fxstudio.window.panels.fields import help_of, slider_ends, text_control
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.controls.slider import Slider
from fxstudio.window.toolkit.form import heading, labelled
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

OpenList = Callable[[Picker], object]


def effect_panel(look: Theme, studio: Studio, open_list: OpenList) -> Part:
    """Everything that is said of the effect, not of a lamp."""
    rows = [
        heading(look, "Effect"),
        *(labelled(look, name, _entry(look, studio, name)) for name in _TEXTS),
        labelled(look, "scene", _scene(look, studio, open_list)),
        *_rate(look, studio),
    ]
    return Panel(Column(rows, look.gap), look.pad)


_TEXTS = ("title", "locomotive", "note")


def _entry(look: Theme, studio: Studio, name: str) -> Widget:
    take = partial(studio.set, (name,))
    return text_control(look, f"effect.{name}", studio.effect, name, take)


def _scene(look: Theme, studio: Studio, open_list: OpenList) -> Widget:
    present = studio.effect.scene
    scenes = dict(SCENES) | {present: studio.effect.setting}
    return Picker(
        look,
        "effect.scene",
        {name: row.title for name, row in scenes.items()},
        present,
        lambda name: studio.edit(edits.set_scene, name),
        open_list,
        f"{studio.effect.setting.help}.",
    )


def _rate(look: Theme, studio: Studio) -> list[Part]:
    """The shared rate in Hz and, with a decoder, as the value it holds."""
    low, high = slider_ends(field_facts(Effect)["rate_hz"])
    slider = Slider(
        look,
        "effect.rate_hz",
        studio.effect.rate_hz,
        low,
        high,
        lambda rate, gesture: studio.set(("rate_hz",), rate, gesture),
        hz,
        wide=True,
        help=help_of(Effect, "rate_hz"),
        widest="00.00 Hz",
    )
    rows = [labelled(look, "shared flicker rate", slider)]
    if studio.decoder.leaflet is not None:
        rows += _rate_value(look, studio, studio.decoder.leaflet)
    if not studio.effect.flickering():
        rows.append(Text(look, "No lamp flickers at it now, so it changes nothing.", "quiet"))
    return rows


def _rate_value(look: Theme, studio: Studio, decoder: Leaflet) -> list[Part]:
    """The rate as the value that a decoder holds, or which one is fixed in it."""
    rate = shared_rate(decoder)
    if rate is None:
        return []
    if not rate.cell:
        told = f"{decoder.title} always flickers at {hz(rate.rates_hz[0])}."
        return [Text(look, told, "quiet")]
    slider = Slider(
        look,
        "rate value",
        rate.nearest(studio.effect.rate_hz),
        min(rate.rates_hz),
        max(rate.rates_hz),
        studio.set_rate_value,
        lambda value: f"{value:.0f}  ({hz(rate.at(value))})",
        step=1,
        help=f"The same rate as {decoder.title} holds it, in {rate.cell}.",
        widest="000  (00.00 Hz)",
    )
    return [labelled(look, f"as the decoder's {rate.cell}", slider)]
