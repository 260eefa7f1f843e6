"""`fxstudio explain`."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fxstudio.cli.decoder.options import LeafletOptions
from fxstudio.cli.shown import console
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import does, output_words_now
from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import (
    OUTPUT_HEADINGS,
    Paragraph,
    last_lines,
    limit_lines,
    not_known,
    output_lines,
    paragraphs,
)
from fxstudio.decoder.values.lists import read_values
from fxstudio.errors import naming


def explain_decoder(asked: LeafletOptions) -> None:
    """Do what `LeafletOptions` asks for."""
    leaflet = load_decoder(asked.decoder)
    held = _held(asked.present, leaflet)
    console.say(leaflet.title, "bold")
    if leaflet.note:
        console.say(leaflet.note)
    console.show_table(
        "outputs",
        OUTPUT_HEADINGS,
        list(output_lines(leaflet)),
    )
    for line in limit_lines(leaflet):
        console.say(line)
    for paragraph in paragraphs(leaflet):
        _show(paragraph)
    if last := list(last_lines(leaflet)):
        console.say("")
        for line in last:
            console.say(line)
    console.say("")
    console.label(
        "It does", " as delivered:" if asked.present is None else f" with {asked.present}:"
    )
    for output in leaflet.outputs:
        console.say(f"  {output_words_now(leaflet, output, held)}.")
    if silent := not_known(leaflet):
        console.label("not known", " the leaflet does not say:", "yellow")
        for line in silent:
            console.say(f"  {line}")


def _held(present: Path | None, leaflet: Leaflet) -> Mapping[CvAddress, int]:
    """The values of a list that are the leaflet's; raises InputError for one that it forbids."""
    if present is None:
        return {}
    held = {cv: value for cv, value in read_values(present).items() if cv in leaflet.cells}
    with naming(present):
        for output in leaflet.outputs:
            does(leaflet, output.number, held)
    return held


def _show(paragraph: Paragraph) -> None:
    console.say("")
    console.say(paragraph.heading, "bold")
    if paragraph.sum:
        console.say(f"{paragraph.sum}.")
    for title, rows in paragraph.tables:
        console.show_table(title, (("code", "right"), ("says", "left")), list(rows))
    for line in paragraph.mind:
        console.say(line)
    console.say(f"Delivered: {paragraph.delivered}.")
    for value, total, words in paragraph.examples:
        console.say(f"So {value} = {total} means: {words}.")
