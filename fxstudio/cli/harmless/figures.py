"""`fxstudio figures`: light in numbers."""

from __future__ import annotations

from fxstudio.cli.given.decoders import compile_for, description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.harmless.options import FiguresOptions
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


def figures(asked: FiguresOptions) -> None:
    """Do what `FiguresOptions` asks for."""
    check_ending("figures", "--plot", asked.plot)
    source = find_effect(asked.effect)
    described = description_file(asked.decoder) if asked.decoder else None
    check_files(
        [("EFFECT", source), ("--decoder", described)], [("--plot", asked.plot)], asked.replace
    )
    if asked.plot:
        check_plot(asked.plot)
    shown = read_effect(source)
    with naming(source):
        if asked.decoder:
            shown = compile_for(shown, asked.decoder).seen
        with console.progress(f"measuring {called(shown)}") as progress:
            found = traces(shown, shot=Shot(seed=asked.seed), progress=progress)
    console.show_table(shown.title, FIGURES, (_row(t.name, t.figures) for t in found))
    show_fitted(Simulation(shown, shown.shown_by, asked.seed).loop.fitted)
    if asked.plot:
        plot_traces(asked.plot, shown.title, found)
        console.label(asked.plot, ": light over time, and how much of it changes at which rate")
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
