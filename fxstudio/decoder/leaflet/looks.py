"""The effects that codes name, as patterns with what is printed of them and what is not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

import numpy as np

from fxstudio.arrays import Floats
from fxstudio.decoder.leaflet.meanings import WrongRowError
from fxstudio.decoder.leaflet.rows import DARK, EffectRow
from fxstudio.decoder.leaflet.says import UNKNOWN, Unknown
from fxstudio.documents.models import Facts, field_facts
from fxstudio.documents.reading import parse
from fxstudio.effect.patterns import KINDS, Filament, Pattern, Steady
from fxstudio.errors import InputError

FloatOrFloats = TypeVar("FloatOrFloats", float, Floats)

FULL: Final = ("highest", "level")
"""Fields that are full light where nothing is said: a level dims them."""

NOT_ASKED: Final = ("start_share",)
"""Fields that are as they are wished where nothing is said: no leaflet prints them."""


@dataclass(frozen=True)
class LookOf:
    """One effect that codes name.

    name : what the leaflet calls it
    pattern : the class of its light
    given : the fields that are printed, at full level
    unknown : the fields that are not; parts of cells may give them
    rate_hz : the rate that is printed, if one is
    dark : whether it gives no light
    silent : whether nothing is known of it
    known, within : where its figures come from, and how sure a measured one is
    """

    name: str
    pattern: type[Pattern]
    given: Mapping[str, Any] = field(default_factory=dict)
    unknown: frozenset[str] = frozenset()
    rate_hz: float | None = None
    dark: bool = False
    known: str = "leaflet"
    within: float | None = None
    silent: bool = False

    @property
    def flickers(self) -> bool:
        """Whether its light follows a rate."""
        return self.pattern.model_validate({}).flickers

    @property
    def brightest(self) -> float:
        """Its highest brightness at full level, 0..1."""
        name = next(name for name in FULL if name in field_facts(self.pattern))
        return float(self.given.get(name, 1.0))

    def in_levels(self, level: float, levels: int | None) -> float:
        """What its light is multiplied by if a decoder rounds it to so many levels; 0 if dark."""
        most = self.brightest
        if not most:
            return 0.0
        return level if levels is None else float(in_levels(most * level, levels)) / most

    @property
    def kind(self) -> str:
        """The kind of its light; "dark" if it gives none, "unknown" if that is not known."""
        if self.silent:
            return UNKNOWN
        return DARK if self.dark else str(self.pattern.model_fields["kind"].default)


BUILT_IN: Final = {
    "steady": LookOf("steady", Steady),
    DARK: LookOf(DARK, Steady, {"level": 0.0}, dark=True),
    UNKNOWN: LookOf(UNKNOWN, Steady, silent=True),
}
"""Effects that need no row."""


LEAST: Final = 0.001
"""A share that must not be none, or all, is drawn as this much of it, or as this much less."""


def looks_of(rows: Mapping[str, EffectRow]) -> dict[str, LookOf]:
    """Every effect by name, the built-in ones first; raises WrongRowError."""
    return BUILT_IN | {name: _look(name, row) for name, row in rows.items()}


def _look(name: str, row: EffectRow) -> LookOf:
    if row.kind == DARK:
        return LookOf(name, Steady, {"level": 0.0}, dark=True)
    said = row.model_fields_set - {"kind", "rate_hz", "known", "within"}
    if row.kind == UNKNOWN:
        for key in said:
            raise WrongRowError((name, key), "is given of a kind that is unknown", None, "no field")
        return LookOf(name, Steady, silent=True)
    pattern = KINDS[row.kind]
    given = {key: getattr(row, key) for key in said if getattr(row, key) not in (UNKNOWN, None)}
    facts = field_facts(pattern)
    for key in said:
        if key not in facts:
            raise WrongRowError(
                (name, key), f"is nothing that a {row.kind} has", None, ", ".join(facts)
            )
    try:
        parse(pattern, {"kind": row.kind, **given})
    except InputError as error:
        at = (name, error.field) if error.field else (name,)
        raise WrongRowError(at, error.problem, error.given, error.allowed or "") from None
    silent = frozenset(facts) - given.keys() - {"kind", *NOT_ASKED}
    unknown = silent - {key for key in FULL if key not in said}
    rate = row.rate_hz if isinstance(row.rate_hz, float | int) else None
    return LookOf(name, pattern, given, unknown, rate, False, row.known, row.within)


def light_of(
    look: LookOf,
    said: Mapping[str, Any],
    level: float,
    wish: Pattern | None = None,
    levels: int | None = None,
) -> tuple[Pattern, dict[str, Unknown]]:
    """The light of an effect with what parts of cells say of it, and what is not known of it.

    Parameters
    ----------
    look : the effect
    said : properties by name, as parts of cells say them
    level : what its light is multiplied by, 0..1
    wish : the light that was asked for: what is not known is drawn as it is there
    levels : the number of levels to which the decoder rounds its light, if that is printed

    What is not known and not asked for is drawn as the pattern's default, and a light of which
    nothing is known as a steady one. It is never taken to be dark.
    """
    if look.silent:
        shown = Steady(level=level) if wish is None or wish.is_dark else wish
        return shown, {"effect": Unknown()}
    facts = field_facts(look.pattern)
    same = isinstance(wish, look.pattern)
    fields: dict[str, Any] = dict(look.given)
    unknown: dict[str, Unknown] = {}
    said = dict(said) | _flash_shares(said)
    for name in facts:
        if name == "kind":
            continue
        value = said.get(name)
        if value is None and name in look.unknown:
            value = Unknown()
        if isinstance(value, Unknown):
            unknown[name] = value
            fields[name] = _wished(name, wish) if same else facts[name].default
        elif value is not None:
            fields[name] = _inside(value, facts[name])
        elif name in NOT_ASKED and name not in look.given and same:
            fields[name] = getattr(wish, name)
    if "highest" in facts:
        highest = fields.get("highest", 1.0)
        lowest = fields.get("lowest", 0.0)
        if "lowest" in said or "lowest" in unknown:  # they are shares of its brightest
            lowest = lowest * highest
        ends = {"highest": highest * level, "lowest": min(lowest, highest) * level}
    else:
        ends = {"level": fields.get("level", 1.0) * level}
    fields |= {name: float(in_levels(light, levels)) for name, light in ends.items()}
    return _plain(look.pattern(**fields)), unknown


def _plain(pattern: Pattern) -> Pattern:
    """A lamp that comes up and dies away at once is a steady light."""
    if isinstance(pattern, Filament) and pattern.rise_s == pattern.fall_s == 0:
        return Steady(level=pattern.level)
    return pattern


def _wished(name: str, wish: Any) -> Any:
    value = getattr(wish, name)
    if name == "lowest":
        return value / wish.highest if wish.highest else 0.0
    return value


def _flash_shares(said: Mapping[str, Any]) -> dict[str, Any]:
    """Period and bright share of a flash from the times that are said of it."""
    on, off, period = said.get("on_s"), said.get("off_s"), said.get("period_s")
    for value in (on, off):
        if isinstance(value, Unknown):
            return {"period_s": period or value, "on_share": value}
    if on is not None and off is not None:
        period = on + off
        return {"period_s": period, "on_share": on / period if period else 0.5}
    if isinstance(period, Unknown) or period is None:
        return {}
    if on is not None:
        return {"on_share": on / period if period else 1.0}
    if off is not None:
        return {"on_share": 1 - off / period if period else 0.0}
    return {}


def in_levels(light: FloatOrFloats, levels: int | None) -> FloatOrFloats:
    """Light 0..1, of any shape, as a decoder of so many levels gives it."""
    return light if levels is None else np.round(light * (levels - 1)) / (levels - 1)


def _inside(value: float, facts: Facts) -> float:
    """`value` within what can be drawn."""
    if facts.lowest is None or facts.highest is None:
        return value
    lowest = facts.lowest + LEAST * facts.above
    return min(max(value, lowest), facts.highest - LEAST * facts.below)
