"""Compromises: where what will be seen differs from what was asked.

They are found by comparing the effect that was asked for with the one that will be seen, so
nothing can differ in silence, whatever the decoder.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from fxstudio.colour import lightness
from fxstudio.dcc.function_map import DIRECTIONS, keys_reaching
from fxstudio.decoder.description.model import Description
from fxstudio.effect.keys import ALWAYS, key_words
from fxstudio.effect.model import Effect, Lamp, Pattern
from fxstudio.errors import InputError, several
from fxstudio.units import hz, percent, seconds

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
        return "{ " + ", ".join(f"{name} = {_written(v)}" for name, v in value.items()) + " }"
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


@dataclass(frozen=True)
class PatternField:
    """How a pattern's field is called and written, and from which difference on it is told."""

    words: str
    unit: str = ""

    def text(self, value: object) -> str:
        """The value as people read it."""
        if isinstance(value, str):
            return value
        writer = {"light": percent, "share": percent, "s": seconds}.get(self.unit)
        return writer(value) if writer else f"{value:.3g} {self.unit}".strip()

    def differs(self, asked: object, seen: object) -> bool:
        """Whether a person could tell the two apart."""
        if isinstance(asked, str) or isinstance(seen, str):
            return asked != seen
        if self.unit == "light":
            dark = (asked == 0) != (seen == 0)
            return dark or abs(lightness(asked) - lightness(seen)) > ASSUMED_LEAST_SEEN
        if self.unit == "share":
            return abs(asked - seen) > ASSUMED_SHARE_TOLERANCE
        return abs(asked - seen) > ASSUMED_RATIO_TOLERANCE * max(abs(asked), abs(seen))


PATTERN_FIELDS: Final = {
    "style": PatternField("flicker style"),
    "level": PatternField("brightness", "light"),
    "lowest": PatternField("lowest brightness", "light"),
    "highest": PatternField("highest brightness", "light"),
    "period_s": PatternField("time from flash to flash", "s"),
    "on_share": PatternField("bright share of a flash", "share"),
    "start_share": PatternField("start of the flash", "share"),
    "wheel_m": PatternField("driving-wheel diameter", "m"),
    "beats_per_turn": PatternField("beats in one turn of the wheels"),
    "rise_s": PatternField("time to come up", "s"),
    "fall_s": PatternField("time to die away", "s"),
}
"""A field that is not in this table goes by its own name."""

TRAVEL_WORDS: Final = {
    "forward": "forward only",
    "reverse": "reverse only",
    "both": "both directions",
}


def compromises(asked: Effect, seen: Effect, description: Description) -> tuple[Compromise, ...]:
    """Everything in which `seen` differs from `asked`.

    Lamps that are dark where they shall shine, or shine where they shall be dark, come first;
    then lamp by lamp, the shared rate last.
    """
    rows: list[Compromise] = []
    taken = {lamp.output for lamp in asked.lamps.values()}
    free = (output.number for output in description.outputs if output.number not in taken)
    for name, lamp in asked.lamps.items():
        if name not in seen.lamps:
            rows.append(_output(name, lamp, next(free, None), description))
            continue
        if lamp.pattern.is_dark or seen.lamps[name].pattern.is_dark:
            rows += _dark(name, lamp, seen.lamps[name], description)
            continue
        rows += _gates(name, lamp, seen.lamps[name], description)
        rows += _patterns(name, lamp.pattern, seen.lamps[name].pattern, description)
    rows += _rate(asked, seen, description)
    return tuple(sorted(rows, key=lambda row: not row.grave))


def check_accepted(found: Iterable[Compromise], remedy: str) -> None:
    """Raise InputError for each grave compromise; `remedy` says how a person accepts them."""
    grave = [row for row in found if row.grave]
    if grave:
        raise several(
            InputError(
                f"{row.asked} asked, {row.seen} will be seen",
                field=f"lamps.{row.lamp}: {row.what}",
                remedy=f"{row.remedy}; {remedy}",
            )
            for row in grave
        )


def _dark(name: str, asked: Lamp, seen: Lamp, description: Description) -> Iterator[Compromise]:
    """One of the two never lights. Key and travel of a dark lamp are nothing to see."""
    if asked.pattern.is_dark and seen.pattern.is_dark:
        return
    words = [
        "no light" if lamp.pattern.is_dark else lamp.pattern.summary() for lamp in (asked, seen)
    ]
    if asked.pattern.is_dark:
        remedy = f"{description.title} cannot keep this output dark: put no LED on it"
    else:
        remedy = (
            f"{description.title} cannot light this output so: put the lamp on another, or change "
            f"its pattern to one that it has: {', '.join(description.effect.kinds)}"
        )
    yield Compromise(name, "light", *words, remedy, grave=True)


def _output(name: str, asked: Lamp, free: int | None, description: Description) -> Compromise:
    why = f"{description.title} has {description.outputs_text}"
    change = None
    if free is None:
        why += ": put the lamp on one of these"
    else:
        change = Change(name, ("output",), free, "output", str(free))
    return Compromise(name, "output", f"output {asked.output}", "nothing", why, change)


def _gates(name: str, asked: Lamp, seen: Lamp, description: Description) -> Iterator[Compromise]:
    reach = keys_reaching(description.map_rows, asked.output)
    if asked.key != seen.key:
        if not description.map_rows:
            why = "the keys of this decoder are fixed"
        elif asked.key == ALWAYS:
            why = "this decoder needs a key for every output: leave that key on"
        else:
            why = f"one of the keys that reach output {asked.output}: {', '.join(reach)}"
        change = Change(name, ("key",), seen.key, "key", seen.key)
        yield Compromise(name, "key", key_words(asked.key), key_words(seen.key), why, change)
    if asked.travel != seen.travel:
        words = TRAVEL_WORDS[seen.travel]
        if "F0" in reach and asked.key != "F0":
            why = "the key that can tell the directions apart on this output"
            change = Change(name, ("key",), "F0", "key", "F0")
        else:
            why = "or use another output"
            change = Change(name, ("travel",), seen.travel, "travel", words)
        grave = bool(DIRECTIONS[asked.travel] - DIRECTIONS[seen.travel])
        yield Compromise(name, "travel", TRAVEL_WORDS[asked.travel], words, why, change, grave)


def _patterns(
    name: str, asked: Pattern, seen: Pattern, description: Description
) -> Iterator[Compromise]:
    goes_out = seen.is_dark_standing and not asked.is_dark_standing
    if type(asked) is not type(seen):
        kinds = description.effect.kinds
        lacks = f"has no {asked.kind}; it has {', '.join(kinds)}"
        if asked.kind in kinds:
            lacks = f"has {asked.kind} too, but none that is nearer to what is asked"
        fields = _neat({"kind": seen.kind} | seen.model_dump())
        yield Compromise(
            name,
            "pattern",
            asked.summary(),
            seen.summary(),
            f"{description.title} {lacks}",
            Change(name, ("pattern",), fields, "pattern", seen.summary()),
            goes_out,
        )
        return
    for field in type(asked).model_fields:
        row = PATTERN_FIELDS.get(field, PatternField(field))
        wish, sight = getattr(asked, field), getattr(seen, field)
        if row.differs(wish, sight):
            words = row.text(sight)
            yield Compromise(
                name,
                row.words,
                row.text(wish),
                words,
                "the nearest it can do",
                Change(name, ("pattern", field), _neat(sight), row.words, words),
                goes_out and field == "lowest",
            )


def _rate(asked: Effect, seen: Effect, description: Description) -> Iterator[Compromise]:
    if seen.flickering() and PatternField("", "Hz").differs(asked.rate_hz, seen.rate_hz):
        why = "the only one it has"
        if curve := description.rate.curve:
            low, high = sorted((curve[0].hz, curve[-1].hz))
            why = f"the nearest it can do between {hz(low)} and {hz(high)}"
        yield Compromise(
            None,
            "shared rate",
            hz(asked.rate_hz),
            hz(seen.rate_hz),
            why,
            Change(None, ("rate_hz",), _neat(seen.rate_hz), "shared rate", hz(seen.rate_hz)),
        )
