"""What was filmed, and how it flashes."""

from __future__ import annotations

from collections.abc import Iterable

from fxstudio.cli.shown import console
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Fitted
from fxstudio.film.making import FilmReport
from fxstudio.film.take import Shot
from fxstudio.flashes.fields import Viewing
from fxstudio.flashes.verdict import Verdict
from fxstudio.light.simulation import Simulation


def caution_flashes() -> None:
    """How flashes were judged, what that is not, and the caution; once after all verdicts."""
    console.caution(
        "looking",
        f"Flashes are judged on the film, {Viewing()}. This is no medical and no legal judgement.",
    )


def show_film(report: FilmReport, drive: Drive, shot: Shot) -> None:
    """What was filmed: size, what it shows, flashes, and what was rounded."""
    file = report.file
    console.label(
        file.path,
        f": {number_of(file.frames, 'frame')}, {number_of(file.pictures, 'picture')} in the file, "
        f"{file.duration_s:g} s, {shot.width} x {shot.height}, {file.bytes / 1e6:.2f} MB",
    )
    if report.given_up:
        console.say(f"  given up to be so small: {'; '.join(report.given_up)}")
    console.say(f"  shows: {drive}")
    show_verdict(report.verdict)
    show_fitted(report.fitted)


def called(effect: Effect) -> str:
    """The name of an effect's file without its ending; its title if it has none."""
    return effect.source.stem if effect.source else effect.title


def number_of(number: int, what: str) -> str:
    """`1 frame`, `2 frames`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def show_fitted(fitted: Iterable[tuple[str, Fitted]]) -> None:
    """What was rounded so that the loop has no seam, by lamp."""
    for lamp, entry in fitted:
        console.say(f"  to loop without a seam, {lamp}: {entry}")


def show_judged(effect: Effect) -> None:
    """Which drive a verdict is about, and which lamps were never lit in it, so not judged."""
    drive = effect.shown_by
    console.say(f"  judged: {drive}")
    lit = Simulation(effect, drive).loop.lit
    unlit = [name for at, name in enumerate(effect.lamps) if not lit[:, at].any()]
    if unlit:
        console.label(
            "  mind",
            f" never lit in it, so not judged: {', '.join(unlit)}; film them too, with --travel "
            "and --keys",
            "yellow",
        )


def show_verdict(verdict: Verdict) -> None:
    """The flash verdict: one line if it passes."""
    if verdict.passes:
        console.say(f"  flashes: {verdict.summary}")
        return
    for finding in verdict.failures:
        console.label("  WARNING", f" {finding}", "bold red")
