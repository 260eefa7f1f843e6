"""The nearest effect that passes, looked for and told."""

from __future__ import annotations

from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import called
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import naming
from fxstudio.film.calmer import Calmed, calm
from fxstudio.film.take import Shot
from fxstudio.flashes.verdict import Verdict


def calmer(effect: Effect, drive: Drive | None, shot: Shot) -> Calmed:
    """The nearest effect that passes, and what was changed for it, said."""
    calmed = search(effect, drive, shot)
    for change in calmed.changes:
        console.label("  calmer", f" {change}", "yellow")
    if calmed.changes:
        console.say(f"  {lost_words(calmed)}")
    return calmed


def search(
    effect: Effect, drive: Drive | None, shot: Shot, verdict: Verdict | None = None
) -> Calmed:
    with naming(effect.source), console.progress(f"calming {called(effect)}") as progress:
        return calm(effect, drive, shot, progress, verdict)


def lost_words(calmed: Calmed) -> str:
    return f"{calmed.likeness.lost:.0%} of its look is lost"
