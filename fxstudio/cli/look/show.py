"""`fxstudio show`: the window."""

from __future__ import annotations

from fxstudio.cli.look.options import ShowOptions
from fxstudio.editing.studio import Studio
from fxstudio.effect.files import find_effect
from fxstudio.window.app import App


def show(asked: ShowOptions) -> None:
    """Do what `ShowOptions` asks for."""
    studio = Studio()
    if asked.effect is not None:
        studio.document.open(find_effect(asked.effect))
        studio.begin()
    if asked.decoder is not None:
        studio.use_decoder(asked.decoder)
    App(studio).run()
