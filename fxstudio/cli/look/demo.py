"""`fxstudio demo`: a first film, and values that make it."""

from __future__ import annotations

from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.cli.look.film import film
from fxstudio.cli.look.options import DemoOptions, FilmOptions
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_values
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import load_effect

DEMO_EFFECT, DEMO_DECODER = "banked_fire", "carrow_lantern"


def demo(asked: DemoOptions) -> None:
    """Do what `DemoOptions` asks for."""
    film(
        FilmOptions(
            [DEMO_EFFECT],
            into=asked.into,
            decoder=DEMO_DECODER,
            caption="full",
            replace=asked.replace,
        )
    )
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
