"""`fxstudio demo`: a first film, and values that make it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.cli.given.options import Replace
from fxstudio.cli.look.film import film
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_values
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import load_effect

DEMO_EFFECT, DEMO_DECODER = "banked_fire", "carrow_lantern"


def demo(
    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "fxstudio-demo"
    ),
    replace: Replace = False,
) -> None:
    """Get a film of a fire in a cab, and the values that make it.

    Examples:
        fxstudio demo --into my_demo

    Try it in a new folder:
        fxstudio demo
    """
    film([DEMO_EFFECT], into=into, decoder=DEMO_DECODER, replace=replace)
    effect = load_effect(DEMO_EFFECT)
    described = leaflet_for(DEMO_DECODER)
    show_values(
        f"{effect.title}: values for {described.title}, a decoder that is invented",
        compile_effect(effect, described),
    )
    console.say(
        "Your own decoder needs other values: `fxstudio describe new` asks what its manual says "
        "and describes it."
    )
    console.caution("writing")
