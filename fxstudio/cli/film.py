"""`fxstudio film`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import DecoderName, app, compile_for, make_folder, write_text
from fxstudio.errors import InputError, naming

if TYPE_CHECKING:
    from fxstudio.calmer import Calmed
    from fxstudio.effect.drive import Drive
    from fxstudio.effect.model import Effect
    from fxstudio.film import Shot
    from fxstudio.picture.safety import Verdict


@app.command(
    epilog="""Examples:

    fxstudio film banked_fire

    fxstudio film my_fire.toml --travel reverse --keys F1,F2 -o reverse.gif

    fxstudio film banked_fire --decoder tolley_hearth   (what that decoder will really do)"""
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
    all_effects: Annotated[bool, typer.Option("--all", help="All shipped effects.")] = False,
    decoder: DecoderName = None,
    drive: Annotated[
        Path | None, typer.Option(help="A drive file: travel, speed and keys over time.")
    ] = None,
    travel: Annotated[str, typer.Option(help="forward, reverse or stopped, all along.")] = "",
    speed: Annotated[
        float | None, typer.Option(metavar="KMH", help="Speed in km/h, all along.")
    ] = None,
    keys: Annotated[
        str | None, typer.Option(help="Keys that are on, all along, such as F1,F2 or none.")
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(help="Length of the loop, with --travel, --speed or --keys.")
    ] = None,
    fps: Annotated[float, typer.Option(help="Frames a second; above 0, at most 50.")] = 25.0,
    size: Annotated[str, typer.Option(help="Width x height in pixels.")] = "480x320",
    seed: Annotated[int, typer.Option(min=0, help="Another number, another flicker.")] = 1,
    calm: Annotated[
        bool, typer.Option("--calm", help="If it flashes too much, film the nearest that does not.")
    ] = False,
    accept_flashes: Annotated[
        bool, typer.Option("--accept-flashes", help="Film it even if it flashes too much.")
    ] = False,
) -> None:
    """Film effects as GIFs that loop without a seam.

    With --decoder the film shows what that decoder will really do, and the values to write
    are put beside the GIF as text.

    A film that flashes more than WCAG 2.3.1 allows is refused, unless --accept-flashes is
    given; such a film says so in its comment.
    """
    from fxstudio.effect.files import find_effect, read_effect, shipped
    from fxstudio.export.table import values_text
    from fxstudio.film import Shot, check_places
    from fxstudio.film import film as film_effect

    names = [*(effects or []), *(shipped() if all_effects else [])]
    if not names:
        raise InputError(
            "no effect to film", field="EFFECT", allowed="one name or path, or --all",
            remedy="`fxstudio list` shows the shipped effects",
        )  # fmt: skip
    if output and (into or len(names) > 1):
        raise InputError(
            "one file cannot take several films", field="--output", given=str(output),
            remedy="use --into FOLDER for more than one effect",
        )  # fmt: skip
    if calm and decoder:
        raise InputError(
            "calms the effect, which the decoder may then do otherwise", field="--calm",
            remedy="write a calm effect with `fxstudio calm`, then film that with --decoder",
        )  # fmt: skip
    width, height = picture_size(size)
    shot = Shot(width, height, fps, seed)
    if into:
        make_folder(into)
    for name in names:
        source = find_effect(name)
        effect = read_effect(source)
        target = output or (into or Path()) / f"{source.stem}.gif"
        with naming(source):
            check_places(effect)
            compiled = compile_for(effect, decoder) if decoder else None
        seen = compiled.seen if compiled else effect
        shown_by = _drive(seen, drive, travel, speed, keys, seconds)
        if calm:
            seen = calmer(source, seen, shown_by, shot).effect
        with naming(source), console.progress(f"filming {source.stem}") as on_frame:
            report = film_effect(seen, target, shown_by, shot, on_frame, accept_flashes)
        gif = report.gif
        console.label(
            gif.path,
            f": {gif.frames} frames, {gif.duration_s:g} s, "
            f"{width} x {height}, {gif.bytes / 1e6:.2f} MB",
        )
        show_verdict(report.verdict)
        for lamp, fitted in report.fitted:
            console.say(f"  to loop without a seam, {lamp}: {fitted}")
        if compiled:
            table = target.with_suffix(".values.txt")
            write_text(table, values_text(effect.title, compiled))
            console.label(table, ": the values to write")
            console.show_compromises(compiled)
    console.caution("looking")


def calmer(source: Path, effect: Effect, drive: Drive | None, shot: Shot) -> Calmed:
    """The nearest effect that passes, and what was changed for it, said."""
    from fxstudio.calmer import calm

    with naming(source), console.progress(f"calming {source.stem}") as on_try:
        calmed = calm(effect, drive, shot, on_try)
    for change in calmed.changes:
        console.label("  calmer", f" {change}", "yellow")
    if calmed.changes:
        console.say(f"  {calmed.likeness.lost:.0%} of its look is lost")
    return calmed


def show_verdict(verdict: Verdict) -> None:
    """The flash verdict: one line if it passes."""
    if verdict.passes:
        console.say(f"  flashes: {verdict.summary}")
        return
    for finding in verdict.failures:
        console.label("  WARNING", f" {finding}", "bold red")


def _drive(
    effect: Effect,
    file: Path | None,
    travel: str,
    speed: float | None,
    keys: str | None,
    seconds: float | None,
) -> Drive:
    """The drive a film is shown by: a file, the options, or the effect's own."""
    from fxstudio.documents import parse
    from fxstudio.effect.drive import DEFAULT_LENGTH_S, Drive
    from fxstudio.effect.files import read_drive

    options = {"--travel": travel or None, "--speed": speed, "--keys": keys, "--seconds": seconds}
    given = [name for name, value in options.items() if value is not None]
    if file:
        if given:
            raise InputError(
                "a drive file already says this", field=given[0],
                remedy=f"leave out --drive, or {' and '.join(given)}",
            )  # fmt: skip
        return read_drive(file)
    if not given:
        return effect.shown_by
    on = effect.keys if keys is None else [k for k in keys.split(",") if k and k != "none"]
    step = {"travel": travel or "forward", "keys": tuple(on)}
    if speed is not None:
        step["speed_kmh"] = speed
    length = DEFAULT_LENGTH_S if seconds is None else seconds
    return parse(Drive, {"length_s": length, "steps": (step,)}, "the options")


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
