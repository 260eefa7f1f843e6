"""What is not known of the lamps that will be seen: what it is drawn as, and how to find it out."""

from __future__ import annotations

from dataclasses import dataclass

from fxstudio.decoder.leaflet.paper import silence_of
from fxstudio.decoder.values.decode import Decoded
from fxstudio.documents.models import field_facts
from fxstudio.effect.model import Effect
from fxstudio.units import percent


@dataclass(frozen=True)
class NotKnown:
    """One thing that the leaflet does not say of a lamp.

    lamp : its name
    what : `how fast`
    drawn : `drawn at 4 a second`
    find : how a person finds it out
    guess : whether the description supposes it
    """

    lamp: str
    what: str
    drawn: str
    find: str
    guess: bool = False

    def __str__(self) -> str:
        known = "only a guess" if self.guess else "not known"
        return f"{self.lamp}: {self.what}: {known}, {self.drawn}"


def not_known_of(shown: Decoded) -> tuple[NotKnown, ...]:
    """All that the leaflet does not say of the lamps, or that is a guess, lamp by lamp."""
    rows = [(lamp, name, False) for lamp, names in shown.unknown.items() for name in names]
    rows += [(lamp, name, True) for lamp, names in shown.guessed.items() for name in names]
    return tuple(
        NotKnown(lamp, said.what, _drawn(shown.effect, lamp, name), said.find, guess)
        for lamp, name, guess in rows
        for said in [silence_of(name, type(shown.effect.lamps[lamp].pattern))]
    )


def said_of_film(shown: Decoded) -> tuple[str, ...]:
    """What a film of the lamps has to say of itself, a line each."""
    return tuple(f"Note: {row}" for row in not_known_of(shown))


def _drawn(effect: Effect, lamp: str, name: str) -> str:
    pattern = effect.lamps[lamp].pattern
    facts = field_facts(type(pattern))
    if name == "rate_hz":
        return f"drawn at {effect.rate_of(lamp):.3g} a second"
    if name in facts:
        return f"drawn as {facts[name].text(getattr(pattern, name))}"
    return f"drawn as {percent(pattern.brightest)}" if name == "level" else "not drawn"
