"""Decoders and effects that several tests use."""

from __future__ import annotations

from typing import Any

from earlier_files import EARLIER_FILES

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.earlier import renewed
from fxstudio.decoder.leaflet.files import load_decoder, read_earlier, shipped
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import parse
from fxstudio.effect.model import Effect

EARLIER: dict[int, Description] = {}
"""What was said in the earlier form of each decoder here, by its identity."""

_KEPT: list[Leaflet] = []
"""Decoders that are kept, so that none takes the identity of another."""


def decoder_of(earlier: Description) -> Leaflet:
    """A decoder said in the earlier form."""
    found = renewed(earlier)
    _KEPT.append(found)
    EARLIER[id(found)] = earlier
    return found


def said_of(decoder: Leaflet) -> dict[str, Any]:
    """What is said of it in the earlier form, as a file holds it."""
    return EARLIER[id(decoder)].model_dump(exclude_unset=True)


def said_as(rows: dict[str, Any]) -> Leaflet:
    """A decoder by rows of the earlier form."""
    return decoder_of(parse(Description, rows))


DECODERS = {name: load_decoder(path) for name, path in shipped().items()}
for shipped_name, path in EARLIER_FILES.items():
    EARLIER[id(DECODERS[shipped_name])] = read_earlier(path)
GLIM, CARROW, TOLLEY = (
    DECODERS[name] for name in ("withybank_glim", "carrow_lantern", "tolley_hearth")
)
UNGATED = said_as({name: row for name, row in said_of(GLIM).items() if name != "travel"})
"""A decoder whose outputs have no travel of their own; only the function map gates them."""

FLICKER = {"kind": "flicker", "style": "hold", "lowest": 0.0, "highest": 1.0}
STEADY = {"kind": "steady", "level": 1.0}


def effect(rate_hz: float = 5.0, **lamps: dict) -> Effect:
    """An effect with these lamps; a lamp is orange and steady if it does not say otherwise."""
    common = {"place": "bed", "colour": "#ff8000", "pattern": STEADY}
    rows = {name: common | row for name, row in lamps.items()}
    return parse(Effect, {"title": "Fire", "rate_hz": rate_hz, "lamps": rows})


def rate_cv(decoder: Leaflet) -> CvAddress | None:
    """The CV of the one rate that all outputs share."""
    rates = (cell.cv for cell, _, part in decoder.parts() if part.names == {"rate_hz"})
    return next(rates, None)


def l_star(light: float) -> float:
    """CIE 1976 lightness; CIE 015, from memory."""
    return 116 * light ** (1 / 3) - 16 if light > 216 / 24389 else light * 24389 / 27
