"""`fxstudio calm`: a calmer effect as a file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import EffectName, Replace, Size, picture_size
from fxstudio.cli.harmless.calming import calmer
from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import caution_flashes, show_judged, show_verdict
from fxstudio.cli.shown.written import write_text
from fxstudio.documents.reading import read_text
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.effect.writing import to_text
from fxstudio.film.take import Shot


def calm(
    effect: EffectName,
    output: Annotated[Path, typer.Option("--output", "-o", help="Effect file to write; required.")],
    size: Size = "480x320",
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1,
    replace: Replace = False,
) -> None:
    """Write the nearest effect whose film does not flash too much.

    Flicker is made shallower, slower or smoother, whichever changes the look least. Each number
    is changed no further than it must be: one step less in its last digit, and the film flashes
    too much. Comments and layout of the file are kept. If the effect passes as it is, no file is
    written.

    Examples:
        fxstudio calm my_fire.toml -o my_calm_fire.toml

    Try it in a new folder:
        fxstudio calm banked_fire -o calm_fire.toml
    """
    check_ending("calm", "--output", output)
    source = find_effect(effect)
    check_files([("EFFECT", source)], [("--output", output)], replace)
    wanted = read_effect(source)
    calmed = calmer(wanted, None, Shot(*picture_size(size), seed=seed))
    if calmed.changes:
        write_text(output, to_text(calmed.effect, read_text(source)))
        console.label(output, ": the calmer effect")
    else:
        console.say("It passes as it is; nothing was written.")
    show_judged(calmed.effect)
    show_verdict(calmed.verdict)
    caution_flashes()
