"""Compromises: where what will be seen differs from what was asked.

They are found by comparing the effect that was asked for with the one that will be seen, so
nothing can differ in silence, whatever the decoder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from fxstudio.dcc.function_map import keys_reaching
from fxstudio.decoder.description.model import Description
from fxstudio.effect.keys import ALWAYS, key_words
from fxstudio.effect.model import Effect, Lamp, Pattern
from fxstudio.units import hz, percent, seconds

ASSUMED_LIGHT_TOLERANCE = 0.005
"""Share of full brightness that nobody sees; a smaller difference is not told."""

ASSUMED_RATIO_TOLERANCE = 0.01
"""Ratio of rates and times that nobody sees; a smaller difference is not told."""


@dataclass(frozen=True)
class Compromise:
    """One thing the decoder cannot do as asked.

    lamp : name of the lamp, or None if it concerns all
    what : the property: output, key, travel, pattern, shared rate ...
    asked, seen : in words
    remedy : what to change so that what is asked is what is seen
    """

    lamp: str | None
    what: str
    asked: str
    seen: str
    remedy: str

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
        writer = {"share": percent, "s": seconds}.get(self.unit)
        return writer(value) if writer else f"{value:.3g} {self.unit}".strip()

    def differs(self, asked: object, seen: object) -> bool:
        """Whether a person could tell the two apart."""
        if isinstance(asked, str) or isinstance(seen, str):
            return asked != seen
        if self.unit == "share":
            return abs(asked - seen) > ASSUMED_LIGHT_TOLERANCE
        return abs(asked - seen) > ASSUMED_RATIO_TOLERANCE * max(abs(asked), abs(seen))


PATTERN_FIELDS: Final = {
    "style": PatternField("flicker style"),
    "level": PatternField("brightness", "share"),
    "lowest": PatternField("lowest brightness", "share"),
    "highest": PatternField("highest brightness", "share"),
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
    """Everything in which `seen` differs from `asked`, lamp by lamp, the shared rate last."""
    rows: list[Compromise] = []
    for name, lamp in asked.lamps.items():
        if name not in seen.lamps:
            rows.append(
                Compromise(
                    name,
                    "output",
                    f"output {lamp.output}",
                    "nothing",
                    f"{description.title} has {description.outputs_text}: put the lamp on one "
                    "of these",
                )
            )
            continue
        rows += _gates(name, lamp, seen.lamps[name], description)
        rows += _patterns(name, lamp.pattern, seen.lamps[name].pattern, description)
    rows += _rate(asked, seen, description)
    return tuple(rows)


def _gates(name: str, asked: Lamp, seen: Lamp, description: Description) -> Iterator[Compromise]:
    reach = keys_reaching(description.map_rows, asked.output)
    if asked.key != seen.key:
        if not description.map_rows:
            remedy = f"the keys of this decoder are fixed: set key = {seen.key!r}".replace("'", '"')
        elif asked.key == ALWAYS:
            remedy = "this decoder needs a key for every output: leave the key on"
        else:
            remedy = f"keys that reach output {asked.output}: {', '.join(reach)}"
        yield Compromise(name, "key", key_words(asked.key), key_words(seen.key), remedy)
    if asked.travel != seen.travel:
        if "F0" in reach and asked.key != "F0":
            remedy = "key F0 can tell the directions apart on this output"
        else:
            remedy = f'set travel = "{seen.travel}" in the effect, or use another output'
        yield Compromise(
            name, "travel", TRAVEL_WORDS[asked.travel], TRAVEL_WORDS[seen.travel], remedy
        )


def _patterns(
    name: str, asked: Pattern, seen: Pattern, description: Description
) -> Iterator[Compromise]:
    if type(asked) is not type(seen):
        kinds = dict.fromkeys(row.pattern.kind for row in description.effect.codes)
        yield Compromise(
            name,
            "pattern",
            asked.summary(),
            seen.summary(),
            f"{description.title} has no {asked.kind}; it has {', '.join(kinds)}",
        )
        return
    for field in type(asked).model_fields:
        row = PATTERN_FIELDS.get(field, PatternField(field))
        wish, sight = getattr(asked, field), getattr(seen, field)
        if row.differs(wish, sight):
            written = f'"{sight}"' if isinstance(sight, str) else f"{sight:.3g}"
            yield Compromise(
                name,
                row.words,
                row.text(wish),
                row.text(sight),
                f"set {field} = {written} in the effect, the nearest it can do",
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
            f"set rate_hz = {seen.rate_hz:.3g} in the effect, {why}",
        )
