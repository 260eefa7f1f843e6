"""Compromises: where what will be seen differs from what was asked.

They are found by comparing the effect that was asked for with the one that will be seen, so
nothing can differ in silence, whatever the decoder.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from fxstudio.colour import lightness
from fxstudio.dcc.function_map import DIRECTIONS
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.by_resistor import resistor_words
from fxstudio.documents.models import field_facts
from fxstudio.effect.dims import Dims
from fxstudio.effect.gate import DIRECTED_WORDS, MOTION_WORDS
from fxstudio.effect.keys import ALWAYS, all_of, key_words
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import Pattern, Ranged, Steady
from fxstudio.errors import InputError, several
from fxstudio.units import hz

ASSUMED_LEAST_SEEN = 1.0
"""Lightness L* that nobody sees; a smaller difference of brightness is not told."""

ASSUMED_SHARE_TOLERANCE = 0.005
"""Share of a period that nobody sees; a smaller difference is not told."""

ASSUMED_RATIO_TOLERANCE = 0.01
"""Ratio of rates and times that nobody sees; a smaller difference is not told."""


@dataclass(frozen=True)
class Change:
    """One field to set, so that what is asked is what is seen.

    lamp : name of the lamp, or None for a field of the effect itself
    field : the field's path in the lamp or the effect, such as ("pattern", "lowest")
    value : as a file holds it; a number has the three digits that are printed
    what, text : the field and the value in plain words
    """

    lamp: str | None
    field: tuple[str, ...]
    value: Any
    what: str
    text: str

    @property
    def path(self) -> tuple[str, ...]:
        """Where the field stands in the effect."""
        return self.field if self.lamp is None else ("lamps", self.lamp, *self.field)

    @property
    def in_a_file(self) -> str:
        """What to do for a person with the file at hand."""
        return f"set {self.field[-1]} = {_written(self.value)} in the effect"

    @property
    def in_words(self) -> str:
        """What to do for a person who sees no file."""
        return f"Set {self.what} to {self.text}"


def _written(value: Any) -> str:
    """A value as TOML."""
    if isinstance(value, dict):
        inner = ", ".join(f"{name} = {_written(v)}" for name, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_written, value))}]"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else f"{value:.3g}"


def _neat(value: Any) -> Any:
    """A value with the digits that are printed."""
    if isinstance(value, dict):
        return {name: _neat(v) for name, v in value.items()}
    return float(f"{value:.3g}") if isinstance(value, float) else value


@dataclass(frozen=True)
class Compromise:
    """One thing the decoder cannot do as asked.

    lamp : name of the lamp, or None if it concerns all
    what : the property: output, key, travel, pattern, shared rate ...
    asked, seen : in words
    why : why `change` is proposed or, without one, what to do
    change : what to set so that what is asked is what is seen, if one field can do it
    grave : a lamp stays dark where it shall shine, or shines though it shall be dark: nothing is
        written before a person accepts that
    """

    lamp: str | None
    what: str
    asked: str
    seen: str
    why: str
    change: Change | None = None
    grave: bool = False

    @property
    def remedy(self) -> str:
        """What to do for a person with the file at hand."""
        return f"{self.change.in_a_file}, {self.why}" if self.change else self.why

    def __str__(self) -> str:
        subject = f"{self.lamp}: {self.what}" if self.lamp else self.what
        return f"{subject}: {self.asked} asked, {self.seen} will be seen; {self.remedy}"


def differs(unit: str, asked: Any, seen: Any) -> bool:
    """Whether a person could tell two values of a field apart; see `Facts.unit`."""
    if isinstance(asked, str) or isinstance(seen, str):
        return bool(asked != seen)
    if unit == "light":
        dark = (asked == 0) != (seen == 0)
        return bool(dark or abs(lightness(asked) - lightness(seen)) > ASSUMED_LEAST_SEEN)
    if unit == "share":
        return bool(abs(asked - seen) > ASSUMED_SHARE_TOLERANCE)
    return bool(abs(asked - seen) > ASSUMED_RATIO_TOLERANCE * max(abs(asked), abs(seen)))


def compromises(asked: Effect, seen: Effect, leaflet: Leaflet) -> tuple[Compromise, ...]:
    """Everything in which `seen` differs from `asked`.

    Lamps that are dark where they shall shine, or shine where they shall be dark, come first;
    then lamp by lamp, the shared rate last.
    """
    rows: list[Compromise] = []
    taken = {lamp.output for lamp in asked.lamps.values()}
    free = (output.number for output in leaflet.outputs if output.number not in taken)
    for name, lamp in asked.lamps.items():
        if name not in seen.lamps:
            rows.append(_output(name, lamp, next(free, None), leaflet))
            continue
        if lamp.pattern.is_dark or seen.lamps[name].pattern.is_dark:
            rows += _dark(name, lamp, seen.lamps[name], leaflet)
            continue
        rows += _gates(name, lamp, seen.lamps[name], leaflet)
        rows += _several_keys(name, lamp, seen.lamps[name])
        rows += _patterns(name, lamp, seen.lamps[name].pattern, leaflet)
        rows += _own_rate(name, asked, seen, leaflet)
    rows += _rate(asked, seen, leaflet)
    return tuple(sorted(rows, key=lambda row: not row.grave))


def check_accepted(found: Iterable[Compromise], remedy: str) -> None:
    """Raise InputError for each grave compromise; `remedy` says how a person accepts them."""
    grave = [row for row in found if row.grave]
    if grave:
        raise several(
            InputError(
                f"{row.asked} asked, {row.seen} will be seen", field=f"lamps.{row.lamp}: {row.what}"
            ).advising(f"{row.remedy}; {remedy}")
            for row in grave
        )


def _dark(name: str, asked: Lamp, seen: Lamp, leaflet: Leaflet) -> Iterator[Compromise]:
    """One of the two never lights. Key and travel of a dark lamp are nothing to see."""
    if asked.pattern.is_dark and seen.pattern.is_dark:
        return
    wish, sight = (
        "no light" if lamp.pattern.is_dark else lamp.pattern.summary() for lamp in (asked, seen)
    )
    if asked.pattern.is_dark:
        remedy = f"{leaflet.title} cannot keep this output dark: put no LED on it"
    else:
        remedy = (
            f"{leaflet.title} cannot light this output so: put the lamp on another, or change "
            f"its pattern to one that it has: {', '.join(leaflet.kinds)}"
        )
    yield Compromise(name, "light", wish, sight, remedy, grave=True)


def _output(name: str, asked: Lamp, free: int | None, leaflet: Leaflet) -> Compromise:
    why = f"{leaflet.title} has {leaflet.outputs_text}"
    change = None
    if free is None:
        why += ": put the lamp on one of these"
    else:
        change = Change(name, ("output",), free, "output", str(free))
    return Compromise(name, "output", f"output {asked.output}", "nothing", why, change)


def _gates(name: str, asked: Lamp, seen: Lamp, leaflet: Leaflet) -> Iterator[Compromise]:
    reach = leaflet.keys_reaching(asked.output)
    if asked.key != seen.key:
        if len(reach) < 2:
            why = "the keys of this decoder are fixed"
        elif asked.key == ALWAYS:
            why = "this decoder needs a key for every output: leave that key on"
        else:
            why = f"one of the keys that reach output {asked.output}: {', '.join(reach)}"
        change = Change(name, ("key",), seen.key, "key", seen.key)
        yield Compromise(name, "key", key_words(asked.key), key_words(seen.key), why, change)
    if asked.travel != seen.travel:
        words = DIRECTED_WORDS[seen.travel]
        if asked.key != "F0" and _f0_reaches(leaflet, asked):
            why = "the key that can tell the directions apart on this output"
            change = Change(name, ("key",), "F0", "key", "F0")
        else:
            why = "or use another output"
            change = Change(name, ("travel",), seen.travel, "travel", words)
        grave = bool(DIRECTIONS[asked.travel] - DIRECTIONS[seen.travel])
        yield Compromise(name, "travel", DIRECTED_WORDS[asked.travel], words, why, change, grave)
    wish, sight = asked.way, seen.way
    if wish.while_off != sight.while_off:
        why = "this decoder lights an output only while its key is on"
        change = Change(name, ("while_off",), sight.while_off, "key", sight.key_words)
        yield Compromise(name, "key", wish.key_words, sight.key_words, why, change, grave=True)
    if wish.motion != sight.motion:
        words = MOTION_WORDS[sight.motion]
        why = "this decoder does not ask whether the locomotive moves"
        change = Change(name, ("motion",), sight.motion, "motion", words)
        yield Compromise(name, "motion", MOTION_WORDS[wish.motion], words, why, change)


def _f0_reaches(leaflet: Leaflet, asked: Lamp) -> bool:
    """Whether F0 can light a lamp's output in all directions in which it shall shine."""
    switches = leaflet.lit_by[asked.output]
    travels = [each.travel for each in switches if "F0" in leaflet.keys_by_switch[each.name]]
    return DIRECTIONS[asked.travel] <= {way for travel in travels for way in DIRECTIONS[travel]}


def _several_keys(name: str, asked: Lamp, seen: Lamp) -> Iterator[Compromise]:
    """Keys beside the lamp's own that make a difference to it, and further ways that light it."""
    facts = field_facts(Lamp)
    for field, words in _OF_SEVERAL_KEYS.items():
        wish, sight = (getattr(lamp, field) for lamp in (asked, seen))
        if not (_as_bright(asked, seen) if field == "dim" else wish == sight):
            grave = field != "dim" or 0 in (*asked.dim.values(), *seen.dim.values())
            value = seen.model_dump(include={field})[field]
            change = Change(name, (field,), value, facts[field].words, words(sight))
            why = "the nearest it can do" if sight else NO_SUCH_CONDITION
            yield Compromise(
                name, facts[field].words, words(wish), words(sight), why, change, grave
            )


def _as_bright(asked: Lamp, seen: Lamp) -> bool:
    """Whether nobody sees a difference while any of the keys that dim is on."""
    most = asked.pattern.brightest
    return not any(
        differs("light", most * asked.dim.get(key, 1.0), most * seen.dim.get(key, 1.0))
        for key in {*asked.dim, *seen.dim}
    )


NO_SUCH_CONDITION = "this decoder has no such condition for an output"

_OF_SEVERAL_KEYS: Mapping[str, Callable[[Any], str]] = {
    "together": lambda keys: all_of(keys) or "none",
    "unless": lambda keys: all_of(keys) or "none",
    "also": lambda ways: ", or ".join(each.way.words() for each in ways) or "none",
    "dim": lambda times: ", ".join(Dims(times).words()) or "as bright with any key",
}
"""Fields of a lamp with several keys, and how their values are told."""


def _own_rate(name: str, asked: Effect, seen: Effect, leaflet: Leaflet) -> Iterator[Compromise]:
    """A lamp that flickers at a rate of its own, asked or seen."""
    facts = field_facts(Lamp)["rate_hz"]
    wish, sight = asked.rate_of(name), seen.rate_of(name)
    flickers = asked.lamps[name].pattern.flickers and seen.lamps[name].pattern.flickers
    own = (asked.lamps[name].rate_hz, seen.lamps[name].rate_hz) != (None, None)
    if not (own and flickers and differs(facts.unit, wish, sight)):
        return
    text = facts.text(sight)
    change = Change(name, ("rate_hz",), _neat(sight), facts.words, text)
    why = "this decoder has one rate for all lamps that flicker"
    if asked.lamps[name].rate_hz is None or len({seen.rate_of(each) for each in seen.lamps}) > 1:
        why = _rates_words(leaflet, [asked.lamps[name].output])
    yield Compromise(name, facts.words, facts.text(wish), text, why, change)


def _rates_words(leaflet: Leaflet, outputs: Iterable[int]) -> str:
    """Between which rates the nearest was chosen."""
    ends = [rates for number in outputs if (rates := leaflet.rates(number))]
    if not ends or min(ends)[0] == max(ends)[1]:
        return "the only one it has"
    low, high = min(end[0] for end in ends), max(end[1] for end in ends)
    return f"the nearest it can do between {hz(low)} and {hz(high)}"


def _still(pattern: Pattern) -> Steady | None:
    """A light that never changes while it is lit as a steady one; None for any other."""
    if isinstance(pattern, Ranged) and pattern.lowest == pattern.highest:
        return Steady(level=pattern.highest)
    return pattern if isinstance(pattern, Steady) else None


def _patterns(name: str, lamp: Lamp, seen: Pattern, leaflet: Leaflet) -> Iterator[Compromise]:
    asked = lamp.pattern
    if (wish := _still(asked)) and (sight := _still(seen)):
        asked, seen = wish, sight
    goes_out = seen.is_dark_standing and not asked.is_dark_standing
    fields = _neat({"kind": seen.kind} | seen.model_dump())
    whole = Change(name, ("pattern",), fields, "pattern", seen.summary())
    if type(asked) is not type(seen):
        kinds = leaflet.kinds
        lacks = f"has no {asked.kind}; it has {', '.join(kinds)}"
        if asked.kind in kinds:
            lacks = f"has {asked.kind} too, but none that is nearer to what is asked"
        why = f"{leaflet.title} {lacks}"
        yield Compromise(name, "pattern", asked.summary(), seen.summary(), why, whole, goes_out)
        return
    told = [
        facts
        for field, facts in field_facts(type(asked)).items()
        if differs(facts.unit, getattr(asked, field), getattr(seen, field))
    ]
    for facts in told:
        wish, sight = getattr(asked, facts.name), getattr(seen, facts.name)
        words = facts.text(sight)
        # With one of several set, another code may be nearer: then all go together.
        alone = Change(name, ("pattern", facts.name), _neat(sight), facts.words, words)
        yield Compromise(
            name,
            facts.words,
            facts.text(wish),
            words,
            _nearest_words(lamp, facts.name, wish, sight),
            alone if len(told) == 1 else whole,
            goes_out and facts.name == "lowest",
        )


def _nearest_words(lamp: Lamp, field: str, wish: Any, sight: Any) -> str:
    """That it is the nearest, and the resistor that dims a lamp that is too bright."""
    resistor = None
    if field in ("level", "highest") and wish < sight:
        resistor = resistor_words(lamp, wish / sight)
    return ", ".join(filter(None, ("the nearest it can do", resistor)))


def _rate(asked: Effect, seen: Effect, leaflet: Leaflet) -> Iterator[Compromise]:
    facts = field_facts(Effect)["rate_hz"]
    both = (asked.lamps[name] for name in seen.flickering() if name in asked.flickering())
    follow = any(lamp.rate_hz is None for lamp in both)
    if follow and differs(facts.unit, asked.rate_hz, seen.rate_hz):
        why = _rates_words(leaflet, [lamp.output for lamp in seen.lamps.values()])
        words = facts.text(seen.rate_hz)
        change = Change(None, ("rate_hz",), _neat(seen.rate_hz), facts.words, words)
        yield Compromise(None, facts.words, facts.text(asked.rate_hz), words, why, change)
