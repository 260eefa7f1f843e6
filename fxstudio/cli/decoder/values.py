"""`fxstudio values`."""

from __future__ import annotations

from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.cli.given.options import DecoderName, EffectName
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_notes, show_values
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import load_effect
from fxstudio.errors import naming


def values(effect: EffectName, decoder: DecoderName = None) -> None:
    """Show which CV values make a decoder do this effect, and what it cannot do.

    Examples:
        fxstudio values my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio values banked_fire --decoder tolley_hearth
    """
    wanted = load_effect(effect)
    described = leaflet_for(decoder)
    with naming(wanted.source):
        compiled = compile_effect(wanted, described)
    show_values(wanted.title, compiled)
    show_compromises(compiled)
    show_notes(compiled)
    console.caution("writing")
