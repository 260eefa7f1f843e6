"""`fxstudio resistor`."""

from __future__ import annotations

from collections.abc import Sequence

from fxstudio.cli.bench.options import SOLDERING, ResistorOptions, Values
from fxstudio.cli.shown import console
from fxstudio.electrics.resistor import (
    LED_COLOURS,
    TRACK_VOLTAGES,
    SeriesResistor,
    ohms,
    series_resistor,
    warnings,
    watts,
)
from fxstudio.errors import InputError


def resistor(asked: ResistorOptions) -> None:
    """Do what `ResistorOptions` asks for."""
    volts = TRACK_VOLTAGES[asked.size.value]
    colours = asked.colour or ()
    chain = [*(_typical_v(name) for name in colours), *(asked.forward or ())] * asked.leds
    _check_highest(asked.highest, asked.supply or volts.normal_v)
    found = series_resistor(
        volts.normal_v if asked.supply is None else asked.supply,
        tuple(chain),
        asked.current,
        series=asked.values.series,
        highest_v=volts.highest_v if asked.highest is None else asked.highest,
        lowest_v=volts.lowest_v if asked.highest is None else None,
    )
    to_mind = warnings(found, asked.led_limit)
    _show_resistor(found, len(chain), asked.values)
    rows = [("normal", found.supply_v), ("highest", found.highest_v)]
    if asked.highest is None:
        rows = [("lowest", found.lowest_v), *rows, ("a decoder must survive", volts.withstand_v)]
    _show_voltages(found, rows)
    if colours:
        _show_colours(colours)
    console.say(
        "The rating is twice the heat at the highest voltage, which is common practice. All of the "
        "track voltage is reckoned with; the decoder keeps a volt or so of it, so less flows."
    )
    for warning in to_mind:
        console.label("mind", f" {warning}", "yellow")
    console.say(SOLDERING, "dim")


def _check_highest(highest_v: float | None, normal_v: float) -> None:
    if highest_v is not None and highest_v < normal_v:
        raise InputError(
            "the highest voltage is below the normal one", field="--highest", given=highest_v
        ).allowing(f"{normal_v:g} V or more", remedy="change it or leave it out")


def _show_resistor(found: SeriesResistor, leds: int, values: Values) -> None:
    if found.rating_mw is None:
        rating = "with a rating that usual resistors do not have"
    else:
        rating = f"rated {watts(found.rating_mw)} or more"
    console.label(
        ohms(found.ohm),
        f", {rating}, for each chain of {leds} LED{'s' if leds > 1 else ''} "
        f"(worked out {ohms(round(found.exact_ohm, 1))}, next {values} value up)",
    )


def _show_voltages(found: SeriesResistor, rows: Sequence[tuple[str, float]]) -> None:
    console.show_table(
        f"LEDs need {found.forward_v:g} V",
        (("voltage", "left"), ("V", "right"), ("LED mA", "right"), ("resistor mW", "right")),
        [
            (name, f"{v:g}", f"{found.current_ma(v):.2f}", f"{found.power_mw(v):.1f}")
            for name, v in rows
        ],
    )


def _show_colours(names: Sequence[str]) -> None:
    console.say(
        "Forward voltages by colour are common practice: the data sheet's is better. "
        + "; ".join(
            f"{name} {LED_COLOURS[name].lowest_v:g} to {LED_COLOURS[name].highest_v:g} V"
            for name in dict.fromkeys(names)
        )
    )


def _typical_v(name: str) -> float:
    if name not in LED_COLOURS:
        raise InputError(
            "is not a colour in the table", field="--colour", given=name, choices=LED_COLOURS
        ).advising("give --forward with the LED's voltage instead")
    return LED_COLOURS[name].typical_v
