"""`fxstudio check`, `list` and `demo`: find one's way about."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import BAD_INPUT, app, check_kind, decoders, description_for
from fxstudio.cli.files import Replace, check_files
from fxstudio.cli.film import caution_flashes, film, picture_size, show_verdict
from fxstudio.errors import FxError, InputError, naming

if TYPE_CHECKING:
    from fxstudio.effect.model import Effect
    from fxstudio.effect.patterns import Pattern
    from fxstudio.film.take import Shot

DEMO_EFFECT, DEMO_DECODER = "banked_fire", "carrow_lantern"


@app.command(
    epilog="""Examples:

    fxstudio check my_fire.toml

    fxstudio check my_decoder.toml effects/*.toml

    fxstudio check my_fire.toml --flash-map where.png"""
)
def check(
    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder, drive or value files.")
    ],
    flash_map: Annotated[
        Path | None, typer.Option(help="PNG file to draw: where the film of an effect flashes.")
    ] = None,
    size: Annotated[str, typer.Option(help="Width x height of the film in pixels.")] = "480x320",
    replace: Replace = False,
) -> None:
    """Check files: every wrong field, and what is allowed but will disappoint.

    An effect is also filmed as `fxstudio film` does, without a file, and what would flash more
    than WCAG 2.3.1 allows is told. That is a check of one picture on a screen, no medical and
    no legal judgement. It is stricter than the text of WCAG: fine patterns with squares below 0.1
    degrees are not excepted, a quarter of the field is 21,824 pixels and not 87,296, and every
    saturated red beside black counts, however dark.

    Ends with exit code 2 if a file cannot be used or flashes too much. Hints alone are no error.
    """
    from fxstudio.decoder.description.files import shipped as decoder_files
    from fxstudio.effect.advice import advise, idle_keys
    from fxstudio.effect.files import shipped as effect_files
    from fxstudio.film.take import Shot

    shot = Shot(*picture_size(size))
    check_kind("--flash-map", flash_map, ".png")
    if flash_map and len(paths) > 1:
        raise InputError(
            "one picture cannot show several effects", field="--flash-map", given=str(flash_map),
            remedy="check one effect at a time",
        )  # fmt: skip
    shipped = {**effect_files(), **decoder_files()}
    reads = [("FILE", shipped.get(name, Path(name))) for name in paths]
    check_files(reads, [("--flash-map", flash_map)], replace)
    failed = filmed = False
    for name in paths:
        try:
            what, thing = _read_any(name)
        except FxError as error:
            console.complain(error)
            failed = True
            continue
        console.label(name, f": a usable {what}")
        if what == "effect":
            for hint in (*advise(thing), *idle_keys(thing, thing.shown_by)):
                console.label("  hint", f" {hint}", "yellow")
            failed |= not _flashes(thing, shot, flash_map)
            filmed = True
    if filmed:
        caution_flashes()
    if failed:
        raise typer.Exit(BAD_INPUT)


def _flashes(effect: Effect, shot: Shot, map_to: Path | None) -> bool:
    """Say whether a film of an effect would pass, and draw where it flashes."""
    from fxstudio.film.png import png_bytes
    from fxstudio.film.take import TooLargeError, flash_map, judge
    from fxstudio.flashes.map import LEGEND
    from fxstudio.whole_files import replacing

    try:
        with console.progress("looking for flashes") as on_frame:
            verdict = judge(effect, shot=shot, on_frame=on_frame)
    except TooLargeError as error:  # a long drive is no fault of the file
        console.label("  flashes", f" not looked for: {error.problem} ({error.given})", "yellow")
        return True
    show_verdict(verdict)
    if map_to:
        with replacing(map_to) as file:
            file.write(png_bytes(flash_map(effect, verdict, shot=shot)))
        console.label(map_to, f": {LEGEND}")
    return verdict.passes


@app.command("list")
def list_all() -> None:
    """List the shipped effects and decoders, and the scenes, places and patterns to use."""
    from fxstudio.effect.files import read_effect, shipped
    from fxstudio.effect.patterns import KINDS
    from fxstudio.scenes.catalogue import SCENES

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
    replace: Replace = False,
) -> None:
    """Film a fire in a cab, for you to look at, and show the values that make it."""
    from fxstudio.decoder.values.compile import compile_effect
    from fxstudio.effect.files import find_effect, read_effect

    film([DEMO_EFFECT], into=into, decoder=DEMO_DECODER, replace=replace)
    effect = read_effect(find_effect(DEMO_EFFECT))
    described = description_for(DEMO_DECODER)
    console.show_values(
        f"{effect.title}: values for {described.title}, a decoder that is invented",
        compile_effect(effect, described),
    )
    console.say(
        "Your own decoder needs other values: `fxstudio describe new` asks what its manual says "
        "and describes it."
    )
    console.caution("writing")


def set_by(pattern: type[Pattern]) -> list[str]:
    """The fields of a pattern that a person sets."""
    return sorted(name for name in pattern.model_fields if name != "kind")


def _read_any(name: str) -> tuple[str, object]:
    """What kind of file it is, and its checked content."""
    from fxstudio.decoder.description.files import read_description
    from fxstudio.decoder.description.files import shipped as decoder_files
    from fxstudio.decoder.values.lists import read_values
    from fxstudio.documents import read_toml
    from fxstudio.effect.files import find_effect, read_drive, read_effect
    from fxstudio.film.take import check_places

    path = decoder_files().get(name) or find_effect(name)
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
