"""`fxstudio sheet`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cautions import WRITING, for_steps
from fxstudio.cli.bench.options import Size, Values
from fxstudio.cli.decoder.asked import AcceptDark, ExtraCvs, PresentFile, read_asked, renewing
from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import DecoderName, EffectName, Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import write_text
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.electrics.resistor import ASSUMED_CURRENT_MA, LED_COLOURS
from fxstudio.errors import InputError, naming
from fxstudio.export.bench_sheet import bench_sheet
from fxstudio.export.wiring import Solder


def sheet(
    effect: EffectName,
    decoder: DecoderName = None,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="HTML file to write; without it, EFFECT.sheet.html."),
    ] = None,
    present: PresentFile = None,
    extra: ExtraCvs = None,
    size: Annotated[
        Size, typer.Option(help="Size of the model, for the standard's track voltages.")
    ] = Size.HO,
    current: Annotated[
        float, typer.Option(metavar="MA", help="Wanted current in mA of each LED.")
    ] = ASSUMED_CURRENT_MA,
    values: Annotated[Values, typer.Option(help="Series of resistors you can buy.")] = Values.E12,
    led: Annotated[
        list[str] | None,
        typer.Option(
            metavar="LAMP=KIND",
            help=f"Kind of LED of a lamp, if its colour does not tell: {', '.join(LED_COLOURS)}.",
        ),
    ] = None,
    film: Annotated[
        bool, typer.Option(help="Put a film of the effect in it, for reading on a screen.")
    ] = True,
    accept_dark: AcceptDark = False,
    replace: Replace = False,
) -> None:
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
    check_ending("sheet", "--output", output)
    source = find_effect(effect)
    target = output or Path(f"{source.stem}.sheet.html")
    check_files(
        [("EFFECT", source), ("--decoder", description_file(decoder)), ("--present", present)],
        [("--output", target)],
        replace,
        renewing(decoder, present),
    )
    wanted = read_effect(source)
    leaflet, held, earlier, extras = read_asked(decoder, present, extra)
    solder = Solder(size.value, current, values.series, _kinds(led or (), list(wanted.lamps)))
    with naming(source):  # what is wrong in the file; all else is wrong in the options
        compile_effect(wanted, leaflet)
    with console.progress(f"filming {source.stem}") as progress:
        html = bench_sheet(
            wanted,
            leaflet,
            held,
            extras,
            solder,
            film,
            progress,
            date.today(),
            earlier,
            accept_dark,
        )
    write_text(target, html)
    console.label(target, f": bench sheet, {len(html.encode()) / 1e6:.2f} MB; open and print it")
    for caution in for_steps("wiring", *WRITING):
        console.label("caution", f" {caution}", "yellow")
    console.caution("looking")


def _kinds(texts: list[str] | tuple[()], lamps: list[str]) -> dict[str, str]:
    """Kinds of LED by name of the lamp, from texts like `flames=yellow`."""
    kinds = {}
    for text in texts:
        lamp, _, kind = text.partition("=")
        for name, known, what in (
            (lamp, lamps, "is not a lamp of the effect"),
            (kind, LED_COLOURS, "is not a kind of LED"),
        ):
            if name not in known:
                raise InputError(what, field="--led", given=name, choices=known).advising(
                    f"write a lamp and its kind of LED like {lamps[0]}=red"
                )
        kinds[lamp] = kind
    return kinds
