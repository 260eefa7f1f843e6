"""`fxstudio show`: the window."""

from __future__ import annotations

from typing import Annotated

import typer

from fxstudio.cli.given.options import DecoderName
from fxstudio.editing.studio import Studio
from fxstudio.effect.files import find_effect
from fxstudio.window.app import App


def show(
    effect: Annotated[
        str | None,
        typer.Argument(metavar="[EFFECT]", help="A shipped effect by name, or a path."),
    ] = None,
    decoder: DecoderName = None,
) -> None:
    """Open the window, where you see an effect live, change it and save it.

    Without EFFECT the window opens with a new one.

    Examples:
        fxstudio show my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio show banked_fire
    """
    studio = Studio()
    if effect is not None:
        studio.document.open(find_effect(effect))
        studio.begin()
    if decoder is not None:
        studio.use_decoder(decoder)
    App(studio).run()
