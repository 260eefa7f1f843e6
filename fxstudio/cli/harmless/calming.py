"""The nearest effect that passes, looked for and told."""

from __future__ import annotations

from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import called
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.errors import naming
from fxstudio.film.calmer import Calmed, calm
from fxstudio.film.captions.caption import Caption
from fxstudio.film.formats import FilmFormat
from fxstudio.film.making import GIF
from fxstudio.film.take import Shot
from fxstudio.flashes.verdict import Verdict


def calmer(
    effect: Effect,
    drive: Drive | None,
    shot: Shot,
    caption: Caption | None = None,
    kind: FilmFormat = GIF,
) -> Calmed:
    """The nearest effect that passes, and what was changed for it, said."""
    calmed = search(effect, drive, shot, None, caption, kind)
    for change in calmed.changes:
        console.label("  calmer", f" {change}", "yellow")
    if calmed.changes:
        console.say(f"  {lost_words(calmed)}")
    return calmed


def search(
    effect: Effect,
    drive: Drive | None,
    shot: Shot,
    verdict: Verdict | None = None,
    caption: Caption | None = None,
    kind: FilmFormat = GIF,
) -> Calmed:
    """The nearest effect that passes, with a bar of the progress; raises InputError for none."""
    with naming(effect.source), console.progress(f"calming {called(effect)}") as progress:
        return calm(effect, drive, shot, progress, verdict, caption, kind)


def lost_words(calmed: Calmed) -> str:
    """How much of the look the calmer effect loses."""
    return f"{calmed.likeness.lost:.0%} of its look is lost"
