"""What a decoder's output does, as a lamp of an effect."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from fxstudio.dcc.function_map import TRAVEL_OF
from fxstudio.decoder.leaflet.evaluator import Does, Lights, Permits
from fxstudio.documents.reading import changed
from fxstudio.effect.gate import MOST_KEYS_OF_STATES, Gate, Motion, Way
from fxstudio.effect.keys import ALWAYS, KEYS, sorted_keys
from fxstudio.effect.lamp import (
    BRIGHTEST_TIMES,
    MOST_KEYS,
    MOST_WAYS,
    RATE_HIGHEST_HZ,
    RATE_LOWEST_HZ,
    Lamp,
)
from fxstudio.effect.patterns import Steady

DARK_LAMP: Final[dict[str, Any]] = {
    "while_off": False,
    "travel": "both",
    "motion": "both",
    "together": (),
    "unless": (),
    "also": (),
    "dim": {},
    "rate_hz": None,
    "pattern": Steady(level=0.0),
}
"""A lamp that never lights has nothing else to see."""

_MOTION_OF: Final[dict[frozenset[str], Motion]] = {
    frozenset({"standing"}): "standing",
    frozenset({"moving"}): "moving",
    frozenset({"standing", "moving"}): "both",
}


@dataclass(frozen=True)
class SeenLamp:
    """A lamp as it is seen on an output.

    lamp : it, with its own rate left aside
    does : what the output does
    rate_hz : changes a second that are drawn; None if it does not flicker
    notes : what a lamp cannot say
    """

    lamp: Lamp
    does: Does
    rate_hz: float | None
    notes: tuple[str, ...]

    @classmethod
    def of(cls, lamp: Lamp, wished_hz: float, does: Does, title: str) -> SeenLamp:
        """`lamp` on an output that does so; `title` is what notes call it.

        A rate that is not known is drawn as it was wished, one that cannot be drawn as the
        nearest that can.
        """
        does = does.with_key(lamp.key)
        gate = gate_of(does)
        out = [key for key, level in does.dimmed.items() if not level]
        if not does.gives_light or not gate.unless_any(out).ways:
            return cls(changed(lamp, **DARK_LAMP), does, None, tuple(_why_dark(does, title)))
        notes = []
        dim = _dims(does)
        keys = sorted_keys({*gate.keys, *dim})
        if len(gate.ways) > MOST_WAYS or len(keys) > MOST_KEYS:
            first = gate.ways[0]
            notes.append(
                f"{title} is lit in more ways than can be shown; {first.words()} is shown; all: "
                f"{gate.words()}"
            )
            gate, dim = Gate((first,)), {}
        ways, dim = _as_wished(lamp, gate, dim)
        first, *others = ways
        fields: dict[str, Any] = {
            **_of_way(first),
            "also": tuple(_of_way(way) for way in others),
            "dim": dim,
            "rate_hz": None,
            "pattern": does.pattern,
        }
        rate = None
        if does.pattern.flickers:
            rate = wished_hz if does.rate_hz is None else does.rate_hz
            drawn = min(max(rate, RATE_LOWEST_HZ), RATE_HIGHEST_HZ)
            if drawn != rate:
                notes.append(f"{title} changes {rate:.3g} times a second, drawn at {drawn:g}")
                rate = drawn
        return cls(changed(lamp, **fields), does, rate, tuple(notes))


def gate_of(does: Does) -> Gate:
    """When an output is lit, in as few ways as can be found.

    Keys that only dim it are left aside, unless it is dark without them.
    """
    keys = {key for each in does.lights for key in each.keys if key != ALWAYS}
    lit = does.shines
    dims: Mapping[str, float] = {}
    if not does.level and does.gives_light:
        lit, dims = does.lit, does.dimmed
    if len(keys | dims.keys()) <= MOST_KEYS_OF_STATES:
        ways = Gate.of_states(lit, sorted_keys(keys | dims.keys())).ways
        return Gate(tuple(sorted(ways, key=_in_order)))
    unless = Way.with_keys((), keys, *_words(does.own))
    if does.own.inverted:
        gate = Gate((unless,) if _possible(does.own) else ())
    else:
        gate = Gate(tuple(dict.fromkeys(_ways(does.lights, does.own))))
    return _while_bright(gate, dims) if dims else gate


def _while_bright(gate: Gate, dims: Mapping[str, float]) -> Gate:
    """A gate, but lit only while keys are on that give light, and none that does not."""
    bright = [key for key, level in dims.items() if level]
    ways = (
        Way.with_keys({*way.on, key}, way.off, way.travel, way.motion)
        for way in gate.ways
        for key in bright
        if key not in way.off
    )
    return Gate(tuple(dict.fromkeys(ways))).unless_any(dims.keys() - set(bright))


def _in_order(way: Way) -> tuple[bool, list[int]]:
    return way.while_off, [KEYS.index(key) for key in way.keys]


def _ways(lights: tuple[Lights, ...], own: Permits) -> Iterator[Way]:
    for each in lights:
        both = Permits(
            each.conditions.directions & own.directions, each.conditions.motions & own.motions
        )
        if not _possible(both):
            continue
        travel, motion = _words(both)
        if each.conditions.inverted:
            yield Way.with_keys((), set(each.keys) - {ALWAYS}, travel, motion)
        else:
            for key in each.keys:
                yield Way(key, travel, motion)


def _possible(permits: Permits) -> bool:
    return bool(permits.directions and permits.motions)


def _words(permits: Permits) -> tuple[Any, Motion]:
    if not _possible(permits):
        return "both", "both"
    return TRAVEL_OF[permits.directions], _MOTION_OF[permits.motions]


def _as_wished(
    lamp: Lamp, gate: Gate, dim: dict[str, float]
) -> tuple[tuple[Way, ...], dict[str, float]]:
    """The ways of a gate, and how bright keys make it: as the lamp says it, if that is the same.

    A key may put a lamp out by its conditions, or by making it 0 times as bright.
    """
    out = [key for key, times in dim.items() if times == 0]
    if lamp.gate.unlike(gate.unless_any(out)) == 0:
        by_dim = {key: times for key, times in lamp.dim.items() if times == 0}
        return lamp.ways, by_dim | {key: times for key, times in dim.items() if times}
    return gate.ways, dim


def _of_way(way: Way) -> dict[str, Any]:
    names = ("key", "travel", "motion", "while_off", "together", "unless")
    return {name: getattr(way, name) for name in names}


def _dims(does: Does) -> dict[str, float]:
    """Factors by key, of those that make a difference.

    Where it is dark without any of them, the keys that give no light are in its gate.
    """
    most = min(BRIGHTEST_TIMES, 1 / does.pattern.brightest if does.pattern.brightest else 1.0)
    factors = {
        key: min(float(f"{level / does.brightest:.4g}"), most)
        for key, level in does.dimmed.items()
        if level or does.level
    }
    return {key: factor for key, factor in factors.items() if factor != 1}


def _why_dark(does: Does, title: str) -> Iterator[str]:
    """Why no key ever lights it; nothing if it gives no light by its effect or its level."""
    if not does.gives_light:
        return
    if not does.lights and not does.own.inverted:
        yield f"{title} stays dark: no key switches it"
    elif not does.ever_lit:
        yield f"{title} stays dark: its travel lets it shine in no direction"
    else:
        yield f"{title} stays dark: the keys that make it bright do not go with those that light it"
