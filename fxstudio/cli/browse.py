"""`fxstudio check`, `list` and `demo`: find one's way about."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import BAD_INPUT, app, decoders, description_for
from fxstudio.cli.electrics import show_currents
from fxstudio.cli.endings import check_ending
from fxstudio.cli.files import Replace, check_files
from fxstudio.cli.film import caution_flashes, film, picture_size, show_verdict
from fxstudio.errors import FxError, InputError, naming

if TYPE_CHECKING:
    from fxstudio.decoder.description.model import Description
    from fxstudio.effect.model import Effect
    from fxstudio.effect.patterns import Pattern
    from fxstudio.film.take import Shot

DEMO_EFFECT, DEMO_DECODER = "banked_fire", "carrow_lantern"


@app.command(
    epilog="""More examples:

    fxstudio check my_fire.toml

    fxstudio check my_fire.toml my_decoder.toml

    fxstudio check my_fire.toml --flash-map where.png

Try it in a new folder:

    fxstudio check banked_fire withybank_glim"""
)
def check(
    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder, drive or value files.")
    ],
    flash_map: Annotated[
        Path | None, typer.Option(help="PNG file to write: a picture of where the effect flashes.")
    ] = None,
    size: Annotated[str, typer.Option(help="Width x height of the film in pixels.")] = "480x320",
    replace: Replace = False,
) -> None:
    """See every wrong field of your files, and what is allowed but may look wrong.

    fxstudio also films each effect, without writing a file, and says where the film flashes more
    than WCAG 2.3.1 allows. This is a check of one picture on a screen. It is no medical and no
    legal judgement. It is stricter than the text of WCAG: fine patterns with squares below 0.1
    degrees are not excepted, a quarter of the field is 21,824 pixels and not 87,296, and every
    saturated red beside black counts, however dark.

    If you give effects and decoders, it also says what does not go together: outputs that a
    decoder lacks, keys, all other compromises, and currents.

    The exit code is 2 if a file cannot be used or flashes too much. Hints alone are no error.
    """
    from fxstudio.decoder.description.files import shipped as decoder_files
    from fxstudio.effect.advice import advise, idle_keys
    from fxstudio.effect.files import shipped as effect_files
    from fxstudio.film.take import Shot

    shot = Shot(*picture_size(size))
    check_ending("check", "--flash-map", flash_map)
    if flash_map and len(paths) > 1:
        raise InputError(
            "one picture cannot show several effects", field="--flash-map", given=str(flash_map),
            remedy="check one effect at a time",
        )  # fmt: skip
    shipped = {**effect_files(), **decoder_files()}
    reads = [("FILE", shipped.get(name, Path(name))) for name in paths]
    check_files(reads, [("--flash-map", flash_map)], replace)
    failed = filmed = False
    effects: dict[str, Effect] = {}
    described: dict[str, Description] = {}
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
            effects[name] = thing
        elif what == "decoder description":
            described[name] = thing
    for effect, decoder in product(effects, described):
        failed |= not _fit(effect, effects[effect], decoder, described[decoder])
    if filmed:
        caution_flashes()
    if failed:
        raise typer.Exit(BAD_INPUT)


def _fit(name: str, effect: Effect, decoder: str, description: Description) -> bool:
    """Say what of an effect a decoder cannot do, and whether it can carry the currents."""
    from fxstudio.decoder.values.compile import compile_effect

    console.label(f"{name} on {decoder}", ":")
    try:
        with naming(name):
            compiled = compile_effect(effect, description)
    except FxError as error:
        console.complain(error)
        return False
    console.show_compromises(compiled)
    show_currents(effect, description, compiled)
    return True


def _flashes(effect: Effect, shot: Shot, map_to: Path | None) -> bool:
    """Say whether a film of an effect would pass, and draw where it flashes."""
    from fxstudio.film.making import flash_map, judge_film
    from fxstudio.film.png import png_bytes
    from fxstudio.film.take import TooLargeError
    from fxstudio.flashes.map import LEGEND
    from fxstudio.whole_files import replacing

    try:
        with console.progress("looking for flashes") as progress:
            verdict = judge_film(effect, shot=shot, progress=progress)
    except TooLargeError as error:  # a long drive is no fault of the file
        console.label("  flashes", f" not looked for: {error.problem} ({error.given})", "yellow")
        return True
    show_verdict(verdict)
    if map_to:
        with replacing(map_to) as file:
            file.write(png_bytes(flash_map(effect, verdict, shot=shot)))
        console.label(map_to, f": {LEGEND}")
    return verdict.passes


@app.command(
    "list",
    epilog="""Try it in a new folder:

    fxstudio list""",
)
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


@app.command(
    epilog="""More examples:

    fxstudio demo --into my_demo

Try it in a new folder:

    fxstudio demo"""
)
def demo(
    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "fxstudio-demo"
    ),
    replace: Replace = False,
) -> None:
    """Get a film of a fire in a cab, and the values that make it."""
    from fxstudio.decoder.values.compile import compile_effect
    from fxstudio.effect.files import load_effect

    film([DEMO_EFFECT], into=into, decoder=DEMO_DECODER, replace=replace)
    effect = load_effect(DEMO_EFFECT)
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
    """What kind of file it is, and its checked content; an effect if it does not say."""
    from fxstudio.decoder.description.files import read_description
    from fxstudio.decoder.description.files import shipped as decoder_files
    from fxstudio.decoder.interview.notebook import read_answers
    from fxstudio.decoder.values.lists import read_values
    from fxstudio.documents import ANSWERS, DESCRIPTION, DRIVE, EFFECT, VALUES, file_kind
    from fxstudio.effect.files import find, read_drive, read_effect, shipped

    readers = {
        EFFECT: read_effect,
        DESCRIPTION: read_description,
        VALUES: read_values,
        DRIVE: read_drive,
        ANSWERS: read_answers,
    }
    path = find(name, {**shipped(), **decoder_files()}, "file", "my_fire.toml")
    kind = file_kind(path) or EFFECT
    return kind, readers[kind](path)
