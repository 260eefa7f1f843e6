"""Colours of decoder wires and contacts of decoder plugs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple


class Wire(NamedTuple):
    """One wire: its colour, its screen colour and what it is for.

    output : number of the switched output (S-9.2.2 counts from 1); None if it is none
    source : where this is from, and how it is known
    """

    colour: str
    hex: str
    use: str
    output: int | None
    source: str


_RP = "NMRA RP-9.1.1, read in a translation"

# Outputs are switched on the negative side; blue is their common positive return (NEM 652).
# The screen colours are this project's choice.
WIRES: Final = (
    Wire("red", "#c62828", "right rail, or centre rail or overhead wire", None, _RP),
    Wire("black", "#202020", "left rail", None, _RP),
    Wire("orange", "#ef7d00", "motor, the terminal that is positive forward", None, _RP),
    Wire("grey", "#8c8c8c", "motor, the other terminal", None, _RP),
    Wire("blue", "#1e5fc0", "common positive of all lamps", None, _RP),
    Wire("white", "#ffffff", "front light (negative)", 1, _RP),
    Wire("yellow", "#f2c800", "rear light (negative)", 2, _RP),
    Wire("green", "#2e8b3d", "output 3 (negative)", 3, "NEM 652 (2017), contact 3, read in part"),
    Wire("violet", "#7a3fa0", "output 4 (negative)", 4, "from memory"),
)
WIRE_BY_COLOUR: Final = {wire.colour: wire for wire in WIRES}
COMMON_COLOUR: Final = "blue"


def wire_of_output(output: int) -> Wire | None:
    """The wire of an output; None where the standards give it no colour."""
    return next((wire for wire in WIRES if wire.output == output), None)


class Connector(NamedTuple):
    """A standard decoder plug.

    pins : colour of the wire on each contact, contact 1 first
    optional : contacts that a decoder need not use
    """

    title: str
    pins: tuple[str, ...]
    pitch_mm: float
    current_a: float
    peak_a: float
    optional: tuple[int, ...]
    note: str
    source: str

    def contact_of(self, wire: Wire | None) -> int | None:
        """Number of the contact that a wire goes to, None if it has none."""
        if wire is None or wire.colour not in self.pins:
            return None
        return self.pins.index(wire.colour) + 1

    def outputs(self, with_optional: bool = True) -> tuple[int, ...]:
        """Numbers of the outputs that it carries."""
        return tuple(
            sorted(
                output
                for pin, colour in enumerate(self.pins, start=1)
                if (output := WIRE_BY_COLOUR[colour].output) is not None
                and (with_optional or pin not in self.optional)
            )
        )


# That a lamp returned to a rail is lit half the time is common practice.
CONNECTORS: Final = {
    "nem651": Connector(
        title="NEM 651, 6 contacts",
        pins=("orange", "grey", "red", "black", "white", "yellow"),
        pitch_mm=1.27,
        current_a=0.5,
        peak_a=0.75,
        optional=(),
        note="It has no common positive: lamps return to a rail, which lights them half the time.",
        source="NEM 651 (2017), read",
    ),
    "nem652": Connector(
        title="NEM 652, 8 contacts",
        pins=("orange", "yellow", "green", "black", "grey", "white", "blue", "red"),
        pitch_mm=2.54,
        current_a=1.5,
        peak_a=3.0,
        optional=(3,),
        note="Put in the wrong way round, lights and common change places: a used contact 3 needs "
        "a diode to protect it.",
        source="NEM 652 (2017), read in part",
    ),
}


def not_carried(connector: Connector, outputs: Iterable[int]) -> list[str]:
    """What to mind when `outputs` are to go through a connector, in plain words."""
    always, carried = connector.outputs(with_optional=False), connector.outputs()
    said = []
    for output in sorted(set(outputs)):
        if output not in carried:
            said.append(
                f"{connector.title}, has no contact for output {output}: solder its wire to the "
                "decoder, or use another plug."
            )
        elif output not in always:
            said.append(
                f"{connector.title}, carries output {output} only on a contact that decoders and "
                "locomotives may leave unused: check both manuals."
            )
    return said
