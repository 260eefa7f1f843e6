"""`fxstudio film`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from fxstudio.cli import console
from fxstudio.cli.app import (
    DecoderName,
    app,
    compile_for,
    description_file,
    key_list,
    make_folder,
    write_text,
)
from fxstudio.cli.endings import check_ending, check_folder
from fxstudio.cli.files import Replace, check_files
from fxstudio.errors import InputError, naming

if TYPE_CHECKING:
    from collections.abc import Iterable

    from fxstudio.decoder.values.compile import Compiled
    from fxstudio.effect.drive import Drive
    from fxstudio.effect.model import Effect
    from fxstudio.effect.patterns import Fitted
    from fxstudio.film.calmer import Calmed
    from fxstudio.film.making import FilmReport, FlashError
    from fxstudio.film.take import Shot
    from fxstudio.flashes.verdict import Verdict


@app.command(
    epilog="""More examples:

    fxstudio film my_fire.toml --travel reverse --keys F1,F2 -o reverse.gif

    fxstudio film my_fire.toml --decoder my_decoder.toml

Try it in a new folder:

    fxstudio film banked_fire --decoder tolley_hearth"""
)
def film(
    effects: Annotated[
        list[str] | None,
        typer.Argument(metavar="[EFFECT]...", help="Shipped effects by name, or paths of files."),
    ] = None,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="GIF file to write, for one effect.")
    ] = None,
    into: Annotated[
        Path | None, typer.Option(help="Folder to write to; made if it is not there.")
    ] = None,
    all_effects: Annotated[bool, typer.Option("--all", help="Film all shipped effects.")] = False,
    decoder: DecoderName = None,
    drive: Annotated[
        Path | None, typer.Option(help="A drive file: travel, speed and keys over time.")
    ] = None,
    travel: Annotated[
        str, typer.Option(help="forward, reverse or stopped throughout the film.")
    ] = "",
    speed: Annotated[
        float | None, typer.Option(metavar="KMH", help="Speed in km/h throughout the film.")
    ] = None,
    keys: Annotated[
        str | None, typer.Option(help="Keys that are on throughout the film: F1,F2 or none.")
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(help="Length of the loop, with --travel, --speed or --keys.")
    ] = None,
    fps: Annotated[float, typer.Option(help="Frames a second; above 0, at most 50.")] = 25.0,
    size: Annotated[str, typer.Option(help="Width x height in pixels.")] = "480x320",
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1,
    calm: Annotated[
        bool,
        typer.Option("--calm", help="If it flashes too much, film the nearest look that passes."),
    ] = False,
    accept_flashes: Annotated[
        bool, typer.Option("--accept-flashes", help="Film it even if it flashes too much.")
    ] = False,
    replace: Replace = False,
) -> None:
    """Film effects as GIFs that loop without a seam.

    With --decoder the film shows what that decoder will really do, and the values to write
    are put beside the GIF as text.

    A film that flashes more than WCAG 2.3.1 allows is refused, and the nearest effect that
    passes is looked for and offered. With --accept-flashes it is filmed, and says so in its
    comment.
    """
    from fxstudio.effect.advice import idle_keys
    from fxstudio.effect.files import find_effect, read_effect, shipped
    from fxstudio.effect.keys import KEYS
    from fxstudio.export.table import values_text
    from fxstudio.film.making import FlashError
    from fxstudio.film.making import film as film_effect
    from fxstudio.film.take import Shot

    names = [*(effects or []), *(shipped() if all_effects else [])]
    if not names:
        raise InputError(
            "no effect to film", field="EFFECT", allowed="one name or path, or --all",
            remedy="`fxstudio list` shows the shipped effects",
        )  # fmt: skip
    if stray := [name for name in names if name.upper() in KEYS]:
        raise InputError(
            "is a key, where an effect is expected", field="EFFECT", given=stray[0],
            remedy="write several keys as --keys F1,F2 or --keys \"F1 F2\"",
        )  # fmt: skip
    if output and (into or len(names) > 1):
        raise InputError(
            "one file cannot take several films", field="--output", given=str(output),
            remedy="use --into FOLDER for more than one effect",
        )  # fmt: skip
    check_ending("film", "--output", output)
    check_folder("--into", into)
    if calm and decoder:
        raise InputError(
            "calms the effect, which the decoder may then do otherwise", field="--calm",
            remedy=CALM_FIRST,
        )  # fmt: skip
    width, height = picture_size(size)
    shot = Shot(width, height, fps, seed)
    sources = [find_effect(name) for name in names]
    targets = [output or (into or Path()) / f"{source.stem}.gif" for source in sources]
    tables = [target.with_suffix(".values.txt") for target in targets] if decoder else []
    option = "--output" if output or (len(names) == 1 and not into) else "--into"
    check_files(
        [
            *(("EFFECT", source) for source in sources),
            ("--drive", drive),
            ("--decoder", description_file(decoder) if decoder else None),
        ],
        [(option, path) for path in (*targets, *tables)],
        replace,
    )
    scripted = _Script(drive, travel, speed, keys, seconds)
    planned: dict[Path, _Planned] = {}
    for source, target in zip(sources, targets, strict=True):  # all is looked at before the first
        effect = read_effect(source)
        with naming(source):
            compiled = compile_for(effect, decoder) if decoder else None
        seen = compiled.seen if compiled else effect
        planned[target] = _Planned(effect, compiled, seen, scripted.drive_for(seen))
    if into:
        make_folder(into)
    for target, (effect, compiled, seen, shown_by) in planned.items():
        if calm:
            seen = calmer(seen, shown_by, shot).effect
        try:
            with naming(seen.source), console.progress(f"filming {seen.source.stem}") as progress:
                report = film_effect(seen, target, shown_by, shot, progress, accept_flashes)
        except FlashError as error:
            offer = CALM_FIRST if compiled else _offer(seen, shown_by, shot, error)
            error.remedy = "\n".join([offer, *AS_IT_IS])
            raise
        show_film(report, shown_by, shot)
        for hint in idle_keys(seen, shown_by):
            console.label("  hint", f" {hint}", "yellow")
        if compiled:
            table = target.with_suffix(".values.txt")
            write_text(table, values_text(effect.title, compiled))
            console.label(table, ": the values to write")
            console.show_compromises(compiled)
    caution_flashes()


CALM_FIRST = "write a calm effect with `fxstudio calm`, then film that with --decoder"
AS_IT_IS = (
    "or film it smaller with --size: it then flashes over less of a field of view",
    "or film it as it is with --accept-flashes, and warn viewers",
)


def _offer(effect: Effect, drive: Drive, shot: Shot, refused: FlashError) -> str:
    """What --calm would film instead, in numbers."""
    try:
        calmed = _search(effect, drive, shot, refused.verdict)
    except InputError as error:
        return f"{error.problem}: {error.remedy}"
    return (
        f"film the nearest effect that passes with --calm: {'; '.join(calmed.changes)}; "
        f"{_lost(calmed)}"
    )


def calmer(effect: Effect, drive: Drive | None, shot: Shot) -> Calmed:
    """The nearest effect that passes, and what was changed for it, said."""
    calmed = _search(effect, drive, shot)
    for change in calmed.changes:
        console.label("  calmer", f" {change}", "yellow")
    if calmed.changes:
        console.say(f"  {_lost(calmed)}")
    return calmed


def _search(
    effect: Effect, drive: Drive | None, shot: Shot, verdict: Verdict | None = None
) -> Calmed:
    from fxstudio.film.calmer import calm

    with naming(effect.source), console.progress(f"calming {effect.source.stem}") as progress:
        return calm(effect, drive, shot, progress, verdict)


def _lost(calmed: Calmed) -> str:
    return f"{calmed.likeness.lost:.0%} of its look is lost"


def caution_flashes() -> None:
    """How flashes were judged, what that is not, and the caution; once after all verdicts."""
    from fxstudio.flashes.fields import Viewing

    console.caution(
        "looking",
        f"Flashes are judged on the film, {Viewing()}. This is no medical and no legal judgement.",
    )


def show_film(report: FilmReport, drive: Drive, shot: Shot) -> None:
    """What was filmed: size, what it shows, flashes, and what was rounded."""
    gif = report.gif
    console.label(
        gif.path,
        f": {counted(gif.frames, 'frame')}, {counted(gif.pictures, 'picture')} in the file, "
        f"{gif.duration_s:g} s, {shot.width} x {shot.height}, {gif.bytes / 1e6:.2f} MB",
    )
    console.say(f"  shows: {drive}")
    show_verdict(report.verdict)
    show_fitted(report.fitted)


def counted(number: int, what: str) -> str:
    """`1 frame`, `2 frames`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def show_fitted(fitted: Iterable[tuple[str, Fitted]]) -> None:
    """What was rounded so that the loop has no seam, by lamp."""
    for lamp, entry in fitted:
        console.say(f"  to loop without a seam, {lamp}: {entry}")


def show_verdict(verdict: Verdict) -> None:
    """The flash verdict: one line if it passes."""
    if verdict.passes:
        console.say(f"  flashes: {verdict.summary}")
        return
    for finding in verdict.failures:
        console.label("  WARNING", f" {finding}", "bold red")


class _Planned(NamedTuple):
    """One film to make: `seen` is what will be filmed of `effect`."""

    effect: Effect
    compiled: Compiled | None
    seen: Effect
    shown_by: Drive


OPTIONS = {"travel": "--travel", "speed_kmh": "--speed", "keys": "--keys", "length_s": "--seconds"}
"""Field of a drive to the option that sets it."""


class _Script:
    """What the options say of travel, speed and keys: a file, a state all along, or nothing."""

    def __init__(
        self,
        file: Path | None,
        travel: str,
        speed: float | None,
        keys: str | None,
        seconds: float | None,
    ) -> None:
        from fxstudio.effect.files import read_drive

        on = None if keys is None else tuple(key_list(keys))
        told = {"travel": travel or None, "speed_kmh": speed, "keys": on, "length_s": seconds}
        self.told = {name: value for name, value in told.items() if value is not None}
        given = [OPTIONS[name] for name in self.told]
        if file and given:
            raise InputError(
                "a drive file already says this", field=given[0],
                remedy=f"leave out --drive, or {' and '.join(given)}",
            )  # fmt: skip
        if travel == "stopped" and speed:
            raise InputError(
                "a stopped locomotive has no speed", field="--speed", given=speed,
                remedy="leave out --speed, or --travel stopped",
            )  # fmt: skip
        self.file = read_drive(file) if file else None

    def drive_for(self, effect: Effect) -> Drive:
        """The drive to show `effect` by, its own if no option says anything."""
        from fxstudio.documents import parse
        from fxstudio.effect.drive import DEFAULT_LENGTH_S, Drive

        if self.file or not self.told:
            return self.file or effect.shown_by
        step = {"travel": "forward", "keys": tuple(effect.keys), **self.told}
        length = step.pop("length_s", DEFAULT_LENGTH_S)
        try:
            return parse(Drive, {"length_s": length, "steps": (step,)})
        except InputError as error:
            for each in (error, *error.more):
                names = (each.field or "").split(".")
                each.field = next((OPTIONS[n] for n in names if n in OPTIONS), each.field)
            raise


def picture_size(text: str) -> tuple[int, int]:
    """Width and height of `480x320`."""
    parts = text.lower().replace("×", "x").split("x")
    try:
        width, height = (int(part) for part in parts)
    except ValueError:
        width = height = 0
    if not (64 <= width <= 1920 and 64 <= height <= 1920):
        raise InputError(
            "is not a picture size", field="--size", given=text,
            allowed="width x height in pixels, each 64 to 1920",
            remedy="write it like 480x320",
        )  # fmt: skip
    return width, height
