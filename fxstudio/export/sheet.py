"""The bench sheet: all that is needed beside the locomotive, on one page to print.

One HTML file that holds its pictures and its style, has no script and asks nothing of the
network. Whatever stands in an effect or a description is text there and never markup.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import dataclass

from jinja2 import Environment, PackageLoader, StrictUndefined

from fxstudio import __version__
from fxstudio.cautions import CAUTIONS
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.paper import (
    OUTPUT_HEADINGS,
    last_lines,
    limit_lines,
    not_known,
    output_lines,
    paragraphs,
)
from fxstudio.decoder.values.compromise import Compromise
from fxstudio.decoder.values.unknowns import NotKnown
from fxstudio.decoder.writing.steps import Plan
from fxstudio.effect.model import Effect
from fxstudio.electrics.wiring import CONNECTORS
from fxstudio.export.plan_table import KEPT, UNREAD, held_lines, nothing_words, restore_notes
from fxstudio.export.wiring import Wiring
from fxstudio.light.truth_table import STANDING, TruthTable
from fxstudio.units import unbroken

TEMPLATE = "sheet.html.j2"
COLUMNS = 8
"""Lamps side by side in the truth table; more of them stand in a table below."""


@dataclass(frozen=True)
class Still:
    """One picture of the strip: a PNG, and what is going on."""

    png: bytes
    caption: str


@dataclass(frozen=True)
class BenchSheet:
    """What a bench sheet says.

    effect : what was asked
    plan : the writes and the way back
    compromises : what the decoder cannot do
    consequences : what follows for settings that lamps share, and for other outputs
    truth, steps : truth table and test steps of what will be seen
    wiring : wires and resistors
    unknown : what the leaflet does not say of the lamps
    leaflet : the decoder, to be held against the paper
    strip : pictures of what will be seen, at least one
    film : the same as a GIF, or None
    no_film : why there is none, if there is something to say
    """

    effect: Effect
    plan: Plan
    compromises: tuple[Compromise, ...]
    consequences: tuple[str, ...]
    truth: TruthTable
    steps: TruthTable
    wiring: Wiring
    unknown: tuple[NotKnown, ...]
    leaflet: Leaflet
    strip: tuple[Still, ...]
    film: bytes | None = None
    no_film: str = ""


def sheet_html(sheet: BenchSheet) -> str:
    """The sheet as one HTML document."""
    environment = Environment(
        loader=PackageLoader("fxstudio", "export"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_unbroken,
    )
    environment.filters["data_uri"] = _data_uri
    return environment.get_template(TEMPLATE).render(
        sheet=sheet,
        blocks=list(_blocks(sheet.truth)),
        plugs=[plug.title.partition(",")[0] for plug in CONNECTORS.values()],
        cautions=CAUTIONS,
        standing=STANDING,
        kept=(KEPT, held_lines(sheet.plan.kept)),
        unread=(UNREAD, held_lines(sheet.plan.unread)),
        restore_notes=restore_notes(sheet.leaflet.title, sheet.plan),
        outputs=([title for title, _ in OUTPUT_HEADINGS], list(output_lines(sheet.leaflet))),
        limits=list(limit_lines(sheet.leaflet)),
        paragraphs=list(paragraphs(sheet.leaflet)),
        last=list(last_lines(sheet.leaflet)),
        left_out=not_known(sheet.leaflet),
        nothing_to_write=nothing_words(sheet.plan),
        version=__version__,
    )


def _blocks(table: TruthTable) -> Iterator[TruthTable]:
    """The table in parts of a few lamps each, none of which is too wide for the paper."""
    for first in range(0, len(table.lamps), COLUMNS):
        part = slice(first, first + COLUMNS)
        yield TruthTable(table.lamps[part], table.states, table.lit[:, part], table.times[:, part])


def _unbroken(value: object) -> object:
    """Plain text as it is printed; what is markup already stays."""
    return unbroken(value) if type(value) is str else value


def _data_uri(data: bytes, kind: str) -> str:
    return f"data:{kind};base64,{b64encode(data).decode('ascii')}"
