"""What a person sees change at the locomotive, write by write."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.meaning import UNEXPLAINED, meaning
from fxstudio.decoder.writing.look import Lamps, Look, with_values
from fxstudio.documents.models import field_facts
from fxstudio.effect.model import Effect, Lamp
from fxstudio.light.likeness import ALWAYS_AS_BRIGHT
from fxstudio.units import hz

NO_CHANGE = "no change to be seen"
NO_LIGHT = "no light changes"


class Sight:
    """Follows what is seen while CVs are written one after the other."""

    def __init__(
        self, leaflet: Leaflet, held: Mapping[CvAddress, int], like: Effect | None = None
    ) -> None:
        self._lamps = Lamps.of(leaflet, like)
        self._held = {cv: held[cv] for cv in leaflet.cells if cv in held}
        self._known = leaflet.cells.keys()
        self._looks = {name: self._lamps.look(name, self._held) for name in self._lamps.names}

    def write(self, cv: CvAddress, value: int | None) -> str:
        """Write one CV, None for a value that nobody knows yet; what changes, in words."""
        if cv not in self._known:
            return NO_LIGHT
        before = self._looks
        self._held = with_values(self._held, {cv: value})
        touched = [name for name in before if cv in self._lamps.concerned(name)]
        now = {name: self._lamps.look(name, self._held) for name in touched}
        self._looks = {**before, **now}
        told = [
            f"{name}: {words}"
            for name in touched
            if (words := ", ".join(_lamp_changes(before[name], now[name])))
        ]
        told += _rate_changes(before, self._looks)
        for name in touched:
            told += _note_changes(before[name], now[name])
        return "; ".join(told) or NO_CHANGE


def explained(cv: CvAddress, value: int, leaflet: Leaflet, names: Mapping[int, str]) -> str:
    """All that `value` says in `cv`, or that the leaflet does not know the CV or the value."""
    return meaning(cv, value, leaflet, names) if cv in leaflet.cells else UNEXPLAINED


def lamp_words(lamp: Lamp) -> str:
    """Pattern and gate of a lamp: `steady at 35 %, on F1, both directions`."""
    if lamp.pattern.is_dark:
        return "dark"
    return ", ".join((lamp.pattern.summary(), lamp.gate.words(), *lamp.dims.words()))


def _lamp_changes(was: Look, now: Look) -> Iterator[str]:
    """What changes of one lamp, its notes left aside."""
    if now.lamp is None and now.unknown != was.unknown:
        yield f"cannot be foretold: {now.unknown}"
    elif now.lamp is None:
        return
    elif was.lamp is None:
        yield lamp_words(now.lamp)
    elif was.is_dark or now.is_dark:
        if was.is_dark != now.is_dark:
            yield lamp_words(now.lamp)
    elif not was.same_as(now):
        yield from _differences(was.lamp, now.lamp)


def _differences(before: Lamp, after: Lamp) -> Iterator[str]:
    yield from after.gate.changes_from(before.gate)
    if before.dims != after.dims:
        told = [", ".join(lamp.dims.words()) or ALWAYS_AS_BRIGHT for lamp in (after, before)]
        yield " instead of ".join(told)
    if type(before.pattern) is not type(after.pattern):
        yield f"{after.pattern.summary()} instead of {before.pattern.summary()}"
        return
    for field, facts in field_facts(type(after.pattern)).items():
        was, now = getattr(before.pattern, field), getattr(after.pattern, field)
        if was != now:
            yield f"{facts.words} {facts.text(now)} instead of {facts.text(was)}"


def _rate_changes(before: Mapping[str, Look], after: Mapping[str, Look]) -> Iterator[str]:
    """Rates that are seen for the first time or have changed, lamps with one change together."""
    rates = {name: look.rate_hz for name, look in after.items() if look.rate_hz}
    changes: dict[tuple[float | None, float], list[str]] = {}
    for name, now in rates.items():
        was = before[name].rate_hz or _common([look.rate_hz for look in before.values()])
        if was != now:
            changes.setdefault((was, now), []).append(name)
    for (was, now), names in changes.items():
        old = f" instead of {hz(was)}" if was else ""
        shared = "shared " if len(names) == len(rates) else ""
        yield f"{shared}rate of {', '.join(names)}: {hz(now)}{old}"


def _common(rates: Iterable[float | None]) -> float | None:
    """The one rate that all have that have any."""
    found = {rate for rate in rates if rate}
    return found.pop() if len(found) == 1 else None


def _note_changes(was: Look, now: Look) -> Iterator[str]:
    """What is new to note of a lamp, and what no longer holds of one that shines on.

    Of a lamp that is dark before and after nothing is seen, so nothing is noted.
    """
    if now.lamp is None or (was.is_dark and now.is_dark):
        return
    told_before = "" if was.lamp is None or was.is_dark else was.note
    if now.note and now.note != told_before:
        yield now.note
    elif told_before and not now.note and not now.is_dark:
        yield f"no longer: {told_before.partition(';')[0]}"
