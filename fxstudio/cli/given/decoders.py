"""The decoder that an option names."""

from __future__ import annotations

from pathlib import Path

from fxstudio.decoder.leaflet.files import find_description, read_description, shipped
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.effect.model import Effect
from fxstudio.errors import InputError


def decoders() -> dict[str, Leaflet]:
    """The shipped decoder descriptions by name."""
    return {name: read_description(path) for name, path in shipped().items()}


def compile_for(effect: Effect, decoder: str) -> Compiled:
    """What to write so that a decoder, by name or path, does `effect`."""
    return compile_effect(effect, leaflet_for(decoder))


def leaflet_for(decoder: str | None) -> Leaflet:
    """The description that --decoder names; raises InputError if it names none."""
    return read_description(description_file(decoder))


def description_file(decoder: str | None) -> Path:
    """The file of the description that --decoder names; raises InputError if it names none."""
    if decoder is None:
        raise InputError("which decoder?", field="--decoder").allowing(
            ", ".join(decoders()) + ", or a path",
            remedy="add --decoder NAME; `fxstudio describe new` describes your own",
        )
    return find_description(decoder)
