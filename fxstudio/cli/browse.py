"""`fxstudio check`, `list` and `demo`: find one's way about."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import BAD_INPUT, WRITING, app, compile_for, decoders
from fxstudio.cli.film import film
from fxstudio.errors import FxError, naming

if TYPE_CHECKING:
    from fxstudio.effect.patterns import Pattern

DEMO_EFFECT, DEMO_DECODER = "banked_fire", "carrow_lantern"


@app.command(
    epilog="""Examples:

    fxstudio check my_fire.toml

    fxstudio check my_decoder.toml effects/*.toml"""
)
def check(
    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder, drive or value files.")
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
    console.show_rows("decoders", ((name, d.title, d.note) for name, d in decoders().items()))
    rows = (
        (kind, (row.__doc__ or "").splitlines()[0], ", ".join(set_by(row)))
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
    from fxstudio.effect.files import find_effect, read_effect

    film([DEMO_EFFECT], into=into, decoder=DEMO_DECODER)
    effect = read_effect(find_effect(DEMO_EFFECT))
    console.show_values(effect.title, compile_for(effect, DEMO_DECODER))
    console.say(WRITING, "dim")


def set_by(pattern: type[Pattern]) -> list[str]:
    """The fields of a pattern that a person sets."""
    return sorted(name for name in pattern.model_fields if name != "kind")


def _read_any(name: str) -> tuple[str, object]:
    """What kind of file it is, and its checked content."""
    from fxstudio.decoder.files import read_description
    from fxstudio.decoder.values import read_values
    from fxstudio.documents import read_toml
    from fxstudio.effect.files import find_effect, read_drive, read_effect
    from fxstudio.film import check_places

    path = find_effect(name)
    if path.suffix.lower() == ".csv":
        return "list of values", read_values(path)
    tables = read_toml(path)
    if "values" in tables:
        return "list of values", read_values(path)
    if "outputs" in tables:
        return "decoder description", read_description(path)
    if "steps" in tables:
        return "drive", read_drive(path)
    effect = read_effect(path)
    with naming(path):
        check_places(effect)
    return "effect", effect
