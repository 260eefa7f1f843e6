"""`fxstudio figures`: light in numbers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.decoders import compile_for, description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import DecoderName, EffectName, Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.film import called, show_fitted
from fxstudio.effect.files import find_effect, read_effect
from fxstudio.errors import naming
from fxstudio.export.plot import check_plot, plot_traces
from fxstudio.film.screening import traces
from fxstudio.film.take import Shot
from fxstudio.light.figures import Figures
from fxstudio.light.simulation import Simulation

FIGURES = (
    ("lamp", "left"),
    ("percent flicker", "right"),
    ("flicker index", "right"),
    ("most at", "right"),
    ("90 % in Hz", "right"),
    ("mean L*", "right"),
    ("L* range", "right"),
)


def figures(
    effect: EffectName,
    plot: Annotated[
        Path | None,
        typer.Option(help="Picture of light and spectrum to write: .png, .svg or .pdf."),
    ] = None,
    decoder: DecoderName = None,
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1,
    replace: Replace = False,
) -> None:
    """Show how much, how fast and how bright each lamp and the whole picture flicker.

    Percent flicker is (most - least) / (most + least). The flicker index is the light above
    the mean over all light. L* is lightness as the eye sees it, 0 black to 100 white. All
    of them are measured over one loop of the effect's own drive.

    Examples:
        fxstudio figures my_fire.toml --plot my_fire.png

    Try it in a new folder:
        fxstudio figures banked_fire
    """
    check_ending("figures", "--plot", plot)
    source = find_effect(effect)
    described = description_file(decoder) if decoder else None
    check_files([("EFFECT", source), ("--decoder", described)], [("--plot", plot)], replace)
    if plot:
        check_plot(plot)
    shown = read_effect(source)
    with naming(source):
        if decoder:
            shown = compile_for(shown, decoder).seen
        with console.progress(f"measuring {called(shown)}") as progress:
            found = traces(shown, shot=Shot(seed=seed), progress=progress)
    console.show_table(shown.title, FIGURES, (_row(t.name, t.figures) for t in found))
    show_fitted(Simulation(shown, shown.shown_by, seed).loop.fitted)
    if plot:
        plot_traces(plot, shown.title, found)
        console.label(plot, ": light over time, and how much of it changes at which rate")
    console.caution("looking")


def _row(name: str, found: Figures) -> tuple[str, ...]:
    return (
        name,
        f"{found.percent_flicker:.0%}",
        f"{found.flicker_index:.3f}",
        "steady" if found.dominant_hz is None else f"{found.dominant_hz:.2g} Hz",
        "" if found.band_hz is None else "{:.2g}-{:.2g}".format(*found.band_hz),
        f"{found.mean_lightness:.0f}",
        f"{found.lowest_lightness:.0f}-{found.highest_lightness:.0f}",
    )
