"""The panel of the selected lamp: its name, pattern, colour, wiring, and when it shines."""

from __future__ import annotations

from collections.abc import Iterator

from fxstudio.documents.models import field_facts
from fxstudio.editing import edits
from fxstudio.editing.edits import pattern_kind
from fxstudio.editing.studio import Studio
from fxstudio.effect.gate import DIRECTED_WORDS
from fxstudio.effect.keys import ALWAYS, KEYS
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import KINDS, Pattern
from fxstudio.units import hz
from fxstudio.window.panels.colour import colour_controls
from fxstudio.window.panels.effect import OpenList
from fxstudio.window.panels.fields import choice_control, help_of, pattern_controls
from fxstudio.window.toolkit.controls.buttons import Button, Choice
from fxstudio.window.toolkit.controls.entry import Entry
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.form import capitalised, heading, labelled
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

ON, OFF = "on", "off"


def lamp_panel(look: Theme, studio: Studio, open_list: OpenList) -> Part:
    """Everything about the selected lamp."""
    rows = [
        heading(look, "Lamp"),
        _which(look, studio),
        labelled(look, "name", _name(look, studio)),
        labelled(look, "pattern", _kind(look, studio)),
        *pattern_controls(
            look,
            studio.lamp.pattern,
            lambda field, value, gesture: studio.set_lamp(f"pattern.{field}", value, gesture),
        ),
        *colour_controls(look, studio, open_list),
        labelled(look, "place in the scene", _place(look, studio, open_list)),
        labelled(look, "decoder output", _output(look, studio, open_list)),
        *_gate(look, studio, open_list),
        _more_or_fewer(look, studio),
    ]
    return Panel(Column(rows, look.gap), look.pad)


def _which(look: Theme, studio: Studio) -> Widget:
    names = {name: name for name in studio.effect.lamps}
    told = "The lamp whose settings stand below."
    return Choice(look, "lamp", names, studio.selected, studio.select, told)


def _name(look: Theme, studio: Studio) -> Widget:
    most = field_facts(Effect)["lamps"].longest
    told = "What the lamp is called."
    return Entry(look, "lamp name", studio.selected, studio.rename, help=told, longest=most)


def _kind(look: Theme, studio: Studio) -> Widget:
    pattern: Pattern = studio.lamp.pattern
    name = studio.selected
    return Choice(
        look,
        "pattern.kind",
        {kind: capitalised(row.called or kind) for kind, row in KINDS.items()},
        pattern_kind(pattern),
        lambda kind: studio.edit(edits.set_pattern, name, kind),
        (type(pattern).__doc__ or "").splitlines()[0],
    )


def _place(look: Theme, studio: Studio, open_list: OpenList) -> Widget:
    name = studio.selected
    places, place = studio.effect.setting.places, studio.effect.place(name)
    return Picker(
        look,
        "lamp.place",
        {each: each for each in places},
        place,
        lambda new: studio.set_lamp("place", None if new == name else new),
        open_list,
        f"{capitalised(places[place])}.",
    )


def _output(look: Theme, studio: Studio, open_list: OpenList) -> Widget:
    name = studio.selected
    return Picker(
        look,
        "lamp.output",
        _outputs(studio.effect, name),
        str(studio.lamp.output),
        lambda number: studio.edit(edits.move_to_output, name, int(number)),
        open_list,
        help_of(Lamp, "output"),
    )


def _outputs(effect: Effect, name: str) -> dict[str, str]:
    """Outputs to choose from, each with the lamp that is on it."""
    owners = {lamp.output: other for other, lamp in effect.lamps.items()}
    return {
        str(number): f"{number}, changes places with {owners[number]}"
        if owners.get(number, name) != name
        else str(number)
        for number in field_facts(Lamp)["output"].whole_numbers
    }


def _gate(look: Theme, studio: Studio, open_list: OpenList) -> list[Part]:
    """When the lamp shines: its key, whether that is on or off, direction and motion."""
    lamp, name = studio.lamp, studio.selected
    key = Picker(
        look,
        "lamp.key",
        {key: capitalised(key) for key in (ALWAYS, *KEYS)},
        lamp.key,
        lambda key: studio.edit(edits.set_key, name, key),
        open_list,
        help_of(Lamp, "key"),
    )
    while_off = Choice(
        look,
        "lamp.while_off",
        {each: capitalised(each) for each in (ON, OFF)},
        OFF if lamp.while_off else ON,
        lambda each: studio.set_lamp("while_off", each == OFF),
        help_of(Lamp, "while_off"),
    )
    travel = Choice(
        look,
        "lamp.travel",
        {travel: capitalised(words) for travel, words in DIRECTED_WORDS.items()},
        lamp.travel,
        lambda travel: studio.set_lamp("travel", travel),
        help_of(Lamp, "travel"),
    )
    motion = choice_control(
        look, "lamp.motion", lamp, "motion", lambda motion: studio.set_lamp("motion", motion)
    )
    keyed = [labelled(look, "shines while its key is", while_off)] if lamp.key != ALWAYS else []
    return [
        labelled(look, "function key", key),
        *keyed,
        labelled(look, "shines", travel),
        labelled(look, "shines while", motion),
        *(Text(look, words, "quiet") for words in _said_in_the_file(lamp)),
    ]


def _said_in_the_file(lamp: Lamp) -> Iterator[str]:
    """What the lamp says beside all that has a control, in sentences."""
    if lamp.together or lamp.unless or lamp.also:
        yield f"In all it shines: {lamp.gate.words()}."
    if dims := ", ".join(lamp.dims.words()):
        yield f"It is {dims}."
    if lamp.rate_hz is not None and lamp.pattern.flickers:
        yield f"It flickers at {hz(lamp.rate_hz)}, not at the shared rate."


def _more_or_fewer(look: Theme, studio: Studio) -> Part:
    name = studio.selected
    add = Button(
        look,
        "add lamp",
        "Add a lamp",
        studio.add_lamp,
        help="Add a lamp on the next free output.",
    )
    remove = Button(
        look,
        "remove lamp",
        f"Remove {look.cut(name, look.px(120))}",
        lambda: studio.edit(edits.remove_lamp, name),
        usable=len(studio.effect.lamps) > 1,
        help="Take this lamp out of the effect.",
    )
    return Flow([add, remove], look.gap)
