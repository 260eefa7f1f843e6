"""The panels of the decoder: which one, what it cannot do, and the values to write."""

from __future__ import annotations

from functools import partial

from fxstudio.cautions import for_steps
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.compromise import Compromise
from fxstudio.decoder.values.unknowns import NotKnown
from fxstudio.editing.decoder import NO_DECODER, decoder_titles
from fxstudio.editing.studio import Studio
from fxstudio.effect.advice import Advice
from fxstudio.export.table import proof_note, table_text, value_table
from fxstudio.window.actions import Actions
from fxstudio.window.toolkit.clipboard import copy
from fxstudio.window.toolkit.controls.buttons import Button, Switch
from fxstudio.window.toolkit.controls.lists import Picker
from fxstudio.window.toolkit.controls.notes import Note, Table
from fxstudio.window.toolkit.form import capitalised, heading, labelled
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow
from fxstudio.window.toolkit.parts import Part
from fxstudio.window.toolkit.theme import Theme
from fxstudio.window.toolkit.widget import Text, Widget

OTHER_FILE, FROM_LEAFLET = "?", "leaflet"


def decoder_panel(look: Theme, studio: Studio, actions: Actions) -> Part:
    """Choice of a decoder, its compromises, and hints about the effect."""
    rows = [
        heading(look, "Decoder"),
        labelled(look, "decoder", _which(look, studio, actions)),
        *_about(look, studio),
        *_compromises(look, studio, actions),
        *(
            _unknown(look, actions, number, each)
            for number, each in enumerate(studio.decoder.unknown)
        ),
        *(_hint(look, actions, number, each) for number, each in enumerate(studio.advice)),
    ]
    return Panel(Column(rows, look.gap), look.pad)


def _which(look: Theme, studio: Studio, actions: Actions) -> Widget:
    options = {NO_DECODER: "None: show the wish", **decoder_titles()}
    if studio.decoder.name not in options and studio.decoder.leaflet is not None:
        options[studio.decoder.name] = studio.decoder.leaflet.title
    options[FROM_LEAFLET] = "Describe one from its leaflet …"
    options[OTHER_FILE] = "A description in a file …"

    def choose(name: str) -> None:
        if name == OTHER_FILE:
            actions.open_description()
        elif name == FROM_LEAFLET:
            actions.describe_decoder()
        else:
            studio.choose_decoder(name)

    return Picker(
        look,
        "decoder",
        options,
        studio.decoder.name,
        choose,
        actions.open_list,
        "The picture then shows what this decoder will do.",
        opens=(OTHER_FILE, FROM_LEAFLET),
    )


def _about(look: Theme, studio: Studio) -> list[Part]:
    """The note on a decoder, and whether the wish is shown beside it."""
    if studio.decoder.leaflet is None:
        return []
    note = studio.decoder.leaflet.note
    beside = Switch(
        look,
        "beside",
        "Wish beside it",
        studio.beside,
        lambda: studio.show_beside(not studio.beside),
        help="Show what you wish for beside what the decoder will do.",
    )
    return [*([Text(look, note, "quiet", "small")] if note else []), beside]


def _hint(look: Theme, actions: Actions, number: int, advice: Advice) -> Widget:
    lamps = advice.lamps
    return Note(
        look,
        f"advice {number}",
        capitalised(" and ".join(lamps)),
        [
            f"They {advice.seen}." if len(lamps) > 1 else f"{capitalised(advice.seen)}.",
            f"Do: {advice.remedy}.",
        ],
        lambda: actions.go_to(lamps[0]),
        "Go to the lamp.",
    )


def _unknown(look: Theme, actions: Actions, number: int, row: NotKnown) -> Widget:
    """What the description does not say of a lamp."""
    return Note(
        look,
        f"unknown {number}",
        f"{row.lamp}: {row.what}",
        [f"Not known, {row.drawn}.", f"To find it out, {row.find}."],
        lambda: actions.go_to(row.lamp),
        "Go to the lamp.",
    )


def _compromises(look: Theme, studio: Studio, actions: Actions) -> list[Part]:
    if studio.decoder.error is not None:
        return [Text(look, studio.decoder.error.in_words(), "warning")]
    if studio.decoder.compiled is None:
        return []
    found = studio.decoder.compromises
    if not found:
        told = "as far as is known" if studio.decoder.unknown else "to within 1 L*"
        return [Text(look, f"This decoder does what you wish, {told}.")]
    rows: list[Part] = [
        Text(look, f"{studio.decoder.compromise_count}: what you wish and what will be seen")
    ]
    for number, entry in enumerate(found):
        rows += _compromise(look, studio, actions, number, entry)
    rows += [Text(look, text) for text in studio.decoder.compiled.consequences]
    return rows


def _compromise(
    look: Theme, studio: Studio, actions: Actions, number: int, entry: Compromise
) -> list[Part]:
    """What is asked and what will be seen, and a button that wishes for what can be had."""
    note = Note(
        look,
        f"compromise {number}",
        f"{entry.lamp}: {entry.what}" if entry.lamp else capitalised(entry.what),
        [
            f"{capitalised(entry.asked)} asked, {entry.seen} will be seen.",
            f"{capitalised(entry.why)}.",
        ],
        lambda: actions.go_to(entry.lamp),
        "Go to the lamp." if entry.lamp else "Go to the shared rate.",
    )
    change = entry.change
    later = studio.decoder.compromises[number + 1 :]
    if change is None or any(each.change == change for each in later):
        return [note]  # one button stands below the last that it does away with
    accept = Button(
        look,
        f"accept {number}",
        change.in_words,
        lambda: studio.set(change.path, change.value),
        help="Change the effect so that you wish for what can be had. Undo takes it back.",
    )
    return [note, Flow([accept])]


def _accept(look: Theme, studio: Studio) -> Part:
    """In place of the values: what a person must accept first."""
    rows: list[Part] = [
        heading(look, "Values to write"),
        *(
            Text(look, f"{row.lamp}: {row.asked} asked, {row.seen} will be seen.", "warning")
            for row in studio.decoder.grave
        ),
        Button(
            look,
            "accept dark",
            "Show the values all the same",
            studio.decoder.accept_grave,
            help="Values that leave a lamp dark where it shall shine, or lit where it shall be "
            "dark.",
        ),
    ]
    return Panel(Column(rows, look.gap), look.pad)


def values_panel(look: Theme, studio: Studio) -> Part | None:
    """The values to write; nothing without a decoder."""
    compiled = studio.decoder.compiled
    if compiled is None or studio.decoder.leaflet is None:
        return None
    if studio.decoder.grave:
        return _accept(look, studio)
    title = f"{studio.effect.title}, for {studio.decoder.leaflet.title}"
    rows = [
        heading(look, "Values to write"),
        Table(look, *value_table(compiled)),
        *([Text(look, unproved, "quiet", "small")] if (unproved := proof_note(compiled)) else []),
        *(Text(look, text, "quiet", "small") for text in for_steps("before writing")),
        Button(
            look,
            "copy",
            "Copy as text",
            partial(_copy_text, studio, title, compiled),
            help="Put the table on the clipboard.",
        ),
    ]
    return Panel(Column(rows, look.gap), look.pad)


def _copy_text(studio: Studio, title: str, compiled: Compiled) -> None:
    if copy(table_text(title, compiled)):
        studio.say("The values are on the clipboard as text.")
    else:
        studio.complain("there is no clipboard here; `fxstudio values` prints the table")
