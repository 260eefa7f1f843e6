"""`fxstudio values`."""

from __future__ import annotations

from fxstudio.cli import console
from fxstudio.cli.app import DecoderName, EffectName, app, description_for
from fxstudio.errors import naming


@app.command(
    epilog="""More examples:

    fxstudio values my_fire.toml --decoder my_decoder.toml

Try it in a new folder:

    fxstudio values banked_fire --decoder tolley_hearth"""
)
def values(effect: EffectName, decoder: DecoderName = None) -> None:
    """Show which CV values make a decoder do this effect, and what it cannot do."""
    from fxstudio.decoder.values.compile import compile_effect
    from fxstudio.effect.files import load_effect

    wanted = load_effect(effect)
    described = description_for(decoder)
    with naming(wanted.source):
        compiled = compile_effect(wanted, described)
    console.show_values(wanted.title, compiled)
    console.show_compromises(compiled)
    console.show_shared(compiled)
    console.caution("writing")
