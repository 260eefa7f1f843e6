"""What is allowed in an effect but will disappoint at the layout."""

from __future__ import annotations

from dataclasses import dataclass

from fxstudio.effect.drive import Drive
from fxstudio.effect.keys import sorted_keys
from fxstudio.effect.model import Effect


@dataclass(frozen=True)
class Advice:
    """One hint: the lamps concerned, what will be seen and what to do."""

    lamps: tuple[str, ...]
    seen: str
    remedy: str

    def __str__(self) -> str:
        return f"{' and '.join(self.lamps)}: {self.seen}; {self.remedy}"


def advise(effect: Effect) -> list[Advice]:
    """Hints for an effect, the weightiest first."""
    return [*_flickers_together(effect), *_never_lit(effect), *painted_lamps(effect)]


def painted_lamps(effect: Effect) -> list[Advice]:
    """Lamps whose light was painted onto a photograph, for nobody knows how it really looks."""
    names = tuple(name for name in effect.lamps if effect.place(name) in effect.setting.painted)
    if not names:
        return []
    seen = "painted, no photograph shows how it looks"
    return [Advice(names, seen, "photograph the lamp to see it as it is")]


def idle_keys(effect: Effect, drive: Drive) -> list[str]:
    """A hint if a drive presses keys that switch none of the lamps."""
    pressed = {key for step in drive.steps for key in step.keys or ()}
    idle = sorted_keys(pressed.difference(effect.keys))
    if not idle:
        return []
    switching = ", ".join(effect.keys) or "none"
    return [f"no lamp is on {', '.join(idle)}; keys that switch lamps: {switching}"]


def _flickers_together(effect: Effect) -> list[Advice]:
    """Two flickers at one rate look wrong. Common practice: let one of them stay steady."""
    names = [
        name
        for name in effect.flickering()
        if any(
            effect.lamps[name].gate.meets(effect.lamps[other].gate)
            for other in effect.flickering()
            if other != name
        )
    ]
    if not names:
        return []
    return [
        Advice(
            tuple(names),
            "flicker at the one shared rate and look like a lamp with a loose wire",
            "let one of them stay steady",
        )
    ]


def without_keys(effect: Effect, drive: Drive) -> tuple[str, ...]:
    """The lamps whose keys are never on in a drive."""
    pressed = [frozenset(step.keys or ()) for step in drive.steps]
    return tuple(
        name
        for name, lamp in effect.lamps.items()
        if all(way.on and not any(keys.issuperset(way.on) for keys in pressed) for way in lamp.ways)
    )


def _never_lit(effect: Effect) -> list[Advice]:
    """Lamps whose key is never on in the effect's own drive."""
    dark = without_keys(effect, effect.drive) if effect.drive else ()
    if not dark:
        return []
    return [Advice(dark, "stay dark in its own drive", "add their keys to a step of the drive")]
