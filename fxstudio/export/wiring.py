"""What to solder for an effect: each lamp's wire, LED and resistor, as rows for a table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.effect.led import led_kind
from fxstudio.effect.model import Effect
from fxstudio.electrics.load import Loads, add_up
from fxstudio.electrics.resistor import (
    ASSUMED_CURRENT_MA,
    LED_COLOURS,
    RATINGS_MW,
    TRACK_VOLTAGES,
    SeriesName,
    SeriesResistor,
    TrackVoltages,
    ohms,
    series_resistor,
    warnings,
    watts,
)
from fxstudio.electrics.wiring import COMMON_COLOUR, CONNECTORS, WIRE_BY_COLOUR, wire_of_output
from fxstudio.light.truth_table import lit_together


@dataclass(frozen=True)
class Solder:
    """How the lamps are supplied.

    size : row of `TRACK_VOLTAGES`
    current_ma : wanted current of each LED at the normal voltage
    series : values of resistors one can buy
    leds : kind of LED by name of the lamp, where it is not the one its colour suggests
    """

    size: str = "ho"
    current_ma: float = ASSUMED_CURRENT_MA
    series: SeriesName = "E12"
    leds: Mapping[str, str] | None = None

    @property
    def volts(self) -> TrackVoltages:
        """The track voltage."""
        return TRACK_VOLTAGES[self.size]

    def resistor(self, kind: str) -> SeriesResistor:
        """The resistor of an LED of a kind; raises InputError if it cannot be worked out."""
        return series_resistor(
            self.volts.normal_v,
            (LED_COLOURS[kind].typical_v,),
            self.current_ma,
            series=self.series,
            highest_v=self.volts.highest_v,
            lowest_v=self.volts.lowest_v,
        )


@dataclass(frozen=True)
class WireRow:
    """One lamp at its wire; all texts are ready to be read.

    swatch : the wire's screen colour #rrggbb, or None if it has no standard colour
    contacts : its contact on each plug of `CONNECTORS`, in their order; "none" where it has none
    """

    lamp: str
    output: str
    wire: str
    swatch: str | None
    contacts: tuple[str, ...]
    led: str = ""
    resistor: str = ""
    rating: str = ""
    current: str = ""


@dataclass(frozen=True)
class Wiring:
    """All lamps, the common wire last, what to mind, and the currents at the normal voltage."""

    rows: tuple[WireRow, ...]
    voltages: str
    minds: tuple[str, ...]
    loads: Loads


def wiring(
    effect: Effect,
    leaflet: Leaflet,
    solder: Solder | None = None,
    seen: Effect | None = None,
) -> Wiring:
    """Wires, LEDs and resistors of the lamps that are on outputs of a decoder.

    What is lit at once is that of `seen`, what the decoder will do; else of `effect`.

    Raises InputError if a resistor cannot be worked out.
    """
    solder = solder or Solder()
    volts = solder.volts
    rows, minds, loads, usual, limits = [], [], {}, {}, {}
    for name, lamp in effect.lamps.items():
        if lamp.output not in leaflet.output:
            continue
        output = leaflet.output[lamp.output]
        kind = (solder.leds or {}).get(name) or led_kind(lamp.colour)
        found = solder.resistor(kind)
        minds += [f"{name}: {text}" for text in warnings(found)]
        loads[output.number] = [found.current_ma(volts.highest_v)]
        usual[output.number] = [found.current_ma(volts.normal_v)]
        if output.limit_ma is not None:
            limits[output.number] = output.limit_ma
        standard = wire_of_output(output.number)
        wire = output.wire or (standard.colour if standard else "see the manual")
        rows.append(
            WireRow(
                name,
                str(output.number),
                *_wire(wire),
                led=f"{kind}, {lamp.colour}",
                resistor=ohms(found.ohm),
                rating=_rating(found),
                current=_current(found.current_ma(volts.normal_v), output.limit_ma),
            )
        )
    known = limits, leaflet.limit_ma, lit_together(seen or effect), leaflet.group_limits_ma
    minds += [f"At {volts.highest_v:g} V: {text}" for text in add_up(loads, *known).warnings()]
    return Wiring(
        (*rows, WireRow("all", "common +", *_wire(COMMON_COLOUR))),
        f"{volts.normal_v:g} V on the track, as for {volts.sizes}; the rating is for "
        f"{volts.highest_v:g} V, the highest of the standard",
        tuple(minds),
        add_up(usual, *known),
    )


def _wire(colour: str) -> tuple[str, str | None, tuple[str, ...]]:
    """Its word, its screen colour and its contacts; a leaflet may add its use: `green, aux 1`."""
    standard = WIRE_BY_COLOUR.get(colour.partition(",")[0].strip().casefold())
    contacts = tuple(plug.contact_of(standard) for plug in CONNECTORS.values())
    words = tuple("none" if contact is None else str(contact) for contact in contacts)
    return colour, standard.hex if standard else None, words


def _current(current_ma: float, limit_ma: float | None) -> str:
    """`5.2 of 100 mA`; without the limit where the leaflet does not print it."""
    return f"{current_ma:.1f} mA" if limit_ma is None else f"{current_ma:.1f} of {limit_ma:g} mA"


def _rating(resistor: SeriesResistor) -> str:
    if resistor.rating_mw is None:
        return f"none up to {watts(RATINGS_MW[-1])} is enough"
    return f"{watts(resistor.rating_mw)} or more"
