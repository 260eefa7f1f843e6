"""`fxstudio values`."""

from __future__ import annotations

from fxstudio.cli.decoder.options import ValuesOptions
from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_notes, show_values
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import load_effect
from fxstudio.errors import naming


def values(asked: ValuesOptions) -> None:
    """Do what `ValuesOptions` asks for."""
    wanted = load_effect(asked.effect)
    described = leaflet_for(asked.decoder)
    with naming(wanted.source):
        compiled = compile_effect(wanted, described)
    show_values(wanted.title, compiled)
    show_compromises(compiled)
    show_notes(compiled)
    console.caution("writing")
