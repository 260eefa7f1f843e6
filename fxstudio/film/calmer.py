"""Find the effect nearest to one that flashes too much which does not.

Flicker is made shallower, slower or smoother, or several of these together, each only as far as
it must be: to the last digit that is written. Of what passes, the effect that looks most like the
first is taken, as `likeness` reckons it; a quick look at the light finds it, and the film itself
is judged, both of it and of what is one digit nearer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from heapq import heapify, heappop, heappush
from itertools import count

from fxstudio.documents.reading import changed
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import RATE_LOWEST_HZ, Effect
from fxstudio.effect.patterns import Pattern, toward
from fxstudio.errors import InputError
from fxstudio.film.captions.caption import Caption
from fxstudio.film.formats import FilmFormat
from fxstudio.film.making import GIF, judge_film
from fxstudio.film.screening import quick_verdict
from fxstudio.film.take import Shot, Take
from fxstudio.flashes.verdict import Verdict
from fxstudio.light.likeness import Likeness, compare
from fxstudio.progress import Progress

FINEST = 2.0**-13
"""Share of a way that changes no figure by more than its last digit: three digits of the rate, from
its highest to its lowest, are steps of about twice this."""

ABOUT_LOOKS, LOOKS_A_FILM = 100, 10
"""Quick looks that a search takes as long as, more or less, and a film: for its progress."""

Way = Callable[[Effect, float], Effect]

_Row = tuple[float, bool, int, Way, float, float, float | None]
"""Bound of what is lost, whether it is not yet found, a number, a way, its range, what is found."""


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
    caption: Caption | None = None,
    kind: FilmFormat = GIF,
) -> Calmed:
    """The nearest effect that passes when filmed, or `effect` itself if it does.

    One that is nearer by the last digit of each figure that was changed does not pass.
    `verdict` is that on `effect` where it is known. The verdicts are those on films of this kind
    with this caption. Raises InputError if none passes.
    """
    drive, shot = drive or effect.shown_by, shot or Shot()
    judged = partial(judge_film, drive=drive, shot=shot, caption=caption, kind=kind)
    verdict = verdict or judged(effect)
    if verdict.passes:
        return Calmed(effect, (), compare(effect, effect), verdict)
    take = Take(effect, drive, shot, caption=caption)
    looked_at = replace(shot, height=shot.height - (take.strip.height if take.strip else 0))
    looks = partial(quick_verdict, drive=drive, shot=looked_at)
    found = _nearest(effect, _Trial(effect, looks, judged, verdict, progress or Progress()))
    if found:
        return found
    raise InputError("no calmer version of it passes", given=effect.title).advising(
        "its keys may go on and off too quickly in the drive, or the picture is too large: "
        "slow the drive down, or film it smaller"
    )


class _Trial:
    """Verdicts on versions of an effect, each sought once: two with the same figures are one."""

    def __init__(
        self,
        effect: Effect,
        looked: Callable[[Effect], Verdict],
        judged: Callable[..., Verdict],
        verdict: Verdict,
        progress: Progress,
    ) -> None:
        """Each version is `looked` at quickly, or `judged` as a film, which tells its progress."""
        self.effect, self.progress = effect, progress
        self._looked, self._judged = looked, judged
        self.looks: dict[tuple[str, ...], bool] = {(): False}
        self.films: dict[tuple[str, ...], Verdict] = {(): verdict}

    def passes_look(self, candidate: Effect) -> bool:
        """Whether it passes by a few points of its light."""
        changes = tuple(what_changed(self.effect, candidate))
        if changes not in self.looks:
            self.looks[changes] = self._looked(candidate).passes
            self._told()
        return self.looks[changes]

    def passes(self, candidate: Effect) -> bool:
        """Whether its film passes."""
        return self.verdict(candidate).passes

    def verdict(self, candidate: Effect) -> Verdict:
        """That on its film."""
        changes = tuple(what_changed(self.effect, candidate))
        if changes not in self.films:
            self.films[changes] = self._judged(candidate, progress=Progress(self._told))
        return self.films[changes]

    def _told(self, filmed: float = 0.0) -> None:
        """Tell how much is done, with a share of the film under way; never that all is."""
        done = len(self.looks) + LOOKS_A_FILM * (len(self.films) - 1 + filmed)
        self.progress.step(min(done, ABOUT_LOOKS - 1), ABOUT_LOOKS)

    def calmed(self, candidate: Effect) -> Calmed:
        """The end of the search."""
        verdict = self.verdict(candidate)
        self.progress.step(ABOUT_LOOKS, ABOUT_LOOKS)
        changes = tuple(what_changed(self.effect, candidate))
        return Calmed(candidate, changes, compare(self.effect, candidate), verdict)


def _nearest(effect: Effect, trial: _Trial) -> Calmed | None:
    """What passes on the way on which least is lost.

    Each way is a range of shares: the lower end does not pass, the upper one does, by the quick
    look. As more is lost the farther one goes, the lower end bounds what the way can lose; so
    the range with the least bound is halved next, until it is closed and its film is judged.
    """
    number = count()

    def row(way: Way, low: float, high: float, found: float | None = None) -> _Row:
        bound = compare(effect, way(effect, low if found is None else found)).lost
        return bound, found is None, next(number), way, low, high, found

    rows = [row(way, 0.0, 1.0) for way in _ways(effect) if trial.passes_look(way(effect, 1.0))]
    heapify(rows)
    while rows:
        _, _, _, way, low, high, found = heappop(rows)

        def version(share: float, way: Way = way) -> Effect:
            return way(effect, share)

        if found is not None:
            return trial.calmed(version(found))
        if high - low > FINEST and version(low) != version(high):
            heappush(rows, row(way, *_halved(low, high, lambda s: trial.passes_look(version(s)))))
            continue
        found = _least(low, high, lambda share: trial.passes(version(share)))
        if found is not None:
            heappush(rows, row(way, low, high, found))
    return None


def _halved(low: float, high: float, passes: Callable[[float], bool]) -> tuple[float, float]:
    """The half of a range whose lower end does not pass and whose upper end does."""
    middle = (low + high) / 2
    return (low, middle) if passes(middle) else (middle, high)


def _least(low: float, high: float, passes: Callable[[float], bool]) -> float | None:
    """The least share 0..1 that passes, sought from a guess outwards; None if there is none."""
    step = 16 * FINEST
    while not passes(high):
        if high == 1.0:
            return None
        low, high, step = high, min(1.0, high + step), 4 * step
    while passes(low):
        if low == 0.0:
            return low
        low, high, step = max(0.0, low - step), low, 4 * step
    while high - low > FINEST:
        low, high = _halved(low, high, passes)
    return high


def _ways(effect: Effect) -> Iterator[Way]:
    """Everything that is tried: each takes a share 0..1 of all it can do."""
    plain: tuple[Way, ...] = (
        shallower,
        slower,
        lambda e, share: slower(shallower(e, share), share),
    )
    yield from plain
    if smoother(effect) != effect:
        yield lambda e, share: smoother(e)
        yield from map(_after_smoothing, plain)


def _after_smoothing(way: Way) -> Way:
    return lambda effect, share: way(smoother(effect), share)


def _each_pattern(effect: Effect, change: Callable[[Pattern], Pattern]) -> Effect:
    lamps = {
        name: changed(lamp, pattern=change(lamp.pattern)) for name, lamp in effect.lamps.items()
    }
    return changed(effect, lamps=lamps)


def shallower(effect: Effect, share: float) -> Effect:
    """Every moving lamp nearer to the middle of its range; at 1 it stands still."""
    return _each_pattern(effect, lambda pattern: pattern.shallower(share))


def slower(effect: Effect, share: float) -> Effect:
    """Every pattern at less of its own pace, and the rates of those that flicker down."""
    calmer = _each_pattern(effect, lambda pattern: pattern.slower(share))
    lamps = {
        name: changed(lamp, rate_hz=toward(lamp.rate_hz, RATE_LOWEST_HZ, share))
        for name, lamp in calmer.lamps.items()
        if lamp.rate_hz is not None and lamp.pattern.flickers
    }
    if lamps:
        calmer = changed(calmer, lamps={**calmer.lamps, **lamps})
    if not effect.flickering():
        return calmer
    return changed(calmer, rate_hz=toward(effect.rate_hz, RATE_LOWEST_HZ, share))


def smoother(effect: Effect) -> Effect:
    """Flicker that jumps made to drift."""
    return _each_pattern(effect, lambda pattern: pattern.smoother())


def what_changed(before: Effect, after: Effect) -> Iterator[str]:
    """What was changed, field by field."""
    if after.rate_hz != before.rate_hz:
        yield f"rate_hz {before.rate_hz:g} to {after.rate_hz:g}"
    for name, lamp in before.lamps.items():
        own_hz = lamp.rate_hz, after.lamps[name].rate_hz
        if own_hz[0] != own_hz[1]:
            yield f"{name}: rate_hz {_text(own_hz[0])} to {_text(own_hz[1])}"
        new = after.lamps[name].pattern
        for field in type(lamp.pattern).model_fields:
            old_value, new_value = getattr(lamp.pattern, field), getattr(new, field)
            if old_value != new_value:
                yield f"{name}: {field} {_text(old_value)} to {_text(new_value)}"


def _text(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
