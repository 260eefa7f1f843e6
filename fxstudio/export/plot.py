"""Draw light over time and its spectrum.

matplotlib is an optional part: it draws axes that people can read, and only this needs it.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from fxstudio.colour import lightness
from fxstudio.errors import InputError
from fxstudio.light.figures import LampLight, octave_power, spectrum
from fxstudio.units import hz, percent
from fxstudio.whole_files import replacing

FORMATS = (".png", ".svg", ".pdf")
INK, PAPER, PALE = "#2b2b2b", "#ffffff", "#d9d9d9"
LOWEST_HZ, HIGHEST_HZ = 0.1, 25.0
TICKS_HZ = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20)
ROW_INCHES, WIDTH_INCHES = 2.1, 10.5


def check_plot(path: Path) -> None:
    """Raise InputError if the kind of file is unknown or matplotlib is not installed."""
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            "is no kind of picture that can be drawn", field="--plot", given=str(path)
        ).allowing(", ".join(FORMATS), remedy="end the name in one of these")
    _figure()


def plot_traces(path: Path, title: str, traces: Sequence[LampLight]) -> None:
    """Draw each trace beside its spectrum, one row each, into a picture file.

    Raises InputError as `check_plot` does, WriteError if the file cannot be written.
    """
    check_plot(path)
    figure = _figure()(figsize=(WIDTH_INCHES, ROW_INCHES * len(traces) + 0.7), facecolor=PAPER)
    axes = figure.subplots(len(traces), 2, squeeze=False, sharex="col", width_ratios=(3, 2))
    for (over_time, over_rate), trace in zip(axes, traces, strict=True):
        _draw_time(over_time, trace)
        _draw_spectrum(over_rate, trace)
    axes[-1, 0].set_xlabel("time in s, one loop")
    axes[-1, 1].set_xlabel("rate in Hz; area: a third of an octave, lines: each rate")
    figure.suptitle(title, x=0.01, ha="left", fontweight="bold", color=INK, parse_math=False)
    figure.set_layout_engine("constrained")
    with replacing(path) as file:
        figure.savefig(file, format=path.suffix[1:].lower(), dpi=110)


def _figure() -> Any:
    try:
        from matplotlib.figure import Figure
    except ImportError as error:
        raise InputError(
            "drawing a plot needs matplotlib, which is not installed", field="--plot"
        ).advising('install it with: pip install "fxstudio[plot]"') from error
    return Figure


def _draw_time(axes: Any, trace: LampLight) -> None:
    times = np.arange(len(trace.light)) * trace.step_s
    shown = lightness(np.clip(trace.light, 0, 1))
    figures = trace.figures
    axes.plot(times, shown, color=INK, linewidth=0.9)
    axes.fill_between(times, shown, color=trace.colour, linewidth=0)
    axes.axhline(figures.mean_lightness, color=INK, linewidth=0.7, linestyle=":")
    axes.set(ylim=(0, 100), xlim=(0, times[-1] + trace.step_s), ylabel="L*")
    title = (
        f"{trace.name}: percent flicker {percent(figures.percent_flicker)}, "
        f"flicker index {figures.flicker_index:.2f}, mean L* {figures.mean_lightness:.0f}"
    )
    axes.set_title(title, loc="left", fontsize=9, color=INK, parse_math=False)
    _plain(axes)


def _draw_spectrum(axes: Any, trace: LampLight) -> None:
    rates, power = spectrum(trace.light, trace.step_s)
    seen = rates <= HIGHEST_HZ
    figures = trace.figures
    if figures.band_hz is None or figures.dominant_hz is None:
        axes.text(0.5, 0.5, "steady", transform=axes.transAxes, ha="center", color=INK)
        axes.set(yticks=[])
        label = "no change"
    else:
        # The square root is in the units of light: how far it swings to either side.
        swing = np.sqrt(2 * octave_power(rates, power)[seen])
        each = np.sqrt(2 * power[seen] * rates[0])
        axes.axvspan(*figures.band_hz, color=PALE, linewidth=0, zorder=0)
        axes.fill_between(rates[seen], swing, color=trace.colour, linewidth=0, zorder=1)
        axes.plot(rates[seen], swing, color=INK, linewidth=0.9, zorder=2)
        axes.vlines(rates[seen], 0, each, color=INK, linewidth=0.6, zorder=2)
        axes.axvline(figures.dominant_hz, color=INK, linewidth=0.7, linestyle=":", zorder=2)
        axes.set_ylim(bottom=0)
        low, high = figures.band_hz
        label = f"most at {hz(figures.dominant_hz)}, 90 % from {low:.2g} to {high:.2g} Hz"
    axes.set(xscale="log", xlim=(LOWEST_HZ, HIGHEST_HZ), ylabel="swing")
    axes.set_xticks(TICKS_HZ, [f"{rate:g}" for rate in TICKS_HZ])
    axes.minorticks_off()
    axes.set_title(label, loc="left", fontsize=9, color=INK)
    _plain(axes)


def _plain(axes: Any) -> None:
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=8)
    axes.yaxis.label.set_size(8)
