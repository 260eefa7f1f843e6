"""`fxstudio sheet`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from fxstudio.cautions import WRITING, for_steps
from fxstudio.cli.bench.options import SheetOptions
from fxstudio.cli.decoder.asked import read_asked, renewing
from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import write_text
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.electrics.resistor import LED_COLOURS
from fxstudio.errors import InputError, naming
from fxstudio.export.bench_sheet import bench_sheet
from fxstudio.export.wiring import Solder


def sheet(asked: SheetOptions) -> None:
    """Do what `SheetOptions` asks for."""
    check_ending("sheet", "--output", asked.output)
    source = find_effect(asked.effect)
    target = asked.output or Path(f"{source.stem}.sheet.html")
    check_files(
        [
            ("EFFECT", source),
            ("--decoder", description_file(asked.decoder)),
            ("--present", asked.present),
        ],
        [("--output", target)],
        asked.replace,
        renewing(asked.decoder, asked.present),
    )
    wanted = read_effect(source)
    leaflet, held, earlier, extras = read_asked(asked.decoder, asked.present, asked.extra)
    solder = Solder(
        asked.size.value,
        asked.current,
        asked.values.series,
        _kinds(asked.led or (), list(wanted.lamps)),
    )
    with naming(source):  # what is wrong in the file; all else is wrong in the options
        compile_effect(wanted, leaflet)
    with console.progress(f"filming {source.stem}") as progress:
        html = bench_sheet(
            wanted,
            leaflet,
            held,
            extras,
            solder,
            asked.film,
            progress,
            date.today(),
            earlier,
            asked.accept_dark,
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
