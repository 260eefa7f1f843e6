"""Find the effect nearest to one that flashes too much which does not.

Flicker is made shallower, slower or smoother, or two of these together, each only as far as it
must be. Of what passes, the effect that looks most like the first is taken, as `likeness`
measures it on the light, and judged once more exactly as it will be filmed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from fxstudio.effect.drive import Drive
from fxstudio.effect.model import RATE_LOWEST_HZ, Effect
from fxstudio.effect.patterns import Beat, Flash, Flicker, Pattern, Ranged
from fxstudio.errors import InputError
from fxstudio.film.making import judge_film
from fxstudio.film.screening import quick_verdict
from fxstudio.film.take import Shot
from fxstudio.flashes.verdict import Verdict
from fxstudio.light.likeness import Likeness, compare
from fxstudio.progress import Progress

HALVINGS = 4
"""How finely a way is searched: in steps of 1/16 of all it can do."""

COARSER = 2
"""Points lie so many times farther apart while searching: areas matter then, not edges."""

LONGEST_PERIOD, LONGEST_FALL_S = 4.0, 1.0
"""Slowest that is tried: flashes at a quarter of their pace, beats that take a second to fade."""

Way = Callable[[Effect, float], Effect]


@dataclass(frozen=True)
class Calmed:
    """A calmer effect.

    effect : the effect that passes
    changes : what was changed, each in words; empty if nothing had to be
    likeness : how different it looks
    verdict : its flash verdict, as it will be filmed
    """

    effect: Effect
    changes: tuple[str, ...]
    likeness: Likeness
    verdict: Verdict


def calm(
    effect: Effect,
    drive: Drive | None = None,
    shot: Shot | None = None,
    progress: Progress | None = None,
    verdict: Verdict | None = None,
) -> Calmed:
    """The nearest effect that passes when filmed, or `effect` itself if it does.

    `verdict` is that on `effect` where it is known. Raises InputError if none passes.
    """
    drive, shot = drive or effect.shown_by, shot or Shot()
    verdict = verdict or judge_film(effect, drive, shot)
    if verdict.passes:
        return Calmed(effect, (), compare(effect, effect), verdict)
    wide = replace(shot.viewing, every_px=COARSER * shot.viewing.every_px)
    coarse = replace(shot, viewing=wide)
    ways = list(_ways(effect))
    most, tries = len(ways) * (HALVINGS + 1), 0
    progress = progress or Progress()
    # The last look takes about as long as all the tries.
    trying, looking = progress.part(0, 0.5), progress.part(0.5, 1)

    def passes(candidate: Effect) -> bool:
        nonlocal tries
        tries += 1
        trying.step(tries, most)
        return quick_verdict(candidate, drive, coarse).passes

    found = []
    for way in ways:
        share = _least(lambda share, way=way: passes(way(effect, share)))
        if share is not None:
            found.append((compare(effect, way(effect, share)).lost, share, way))
    for _, share, way in sorted(found, key=lambda entry: entry[0]):
        # The quick look chooses its colours from fewer pixels, so it may be off by a step.
        for further in _steps_from(share):
            candidate = way(effect, further)
            verdict = judge_film(candidate, drive, shot, looking)
            if verdict.passes:
                changes = tuple(_changes(effect, candidate))
                return Calmed(candidate, changes, compare(effect, candidate), verdict)
    raise InputError(
        "no calmer version of it passes",
        given=effect.title,
        remedy="its keys may go on and off too quickly in the drive, or the picture is too large: "
        "slow the drive down, or film it smaller",
    )


def _least(passes: Callable[[float], bool]) -> float | None:
    """The least share 0..1 that passes, to the nearest step; None if even 1 does not."""
    if not passes(1.0):
        return None
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def _steps_from(share: float) -> Iterable[float]:
    """A share and a few steps on, and all there is as the last: each once."""
    step = 2.0**-HALVINGS
    return dict.fromkeys([*(min(1.0, share + number * step) for number in range(4)), 1.0])


def _ways(effect: Effect) -> Iterator[Way]:
    """Everything that is tried: each takes a share 0..1 of all it can do."""
    plain = (_shallower, _slower, lambda e, share: _slower(_shallower(e, share), share))
    yield from plain
    if smoother(effect) != effect:
        for way in plain:
            yield lambda e, share, way=way: way(smoother(e), share)


def _each_pattern(effect: Effect, change: Callable[[Pattern], dict[str, object]]) -> Effect:
    lamps = {
        name: lamp.model_copy(
            update={"pattern": lamp.pattern.model_copy(update=change(lamp.pattern))}
        )
        for name, lamp in effect.lamps.items()
    }
    return effect.model_copy(update={"lamps": lamps})


def _shallower(effect: Effect, share: float) -> Effect:
    """Every moving lamp nearer to the middle of its range; at 1 it stands still."""

    def change(pattern: Pattern) -> dict[str, object]:
        if not isinstance(pattern, Ranged):
            return {}
        middle = (pattern.lowest + pattern.highest) / 2
        half = (pattern.highest - pattern.lowest) / 2 * (1 - share)
        return {"lowest": round(middle - half, 3), "highest": round(middle + half, 3)}

    return _each_pattern(effect, change)


def _slower(effect: Effect, share: float) -> Effect:
    """The shared rate and the pace of flashes down, the fading of beats longer."""

    def change(pattern: Pattern) -> dict[str, object]:
        if isinstance(pattern, Flash):
            longest = min(60.0, pattern.period_s * LONGEST_PERIOD)
            return {"period_s": _toward(pattern.period_s, longest, share)}
        if isinstance(pattern, Beat):
            return {"fall_s": _toward(pattern.fall_s, max(pattern.fall_s, LONGEST_FALL_S), share)}
        return {}

    calmer = _each_pattern(effect, change)
    if not effect.flickering():
        return calmer
    return calmer.model_copy(update={"rate_hz": _toward(effect.rate_hz, RATE_LOWEST_HZ, share)})


def smoother(effect: Effect) -> Effect:
    """Flicker that jumps made to drift."""
    return _each_pattern(
        effect, lambda pattern: {"style": "smooth"} if isinstance(pattern, Flicker) else {}
    )


def _toward(value: float, end: float, share: float) -> float:
    """From `value` to `end` in even ratios, three digits."""
    return float(f"{value * (end / value) ** share:.3g}")


def _changes(before: Effect, after: Effect) -> Iterator[str]:
    """What was changed, field by field."""
    if after.rate_hz != before.rate_hz:
        yield f"rate_hz {before.rate_hz:g} to {after.rate_hz:g}"
    for name, lamp in before.lamps.items():
        new = after.lamps[name].pattern
        for field in type(lamp.pattern).model_fields:
            old_value, new_value = getattr(lamp.pattern, field), getattr(new, field)
            if old_value != new_value:
                yield f"{name}: {field} {_text(old_value)} to {_text(new_value)}"


def _text(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
