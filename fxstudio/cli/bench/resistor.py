"""`fxstudio resistor`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from fxstudio.cli.bench.options import SOLDERING, Size, Values
from fxstudio.cli.given.options import decimal
from fxstudio.cli.shown import console
from fxstudio.electrics.resistor import (
    ASSUMED_CURRENT_MA,
    COMMON_LED_LIMIT_MA,
    LED_COLOURS,
    TRACK_VOLTAGES,
    SeriesResistor,
    ohms,
    series_resistor,
    warnings,
    watts,
)
from fxstudio.errors import InputError


def resistor(
    colour: Annotated[
        list[str] | None,
        typer.Option(
            help="Colour of an LED in the chain; repeat it for the next LED. "
            f"One of {', '.join(LED_COLOURS)}."
        ),
    ] = None,
    forward: Annotated[
        list[float] | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Forward voltage from the data sheet; repeat it for the next LED. Without a data "
            "sheet, give --colour instead.",
        ),
    ] = None,
    leds: Annotated[
        int, typer.Option(min=1, max=20, help="How many such LEDs are in one chain.")
    ] = 1,
    current: Annotated[
        float,
        typer.Option(
            parser=decimal, metavar="MA", help="Wanted current in mA at the normal voltage."
        ),
    ] = ASSUMED_CURRENT_MA,
    size: Annotated[
        Size, typer.Option(help="Size of the model, for the standard's track voltages.")
    ] = Size.HO,
    supply: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Normal voltage of your track. If you do not know it, leave it out.",
        ),
    ] = None,
    highest: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Highest voltage of your track. If you do not know it, leave it out.",
        ),
    ] = None,
    led_limit: Annotated[
        float,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What the LED takes at most, by its data sheet. Without one, leave it out.",
        ),
    ] = COMMON_LED_LIMIT_MA,
    values: Annotated[Values, typer.Option(help="Series of values you can buy.")] = Values.E12,
) -> None:
    """Find the resistor that an LED needs: its value, its heat and its rating.

    Examples:
        fxstudio resistor --forward 3.1 --current 3 --values E24
        fxstudio resistor --colour amber --leds 2 --supply 12 --highest 12

    Try it in a new folder:
        fxstudio resistor --colour red
    """
    volts = TRACK_VOLTAGES[size.value]
    chain = [*(_typical_v(name) for name in colour or ()), *(forward or ())] * leds
    _check_highest(highest, supply or volts.normal_v)
    found = series_resistor(
        volts.normal_v if supply is None else supply,
        tuple(chain),
        current,
        series=values.series,
        highest_v=volts.highest_v if highest is None else highest,
        lowest_v=volts.lowest_v if highest is None else None,
    )
    to_mind = warnings(found, led_limit)
    _show_resistor(found, len(chain), values)
    rows = [("normal", found.supply_v), ("highest", found.highest_v)]
    if highest is None:
        rows = [("lowest", found.lowest_v), *rows, ("a decoder must survive", volts.withstand_v)]
    _show_voltages(found, rows)
    if colour:
        _show_colours(colour)
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
