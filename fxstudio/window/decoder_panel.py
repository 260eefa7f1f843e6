"""The panels of the decoder: which one, what it cannot do, and the values to write."""

from __future__ import annotations

from fxstudio.cautions import for_steps
from fxstudio.editing.studio import NO_DECODER, Studio
from fxstudio.export.table import value_table, values_text
from fxstudio.window.actions import Actions
from fxstudio.window.toolkit.buttons import Button, Switch
from fxstudio.window.toolkit.clipboard import copy
from fxstudio.window.toolkit.form import capitalised, heading, labelled
from fxstudio.window.toolkit.frames import Panel
from fxstudio.window.toolkit.layout import Column, Flow, Part
from fxstudio.window.toolkit.lists import Picker
from fxstudio.window.toolkit.notes import Note, Table
from fxstudio.window.toolkit.theme import Look
from fxstudio.window.toolkit.widget import Text

OTHER_FILE = "?"


def decoder_panel(look: Look, studio: Studio, actions: Actions) -> Part:
    """Choice of a decoder, and its compromises."""
    options = {NO_DECODER: "None: show the wish", **studio.decoders}
    if studio.decoder_name not in options and studio.description is not None:
        options[studio.decoder_name] = studio.description.title
    options[OTHER_FILE] = "A description in a file …"

    def choose(name: str) -> None:
        if name == OTHER_FILE:
            actions.open_description()
        else:
            studio.choose_decoder(name)

    rows: list[Part] = [
        heading(look, "Decoder"),
        labelled(
            look, "decoder",
            Picker(look, "decoder", options, studio.decoder_name, choose, actions.open_list,
                   "The picture then shows what this decoder will do.", opens=(OTHER_FILE,)),
        ),
    ]  # fmt: skip
    if studio.description is not None:
        if studio.description.note:
            rows.append(Text(look, studio.description.note, "quiet", "small"))
        rows.append(
            Switch(
                look,
                "beside",
                "Wish beside it",
                studio.beside,
                lambda: studio.show_beside(not studio.beside),
                help="Show what you wish for beside what the decoder will do.",
            )
        )
    rows += _compromises(look, studio, actions)
    rows += [
        Note(
            look, f"advice {number}", capitalised(" and ".join(entry.lamps)),
            [f"They {entry.seen}." if len(entry.lamps) > 1 else f"{capitalised(entry.seen)}.",
             f"Do: {entry.remedy}."],
            lambda lamp=entry.lamps[0]: actions.go_to(lamp), "Go to the lamp.",
        )
        for number, entry in enumerate(studio.advice)
    ]  # fmt: skip
    return Panel(Column(rows, look.gap), look.pad)


def _compromises(look: Look, studio: Studio, actions: Actions) -> list[Part]:
    if studio.decoder_error is not None:
        return [Text(look, str(studio.decoder_error), "warning")]
    if studio.compiled is None:
        return []
    found = studio.compiled.compromises
    if not found:
        return [Text(look, "This decoder does what you wish, to within half a percent.")]
    rows: list[Part] = [
        Text(look, f"{studio.compromise_count}: what you wish and what will be seen")
    ]
    for number, entry in enumerate(found):
        note = Note(
            look,
            f"compromise {number}",
            f"{entry.lamp}: {entry.what}" if entry.lamp else capitalised(entry.what),
            [
                f"{capitalised(entry.asked)} asked, {entry.seen} will be seen.",
                f"{capitalised(entry.why)}.",
            ],
            lambda lamp=entry.lamp: actions.go_to(lamp),
            "Go to the lamp." if entry.lamp else "Go to the shared rate.",
        )
        rows.append(note)
        if change := entry.change:
            accept = Button(
                look, f"accept {number}", change.in_words,
                lambda change=change: studio.set(change.path, change.value),
                help="Change the effect so that you wish for what can be had. Undo takes it back.",
            )  # fmt: skip
            rows.append(Flow([accept]))
    return rows


def values_panel(look: Look, studio: Studio) -> Part | None:
    """The values to write; nothing without a decoder."""
    compiled = studio.compiled
    if compiled is None or studio.description is None:
        return None
    title = f"{studio.effect.title}, for {studio.description.title}"

    def copy_text() -> None:
        done = copy(values_text(title, compiled))
        if done:
            studio.say("The values are on the clipboard as text.")
        else:
            studio.complain("there is no clipboard here; `fxstudio values` prints the table")

    rows = [
        heading(look, "Values to write"),
        Table(look, *value_table(compiled)),
        *(Text(look, text, "quiet", "small") for text in for_steps("before writing")),
        Button(look, "copy", "Copy as text", copy_text, help="Put the table on the clipboard."),
    ]
    return Panel(Column(rows, look.gap), look.pad)
