"""`fxstudio wires`."""

from __future__ import annotations

from fxstudio.cli.bench.options import SOLDERING, WiresOptions
from fxstudio.cli.shown import console
from fxstudio.electrics.wiring import CONNECTORS, WIRE_BY_COLOUR, WIRES


def wires(asked: WiresOptions) -> None:
    """Do what `WiresOptions` asks for."""
    if asked.plug is None:
        console.show_table(
            "wires",
            (("wire", "left"), ("for", "left"), ("known from", "left")),
            [(wire.colour, wire.use, wire.source) for wire in WIRES],
        )
    for name, connector in CONNECTORS.items():
        if asked.plug is not None and name != asked.plug.value:
            continue
        console.show_table(
            f"{name}: {connector.title}, pitch {connector.pitch_mm:g} mm, "
            f"{connector.current_a:g} A, {connector.peak_a:g} A for a moment",
            (("contact", "right"), ("wire", "left"), ("for", "left")),
            [
                (
                    str(pin),
                    colour,
                    WIRE_BY_COLOUR[colour].use + ("; may be unused" * (pin in connector.optional)),
                )
                for pin, colour in enumerate(connector.pins, start=1)
            ],
        )
        console.say(f"{connector.note} Known from: {connector.source}.")
    console.say(
        "Makers do not always keep to the colours: their manual decides. " + SOLDERING, "dim"
    )
