"""The command line: the only place that prints and sets exit codes.

Exit codes: 0 done, 1 an error in fxstudio itself, 2 something in the call or a file cannot be
used (nothing was written), 130 interrupted.

Commands import what they need when they run, so that `--help` answers at once.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio import __version__, console
from fxstudio.errors import FxError, InputError, naming

if TYPE_CHECKING:
    from fxstudio.decoder.compile import Compiled
    from fxstudio.effect.drive import Drive
    from fxstudio.effect.model import Effect

BAD_INPUT, INTERRUPTED = 2, 130

FLASHING = "Flickering pictures can harm photosensitive people: warn viewers before you show one."
WRITING = (
    "Note the present values before you change any, use the programming track where you can, "
    "and follow the decoder maker's manual."
)

app = typer.Typer(
    name="fxstudio",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode="rich",
    help="""Choose a lighting effect for a model locomotive on screen, then write it once.

    An effect file says which lamps a locomotive has and how each behaves. fxstudio films it, \
and tells which CV values make your decoder do it and what the decoder cannot do.

    Exit codes: 0 done, 2 a file or option cannot be used and nothing was written, \
1 a fault in fxstudio, 130 interrupted.""",
    epilog="Start with [bold]fxstudio demo[/], then [bold]fxstudio list[/].",
)

EffectName = Annotated[
    str, typer.Argument(metavar="EFFECT", help="A shipped effect by name, or the path of a file.")
]
DecoderName = Annotated[
    str | None,
    typer.Option(
        "--decoder", "-d", metavar="DECODER", help="A decoder description by name or path."
    ),
]


@app.command(
    epilog="""Examples:

    fxstudio film banked_fire

    fxstudio film my_fire.toml --travel reverse --keys F1,F2 -o reverse.gif

    fxstudio film banked_fire --decoder kestrel   (what that decoder will really do)"""
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
) -> None:
    """Film effects as GIFs that loop without a seam.

    With --decoder the film shows what that decoder will really do, and the values to write
    are put beside the GIF as text.
    """
    from fxstudio.effect.files import find_effect, read_effect, shipped
    from fxstudio.export.table import values_text
    from fxstudio.film import Shot
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
    width, height = _size(size)
    shot = Shot(width, height, fps, seed)
    if into:
        _make_folder(into)
    for name in names:
        source = find_effect(name)
        effect = read_effect(source)
        shown_by = _drive(effect, drive, travel, speed, keys, seconds)
        target = output or (into or Path()) / f"{source.stem}.gif"
        with naming(source):
            compiled = _compile(effect, decoder) if decoder else None
            seen = compiled.seen if compiled else effect
            with console.progress(f"filming {source.stem}") as on_frame:
                report = film_effect(seen, target, shown_by, shot, on_frame)
        gif = report.gif
        console.label(
            gif.path,
            f": {gif.frames} frames, {gif.duration_s:g} s, "
            f"{width} x {height}, {gif.bytes / 1e6:.2f} MB",
        )
        for lamp, fitted in report.fitted:
            console.say(f"  to loop without a seam, {lamp}: {fitted}")
        if compiled:
            table = target.with_suffix(".values.txt")
            _write_text(table, values_text(effect.title, compiled))
            console.label(table, ": the values to write")
            console.show_compromises(compiled)
    console.say(FLASHING, "dim")


@app.command(
    epilog="""Examples:

    fxstudio values banked_fire --decoder kestrel

    fxstudio values my_fire.toml --decoder my_decoder.toml"""
)
def values(effect: EffectName, decoder: DecoderName = None) -> None:
    """Show which CV values make a decoder do this effect, and what it cannot do."""
    from fxstudio.effect.files import find_effect, read_effect

    source = find_effect(effect)
    wanted = read_effect(source)
    if decoder is None:
        raise InputError(
            "which decoder?", field="--decoder", allowed=", ".join(_decoders()) + ", or a path",
            remedy="add --decoder NAME; the README shows how to describe your own",
        )  # fmt: skip
    with naming(source):
        compiled = _compile(wanted, decoder)
    console.show_values(wanted.title, compiled)
    console.show_compromises(compiled)
    console.say(WRITING, "dim")


@app.command(
    epilog="""Examples:

    fxstudio check my_fire.toml

    fxstudio check my_decoder.toml effects/*.toml"""
)
def check(
    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder or drive files.")
    ],
) -> None:
    """Check files: every wrong field, and what is allowed but will disappoint.

    Ends with exit code 2 if a file cannot be used. Hints alone are no error.
    """
    from fxstudio.effect.advice import advise

    failed = False
    for name in paths:
        try:
            what, thing = _read_any(name)
        except FxError as error:
            console.complain(error)
            failed = True
            continue
        console.label(name, f": a usable {what}")
        for hint in advise(thing) if what == "effect" else ():
            console.label("  hint", f" {hint}", "yellow")
    if failed:
        raise typer.Exit(BAD_INPUT)


@app.command("list")
def list_all() -> None:
    """List the shipped effects and decoders, and the scenes, places and patterns to use."""
    from fxstudio.effect.files import read_effect, shipped
    from fxstudio.effect.patterns import KINDS
    from fxstudio.picture.scene import SCENES

    console.show_rows(
        "effects",
        ((name, (e := read_effect(path)).title, e.note) for name, path in shipped().items()),
    )
    console.show_rows("decoders", ((name, d.title, d.note) for name, d in _decoders().items()))
    rows = (
        (kind, (row.__doc__ or "").splitlines()[0], ", ".join(list(row.model_fields)[1:]))
        for kind, row in KINDS.items()
    )
    console.show_rows("patterns", rows)
    for name, scene in SCENES.items():
        console.show_rows(
            f"scene {name}", ((place, "", text) for place, text in scene.places.items())
        )


@app.command()
def demo(
    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "fxstudio-demo"
    ),
) -> None:
    """Film a fire in a cab, for you to look at, and show the values that make it."""
    film(["banked_fire"], into=into, decoder=next(iter(_decoders())))
    values("banked_fire", decoder=next(iter(_decoders())))


def _read_any(name: str) -> tuple[str, object]:
    """What kind of file it is, and its checked content."""
    from fxstudio.decoder.description import read_description
    from fxstudio.documents import read_toml
    from fxstudio.effect.files import find_effect, read_drive, read_effect
    from fxstudio.film import check_places

    path = find_effect(name)
    tables = read_toml(path)
    if "outputs" in tables:
        return "decoder description", read_description(path)
    if "steps" in tables:
        return "drive", read_drive(path)
    effect = read_effect(path)
    with naming(path):
        check_places(effect)
    return "effect", effect


def _decoders() -> dict:
    from fxstudio.decoder.description import read_description, shipped

    return {name: read_description(path) for name, path in shipped().items()}


def _compile(effect: Effect, decoder: str) -> Compiled:
    from fxstudio.decoder.compile import compile_effect
    from fxstudio.decoder.description import find_description, read_description

    return compile_effect(effect, read_description(find_description(decoder)))


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


def _size(text: str) -> tuple[int, int]:
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


def _make_folder(folder: Path) -> None:
    from fxstudio.errors import WriteError

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(
            f"cannot be made ({error.strerror})", folder, remedy="choose another folder"
        ) from error


def _write_text(path: Path, text: str) -> None:
    from fxstudio.export.files import replacing

    with replacing(path) as file:
        file.write(text.encode())


def _version(wanted: bool) -> None:
    if wanted:
        print(f"fxstudio {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command line; no traceback reaches a user for anything a user can mend."""
    try:
        app()
    except FxError as error:
        console.complain(error)
        sys.exit(BAD_INPUT)
    except KeyboardInterrupt:
        print("interrupted; nothing was half-written", file=sys.stderr)
        sys.exit(INTERRUPTED)


if __name__ == "__main__":
    main()
