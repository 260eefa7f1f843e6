"""What may be given to the commands at the bench, with their help; the caution of who solders."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.options import (
    AcceptDark,
    DecoderName,
    EffectName,
    ExtraCvs,
    PresentFile,
    Replace,
    decimal,
)
from fxstudio.electrics.resistor import (
    ASSUMED_CURRENT_MA,
    COMMON_LED_LIMIT_MA,
    LED_COLOURS,
    SeriesName,
)

SOLDERING = (
    "Cut the track power before you touch a wire. Resistors get hot: keep them off plastic and in "
    "free air. Solder where the fumes are drawn off and wear eye protection. Insulate every joint, "
    "and follow the decoder maker's and the LED's data sheet, local codes, and licensed practice "
    "for anything on the mains."
)


class Size(StrEnum):
    """Sizes of a model: rows of `TRACK_VOLTAGES`."""

    N = "n"
    HO = "ho"
    LARGE = "large"


class Values(StrEnum):
    """Series of resistors: rows of `SERIES`."""

    E12 = "E12"
    E24 = "E24"

    @property
    def series(self) -> SeriesName:
        """The name of the row."""
        return "E12" if self is Values.E12 else "E24"


class Plug(StrEnum):
    """Plugs of decoders: rows of `CONNECTORS`."""

    NEM651 = "nem651"
    NEM652 = "nem652"


@dataclass(frozen=True)
class SheetOptions:
    """Make a bench sheet: one HTML file to print and tick off beside the locomotive.

    It holds pictures of the effect, wires and resistors, the writes in order, test steps, the
    truth table, the restore list and the decoder's description in words, with a blank for each
    thing that it does not say. It prints on A4 and on Letter, and needs no network.

    Examples:
        fxstudio sheet my_fire.toml -d my_decoder.toml --present now.csv
        fxstudio sheet my_fire.toml -d my_decoder.toml --led flames=yellow

    Try it in a new folder:
        fxstudio sheet banked_fire --decoder withybank_glim -o sheet.html
    """

    effect: EffectName
    decoder: DecoderName = None
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="HTML file to write; without it, EFFECT.sheet.html."),
    ] = None
    present: PresentFile = None
    extra: ExtraCvs = None
    size: Annotated[
        Size, typer.Option(help="Size of the model, for the standard's track voltages.")
    ] = Size.HO
    current: Annotated[
        float, typer.Option(metavar="MA", help="Wanted current in mA of each LED.")
    ] = ASSUMED_CURRENT_MA
    values: Annotated[Values, typer.Option(help="Series of resistors you can buy.")] = Values.E12
    led: Annotated[
        list[str] | None,
        typer.Option(
            metavar="LAMP=KIND",
            help=f"Kind of LED of a lamp, if its colour does not tell: {', '.join(LED_COLOURS)}.",
        ),
    ] = None
    film: Annotated[
        bool, typer.Option(help="Put a film of the effect in it, for reading on a screen.")
    ] = True
    accept_dark: AcceptDark = False
    replace: Replace = False


@dataclass(frozen=True)
class TruthOptions:
    """Show which lamps are lit by which key and travel, and the fewest steps that prove it.

    For each step, set the direction and the keys, look at the lamps and tick the step off. After
    the last step you have seen every lamp lit and dark, by its key and by its direction.
    Where a lamp minds several keys, every row of the table is a step.

    Examples:
        fxstudio truth my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio truth chimney_first
    """

    effect: EffectName
    decoder: DecoderName = None


@dataclass(frozen=True)
class ResistorOptions:
    """Find the resistor that an LED needs: its value, its heat and its rating.

    Examples:
        fxstudio resistor --forward 3.1 --current 3 --values E24
        fxstudio resistor --colour amber --leds 2 --supply 12 --highest 12

    Try it in a new folder:
        fxstudio resistor --colour red
    """

    colour: Annotated[
        list[str] | None,
        typer.Option(
            help="Colour of an LED in the chain; repeat it for the next LED. "
            f"One of {', '.join(LED_COLOURS)}."
        ),
    ] = None
    forward: Annotated[
        list[float] | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Forward voltage from the data sheet; repeat it for the next LED. Without a data "
            "sheet, give --colour instead.",
        ),
    ] = None
    leds: Annotated[
        int, typer.Option(min=1, max=20, help="How many such LEDs are in one chain.")
    ] = 1
    current: Annotated[
        float,
        typer.Option(
            parser=decimal, metavar="MA", help="Wanted current in mA at the normal voltage."
        ),
    ] = ASSUMED_CURRENT_MA
    size: Annotated[
        Size, typer.Option(help="Size of the model, for the standard's track voltages.")
    ] = Size.HO
    supply: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Normal voltage of your track. If you do not know it, leave it out.",
        ),
    ] = None
    highest: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="V",
            help="Highest voltage of your track. If you do not know it, leave it out.",
        ),
    ] = None
    led_limit: Annotated[
        float,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What the LED takes at most, by its data sheet. Without one, leave it out.",
        ),
    ] = COMMON_LED_LIMIT_MA
    values: Annotated[Values, typer.Option(help="Series of values you can buy.")] = Values.E12


@dataclass(frozen=True)
class CurrentsOptions:
    """Add up the currents of the lamps, against what outputs, decoder and plug can carry.

    The decoder's limit is compared with the most that can be lit at once: lamps of opposite
    directions do not add up.

    Examples:
        fxstudio currents 3=5 4=5 --decoder my_decoder.toml --plug nem652

    Try it in a new folder:
        fxstudio currents 1=5 3=5+5 --output-limit 100 --decoder-limit 500
    """

    loads: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="OUTPUT=MA...",
            help="Current on an output; 5+5 for two chains. If you do not know it, "
            "`fxstudio resistor` works it out. Lamps of the effect that say theirs need none.",
        ),
    ] = None
    decoder: DecoderName = None
    output_limit: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What each output may switch. If the manual does not say, leave it out: the "
            "currents are added up all the same.",
        ),
    ] = None
    decoder_limit: Annotated[
        float | None,
        typer.Option(
            parser=decimal,
            metavar="MA",
            help="What all outputs may give together. If the manual does not say, leave it out and "
            "ask the maker.",
        ),
    ] = None
    plug: Annotated[Plug | None, typer.Option(help="Plug between decoder and locomotive.")] = None
    effect: Annotated[
        str | None,
        typer.Option(
            metavar="EFFECT",
            help="Effect that says what is lit at once; without it, the decoder as delivered.",
        ),
    ] = None


@dataclass(frozen=True)
class WiresOptions:
    """Show the colours of decoder wires and the contacts of decoder plugs.

    Examples:
        fxstudio wires --plug nem652

    Try it in a new folder:
        fxstudio wires
    """

    plug: Annotated[Plug | None, typer.Option(help="Show only this plug.")] = None
