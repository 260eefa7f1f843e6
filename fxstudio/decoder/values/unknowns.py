"""What is not known of the lamps that will be seen: what it is drawn as, and how to find it out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from fxstudio.decoder.leaflet.paper import silence_of
from fxstudio.decoder.values.decode import Decoded, Source
from fxstudio.documents.models import field_facts
from fxstudio.effect.model import Effect
from fxstudio.units import percent

SOURCES: Final = {"guess": "only a guess", "measured": "measured", "by eye": "found by eye"}
"""Where a figure comes from, in words; by `Source.known`."""

STYLE_WORDS: Final = {"hold": "jumping", "smooth": "drifting"}
"""How a light of each style changes."""


@dataclass(frozen=True)
class NotKnown:
    """One thing that the leaflet does not say of a lamp.

    lamp : its name
    what : `how fast`
    drawn : `drawn at 4 a second`
    find : how a person finds it out
    source : where the description has it from; None if it has nothing
    """

    lamp: str
    what: str
    drawn: str
    find: str
    source: Source | None = None

    @property
    def shown(self) -> str:
        """What it is drawn as, and where the description has it from: `measured, drawn at 4`."""
        return f"{SOURCES[self.source.known]}, {self.drawn}" if self.source else self.drawn

    def __str__(self) -> str:
        known = SOURCES[self.source.known] if self.source else "not known"
        return f"{self.lamp}: {self.what}: {known}, {self.drawn}"


def not_known_of(shown: Decoded) -> tuple[NotKnown, ...]:
    """All that the leaflet does not say of the lamps, known from elsewhere or not, lamp by lamp."""
    rows: list[tuple[str, str, Source | None]] = [
        (lamp, name, None) for lamp, names in shown.unknown.items() for name in names
    ]
    rows += [
        (lamp, name, source)
        for lamp, found in shown.not_printed.items()
        for name, source in found.items()
    ]
    return tuple(
        NotKnown(lamp, said.what, _drawn(shown.effect, lamp, name, source), said.find, source)
        for lamp, name, source in rows
        for said in [silence_of(name, type(shown.effect.lamps[lamp].pattern))]
    )


def said_of_film(shown: Decoded) -> tuple[str, ...]:
    """What a film of the lamps has to say of itself, a line each."""
    return tuple(f"Note: {row}" for row in not_known_of(shown))


def _drawn(effect: Effect, lamp: str, name: str, source: Source | None) -> str:
    """What it is drawn as, and between what ends it may be."""
    within = source.within if source else None
    pattern = effect.lamps[lamp].pattern
    facts = field_facts(type(pattern))
    if name == "effect":
        return f"drawn as {pattern.summary()}"
    if name == "key":
        return f"drawn with {effect.lamps[lamp].key}"
    if name == "rate_hz":
        rate = effect.rate_of(lamp)
        ends = "" if within is None else f", {_ends(rate, within, lambda end: f'{end:.3g}')}"
        return f"drawn at {rate:.3g} a second{ends}"
    if name == "style":
        return f"drawn as {STYLE_WORDS[getattr(pattern, name)]}"
    if name in facts:
        value, text = getattr(pattern, name), facts[name].text
        ends = "" if within is None else f", {_ends(value, within, text)}"
        return f"drawn as {text(value)}{ends}"
    return f"drawn as {percent(pattern.brightest)}" if name == "level" else "not drawn"


def _ends(value: float, within: float, text: Callable[[float], str]) -> str:
    """Between which ends a measured figure is: `3.4 to 4.6`."""
    return f"{text(value * (1 - within))} to {text(value * (1 + within))}"
