"""`fxstudio values`."""

from __future__ import annotations

from fxstudio.cli import console
from fxstudio.cli.app import DecoderName, EffectName, app, compile_for, decoders
from fxstudio.errors import InputError, naming


@app.command(
    epilog="""Examples:

    fxstudio values banked_fire --decoder tolley_hearth

    fxstudio values my_fire.toml --decoder my_decoder.toml"""
)
def values(effect: EffectName, decoder: DecoderName = None) -> None:
    """Show which CV values make a decoder do this effect, and what it cannot do."""
    from fxstudio.effect.files import find_effect, read_effect

    source = find_effect(effect)
    wanted = read_effect(source)
    if decoder is None:
        raise InputError(
            "which decoder?", field="--decoder", allowed=", ".join(decoders()) + ", or a path",
            remedy="add --decoder NAME; the README shows how to describe your own",
        )  # fmt: skip
    with naming(source):
        compiled = compile_for(wanted, decoder)
    console.show_values(wanted.title, compiled)
    console.show_compromises(compiled)
    console.caution("writing")
