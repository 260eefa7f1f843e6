"""What a leaflet may leave out, in words, and how it is found out at the locomotive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from fxstudio.decoder.leaflet.says import PROPERTIES
from fxstudio.documents.models import field_facts
from fxstudio.effect.patterns import Pattern


class Silence(NamedTuple):
    """One thing that is not known.

    what : it, as a question that could be asked: `how fast`
    find : how a person finds it out: `count its changes in ten seconds`
    """

    what: str
    find: str


COMPARE: Final = "compare it with films"
CLIP: Final = "take a clip of it and count its pictures"

SILENCES: Final[Mapping[str, Silence]] = {
    "rate_hz": Silence("how fast", f"count its changes in ten seconds, or {COMPARE}"),
    "level": Silence("how bright", COMPARE),
    "highest": Silence("how bright at most", COMPARE),
    "lowest": Silence("how dark at least", COMPARE),
    "style": Silence("whether it jumps or drifts", COMPARE),
    "period_s": Silence("how long from one flash to the next", "count its flashes in a minute"),
    "on_share": Silence("for what share of that it is bright", CLIP),
    "on_s": Silence("how long it is bright", CLIP),
    "off_s": Silence("how long it is dark", CLIP),
    "rise_s": Silence("how long it takes to come up", CLIP),
    "fall_s": Silence("how long it takes to die away", CLIP),
}
"""By the name of the property or of the pattern's field; others are compared with films."""


def silence_of(name: str, pattern: type[Pattern]) -> Silence:
    """What is not known of a light, by its name in `says.PROPERTIES` or in the pattern."""
    facts = field_facts(pattern)
    words = facts[name].words if name in facts else PROPERTIES[name].words
    return SILENCES.get(name) or Silence(words, COMPARE)
