"""`fxstudio resistor`, `currents` and `wires`: what to solder."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import DecoderName, app, description_for
from fxstudio.electrics.resistor import (
    ASSUMED_CURRENT_MA,
    COMMON_LED_LIMIT_MA,
    LED_COLOURS,
    SERIES,
    TRACK_VOLTAGES,
)
from fxstudio.electrics.wiring import CONNECTORS
from fxstudio.errors import InputError, naming

if TYPE_CHECKING:
    from collections.abc import Collection

    from fxstudio.decoder.description.model import Description
    from fxstudio.decoder.values.compile import Compiled
    from fxstudio.effect.model import Effect

SOLDERING = (
    "Cut the track power before you touch a wire. Resistors get hot: keep them off plastic and in "
    "free air. Solder where the fumes are drawn off and wear eye protection. Insulate every joint, "
    "and follow the decoder maker's and the LED's data sheet, local codes, and licensed practice "
    "for anything on the mains."
)


def decimal(text: object) -> float:
    """A number from an option; a message that a person understands if it is none."""
    try:
        return float(str(text))
    except ValueError:
        raise typer.BadParameter(
            f"'{text}' is not a number; decimals have a point, like 2.1"
        ) from None


Size = StrEnum("Size", list(TRACK_VOLTAGES))
Values = StrEnum("Values", [(name, name) for name in SERIES])
Plug = StrEnum("Plug", list(CONNECTORS))


@app.command(
    epilog="""More examples:

    fxstudio resistor --forward 3.1 --current 3 --values E24

    fxstudio resistor --colour amber --leds 2 --supply 12 --highest 12

Try it in a new folder:

    fxstudio resistor --colour red"""
)
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
    ] = Size.ho,
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
    """Find the resistor that an LED needs: its value, its heat and its rating."""
    from fxstudio.electrics.resistor import ohms, series_resistor, warnings, watts

    volts = TRACK_VOLTAGES[size.value]
    chain = [*(_typical_v(name) for name in colour or ()), *(forward or ())]
    if highest is not None and highest < (supply or volts.normal_v):
        raise InputError(
            "the highest voltage is below the normal one", field="--highest", given=highest,
            allowed=f"{supply or volts.normal_v:g} V or more", remedy="change it or leave it out",
        )  # fmt: skip
    found = series_resistor(
        volts.normal_v if supply is None else supply,
        tuple(chain) * leds,
        current,
        series=values.value,
        highest_v=volts.highest_v if highest is None else highest,
        lowest_v=volts.lowest_v if highest is None else None,
    )
    to_mind = warnings(found, led_limit)
    if found.rating_mw is None:
        rating = "with a rating that usual resistors do not have"
    else:
        rating = f"rated {watts(found.rating_mw)} or more"
    count = len(chain) * leds
    console.label(
        ohms(found.ohm),
        f", {rating}, for each chain of {count} LED{'s' if count > 1 else ''} "
        f"(worked out {ohms(round(found.exact_ohm, 1))}, next {values} value up)",
    )
    rows = [("normal", found.supply_v), ("highest", found.highest_v)]
    if highest is None:
        rows = [("lowest", found.lowest_v), *rows, ("a decoder must survive", volts.withstand_v)]
    console.show_table(
        f"LEDs need {found.forward_v:g} V",
        (("voltage", "left"), ("V", "right"), ("LED mA", "right"), ("resistor mW", "right")),
        [
            (name, f"{v:g}", f"{found.current_ma(v):.2f}", f"{found.power_mw(v):.1f}")
            for name, v in rows
        ],
    )
    if colour:
        console.say(
            "Forward voltages by colour are common practice: the data sheet's is better. "
            + "; ".join(
                f"{name} {LED_COLOURS[name].lowest_v:g} to {LED_COLOURS[name].highest_v:g} V"
                for name in dict.fromkeys(colour)
            )
        )
    console.say(
        "The rating is twice the heat at the highest voltage, which is common practice. All of the "
        "track voltage is reckoned with; the decoder keeps a volt or so of it, so less flows."
    )
    for warning in to_mind:
        console.label("mind", f" {warning}", "yellow")
    console.say(SOLDERING, "dim")


@app.command(
    epilog="""More examples:

    fxstudio currents 3=5 4=5 --decoder my_decoder.toml --plug nem652

Try it in a new folder:

    fxstudio currents 1=5 3=5+5 --output-limit 100 --decoder-limit 500"""
)
def currents(
    loads: Annotated[
        list[str],
        typer.Argument(
            metavar="OUTPUT=MA...",
            help="Current on an output; 5+5 for two chains. If you do not know it, "
            "`fxstudio resistor` works it out.",
        ),
    ],
    decoder: DecoderName = None,
    output_limit: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What each output may switch. If the manual does not say, leave it out: the "
            "currents are added up all the same.",
        ),
    ] = None,
    decoder_limit: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What all outputs may give together. If the manual does not say, leave it out and "
            "ask the maker.",
        ),
    ] = None,
    plug: Annotated[Plug | None, typer.Option(help="Plug between decoder and locomotive.")] = None,
    effect: Annotated[
        str | None,
        typer.Option(
            metavar="EFFECT",
            help="Effect that says what is lit at once; without it, the decoder as delivered.",
        ),
    ] = None,
) -> None:
    """Add up the currents of the lamps, against what outputs, decoder and plug can carry.

    The decoder's limit is compared with the most that can be lit at once: lamps of opposite
    directions do not add up.
    """
    from fxstudio.electrics.load import add_up
    from fxstudio.electrics.wiring import not_carried, wire_of_output

    chains = _chains(loads)
    description = description_for(decoder) if decoder else None
    if description:
        _check_outputs(description, chains)
        if decoder_limit is None:
            decoder_limit = description.limit_ma
    wires = {output.number: output.wire for output in description.outputs} if description else {}
    total = add_up(
        chains, _limits(description, output_limit), decoder_limit,
        _lit_together(effect, description, chains),
    )  # fmt: skip
    rows = [
        (
            str(load.output),
            wires.get(load.output)
            or (wire.colour if (wire := wire_of_output(load.output)) else "see the manual"),
            f"{load.current_ma:g}",
            _known(load.limit_ma),
            "too much" if load.is_over else "",
        )
        for load in total.outputs
    ]
    over = "too much" if total.is_over else ""
    console.show_table(
        "currents",
        (
            ("output", "right"), ("wire", "left"), ("mA", "right"), ("at most", "right"), ("", ""),
        ),
        [*rows, ("at once", "", f"{total.current_ma:g}", _known(total.limit_ma), over)],
    )  # fmt: skip
    console.say(f"{total.words}.")
    said = total.warnings()
    if plug is not None:
        said += not_carried(CONNECTORS[plug.value], chains)
    for warning in said:
        console.label("mind", f" {warning}", "yellow")
    console.say(
        "These are currents at the normal voltage; they rise with the track's. The limits are in "
        "the decoder maker's manual.",
        "dim",
    )


@app.command(
    epilog="""More examples:

    fxstudio wires --plug nem652

Try it in a new folder:

    fxstudio wires"""
)
def wires(
    plug: Annotated[Plug | None, typer.Option(help="Show only this plug.")] = None,
) -> None:
    """Show the colours of decoder wires and the contacts of decoder plugs."""
    from fxstudio.electrics.wiring import WIRE_BY_COLOUR, WIRES

    if plug is None:
        console.show_table(
            "wires",
            (("wire", "left"), ("for", "left"), ("known from", "left")),
            [(wire.colour, wire.use, wire.source) for wire in WIRES],
        )
    for name, connector in CONNECTORS.items():
        if plug is not None and name != plug.value:
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


def _typical_v(name: str) -> float:
    if name not in LED_COLOURS:
        raise InputError(
            "is not a colour in the table", field="--colour", given=name,
            choices=LED_COLOURS, remedy="give --forward with the LED's voltage instead",
        )  # fmt: skip
    return LED_COLOURS[name].typical_v


def _chains(loads: list[str]) -> dict[int, list[float]]:
    """Currents of the chains by output, from texts like `3=5+5`."""
    chains: dict[int, list[float]] = {}
    for text in loads:
        output, _, currents_ma = text.partition("=")
        try:
            number, parts = int(output), [float(part) for part in currents_ma.split("+")]
        except ValueError:
            number, parts = 0, []
        if not 1 <= number <= 32:
            raise InputError(
                "is not the current of an output", field="OUTPUT=MA", given=text,
                allowed="an output 1 to 32, =, and mA, with a point for decimals",
                remedy="write it like 3=5, or 3=5+2.5 for two chains",
            )  # fmt: skip
        if number in chains:
            raise InputError(
                f"output {number} is given twice", field="OUTPUT=MA", given=text,
                allowed="each output once", remedy=f"add its chains, like {number}=5+5",
            )  # fmt: skip
        chains[number] = parts
    return chains


def _limits(
    description: Description | None, output_limit: float | None
) -> dict[int, float] | float | None:
    """What each output may switch: from the option, or from the decoder's description."""
    if output_limit is not None or description is None:
        return output_limit
    return {output.number: output.current_ma for output in description.outputs}


def _check_outputs(description: Description, outputs: dict[int, list[float]]) -> None:
    """Raise InputError for an output that the decoder lacks."""
    known = [output.number for output in description.outputs]
    for output in outputs:
        if output not in known:
            raise InputError(
                f"{description.title} has no output {output}", field="OUTPUT=MA", given=output,
                allowed=", ".join(map(str, known)), remedy="use one of its outputs",
            )  # fmt: skip


def _lit_together(
    effect: str | None, description: Description | None, outputs: Collection[int]
) -> list[set[int]] | None:
    """Sets of outputs that can be lit at once: by an effect, or by the keys as delivered.

    Outputs that the effect does not use may be lit at any time.
    """
    from fxstudio.decoder.values.compile import compile_effect
    from fxstudio.effect.files import find_effect, read_effect
    from fxstudio.light.truth_table import lit_together

    if effect is not None:
        source = find_effect(effect)
        seen = read_effect(source)
        if description:
            with naming(source):
                seen = compile_effect(seen, description).seen
        others = set(outputs) - {lamp.output for lamp in seen.lamps.values()}
        return [others | each for each in lit_together(seen)]
    if description is None:
        return None
    return [
        {output.number for output in description.outputs if output.travel in (way, "both")}
        for way in ("forward", "reverse")
    ]


def show_currents(effect: Effect, description: Description, compiled: Compiled) -> None:
    """What the lamps of an effect draw at once, one LED each, and what to mind."""
    from fxstudio.export.wiring import wiring

    soldered = wiring(effect, description, seen=compiled.seen)
    console.label("  currents", f" {soldered.loads.words} (one LED to each lamp)")
    for mind in soldered.minds:
        console.label("  mind", f" {mind}", "yellow")


def _known(limit_ma: float | None) -> str:
    return "not given" if limit_ma is None else f"{limit_ma:g}"
