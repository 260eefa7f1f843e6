"""What a person sees change at the locomotive, write by write."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.decode import Decoded, decode
from fxstudio.decoder.values.meaning import meaning
from fxstudio.effect.model import Effect, Lamp
from fxstudio.errors import InputError
from fxstudio.models import field_facts
from fxstudio.units import hz

NO_CHANGE = "no change to be seen"
NO_LIGHT = "no light changes"


class Sight:
    """Follows what is seen while CVs are written one after the other."""

    def __init__(
        self, description: Description, held: Mapping[CvAddress, int], like: Effect | None = None
    ) -> None:
        self._description, self._like = description, like
        self._held = {cv: held[cv] for cv in description.works}
        self._seen = self._look()

    def write(self, cv: CvAddress, value: int) -> str:
        """Write one CV; what changes, in words."""
        if cv not in self._held:
            return NO_LIGHT
        before = self._seen
        self._held[cv] = value
        self._seen = self._look()
        if isinstance(self._seen, str):
            return f"cannot be foretold: {self._seen}"
        if isinstance(before, str):
            return "; ".join(_all(self._seen))
        return "; ".join(_changes(before, self._seen)) or NO_CHANGE

    def _look(self) -> Decoded | str:
        """What is seen now, or why that cannot be told."""
        try:
            return decode(self._held, self._description, self._like)
        except InputError as error:
            return f"{error.field}: {error.problem}"


def understands(description: Description, cv: CvAddress, value: int) -> bool:
    """Whether the description has a meaning for all that `value` says in `cv`."""
    rate = description.rate
    if cv == rate.address:
        return rate.lowest <= value <= rate.highest
    if cv not in description.works:
        return False
    return all(
        place.get(value) in field.meanings
        for field in description.fields.values()
        for place in map(field.place, range(len(description.outputs)))
        if place.address == cv
    )


def explained(cv: CvAddress, value: int, description: Description, names: Mapping[int, str]) -> str:
    """All that `value` says in `cv`, or that the description does not know."""
    if understands(description, cv, value):
        return meaning(cv, value, description, names)
    return "a value that the description does not explain"


def lamp_words(lamp: Lamp) -> str:
    """Pattern and gate of a lamp: `steady at 35 %, on F1, both directions`."""
    if lamp.pattern.is_dark:
        return "dark"
    return f"{lamp.pattern.summary()}, {lamp.gate.words()}"


def _all(seen: Decoded) -> Iterator[str]:
    for name, lamp in seen.effect.lamps.items():
        yield f"{name}: {lamp_words(lamp)}"
    if seen.effect.flickering():
        yield f"shared rate {hz(seen.effect.rate_hz)}"
    yield from seen.notes


def _changes(before: Decoded, after: Decoded) -> Iterator[str]:
    """Each difference, lamp by lamp, then the shared rate, then what is new to note."""
    for name, lamp in after.effect.lamps.items():
        if told := ", ".join(_lamp_changes(before.effect.lamps[name], lamp)):
            yield f"{name}: {told}"
    flickering = after.effect.flickering()
    was, now = before.effect.rate_hz, after.effect.rate_hz
    if flickering and (not before.effect.flickering() or was != now):
        old = f" instead of {hz(was)}" if before.effect.flickering() else ""
        yield f"shared rate of {', '.join(flickering)}: {hz(now)}{old}"
    yield from (note for note in after.notes if note not in before.notes)
    yield from (f"no longer: {note}" for note in before.notes if note not in after.notes)


def _lamp_changes(before: Lamp, after: Lamp) -> Iterator[str]:
    if after.pattern.is_dark or before.pattern.is_dark:
        if after.pattern.is_dark != before.pattern.is_dark:
            yield lamp_words(after)
        return
    yield from after.way.changes_from(before.way)
    if type(before.pattern) is not type(after.pattern):
        yield f"{after.pattern.summary()} instead of {before.pattern.summary()}"
        return
    for field, facts in field_facts(type(after.pattern)).items():
        was, now = getattr(before.pattern, field), getattr(after.pattern, field)
        if was != now:
            yield f"{facts.words} {facts.text(now)} instead of {facts.text(was)}"
