"""`fxstudio figures`, `calm` and `camera`: light in numbers, tamed, and before a camera."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import (
    DecoderName,
    EffectName,
    app,
    compile_for,
    description_file,
    write_text,
)
from fxstudio.cli.endings import check_ending
from fxstudio.cli.files import Replace, check_files
from fxstudio.cli.film import calmer, caution_flashes, picture_size, show_fitted, show_verdict
from fxstudio.errors import InputError, naming

if TYPE_CHECKING:
    from fxstudio.light.figures import Figures

FIGURES = (
    ("lamp", "left"),
    ("percent flicker", "right"),
    ("flicker index", "right"),
    ("most at", "right"),
    ("90 % in Hz", "right"),
    ("mean L*", "right"),
    ("L* range", "right"),
)

CAMERA = (("frames/s", "right"), ("shutter", "right"), ("what is seen", "left"))


@app.command(
    epilog="""More examples:

    fxstudio figures my_fire.toml --plot my_fire.png

Try it in a new folder:

    fxstudio figures banked_fire"""
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
    """
    from fxstudio.effect.files import find_effect, read_effect
    from fxstudio.export.plot import check_plot, plot_traces
    from fxstudio.film.screening import traces
    from fxstudio.film.take import Shot
    from fxstudio.light.simulation import Simulation

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
        with console.progress(f"measuring {shown.source.stem}") as progress:
            found = traces(shown, shot=Shot(seed=seed), progress=progress)
    console.show_table(shown.title, FIGURES, (_row(t.name, t.figures) for t in found))
    show_fitted(Simulation(shown, shown.shown_by, seed).loop.fitted)
    if plot:
        plot_traces(plot, shown.title, found)
        console.label(plot, ": light over time, and how much of it changes at which rate")
    console.caution("looking")


def _row(name: str, found: Figures) -> tuple[str, ...]:
    steady = found.dominant_hz is None
    return (
        name,
        f"{found.percent_flicker:.0%}",
        f"{found.flicker_index:.3f}",
        "steady" if steady else f"{found.dominant_hz:.2g} Hz",
        "" if steady else "{:.2g}-{:.2g}".format(*found.band_hz),
        f"{found.mean_lightness:.0f}",
        f"{found.lowest_lightness:.0f}-{found.highest_lightness:.0f}",
    )


@app.command(
    epilog="""More examples:

    fxstudio calm my_fire.toml -o my_calm_fire.toml

Try it in a new folder:

    fxstudio calm banked_fire -o calm_fire.toml"""
)
def calm(
    effect: EffectName,
    output: Annotated[Path, typer.Option("--output", "-o", help="Effect file to write; required.")],
    size: Annotated[str, typer.Option(help="Width x height of the film in pixels.")] = "480x320",
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1,
    replace: Replace = False,
) -> None:
    """Write the nearest effect whose film does not flash too much.

    Flicker is made shallower, slower or smoother, whichever changes the look least. Each number
    is changed no further than it must be: one step less in its last digit, and the film flashes
    too much. Comments and layout of the file are kept. If the effect passes as it is, no file is
    written.
    """
    from fxstudio.documents import read_text
    from fxstudio.effect.files import find_effect, read_effect
    from fxstudio.effect.writing import to_text
    from fxstudio.film.take import Shot

    check_ending("calm", "--output", output)
    source = find_effect(effect)
    check_files([("EFFECT", source)], [("--output", output)], replace)
    wanted = read_effect(source)
    calmed = calmer(wanted, None, Shot(*picture_size(size), seed=seed))
    if calmed.changes:
        write_text(output, to_text(calmed.effect, read_text(wanted.source)))
        console.label(output, ": the calmer effect")
    else:
        console.say("It passes as it is; nothing was written.")
    show_verdict(calmed.verdict)
    caution_flashes()


@app.command(
    epilog="""More examples:

    fxstudio camera my_decoder.toml --shutter 1/50

Try it in a new folder:

    fxstudio camera withybank_glim"""
)
def camera(
    decoder: Annotated[
        str, typer.Argument(metavar="DECODER", help="A decoder description by name or path.")
    ],
    shutter: Annotated[
        str | None, typer.Option(help="Exposure time such as 1/50; without it, half a frame.")
    ] = None,
) -> None:
    """Show how a decoder's dimming looks on film, and which shutter hides it.

    A decoder dims a lamp by switching it on and off, faster than the eye sees but not faster
    than a camera: the picture then pulses, or shows bands.
    """
    from fxstudio.decoder.description.files import find_description, read_description
    from fxstudio.light.carrier import CAMERA_FPS, Carrier, carrier_risk, seen
    from fxstudio.light.carrier import shutter_text as text

    described = read_description(find_description(decoder))
    carrier = Carrier.of(described.pwm.refresh_ms, described.pwm.levels)
    shutter_s = _shutter_s(shutter) if shutter else None
    rows = [seen(carrier, fps, shutter_s) for fps in CAMERA_FPS if _fits(shutter_s, fps)]
    console.say(
        f"{described.title} dims with {carrier.rate_hz:.4g} pulses a second, "
        f"{carrier.levels} levels."
    )
    console.show_table(
        "On film", CAMERA, ((f"{row.fps:g}", text(row.shutter_s), str(row)) for row in rows)
    )
    console.say(
        f"For people: {carrier_risk(carrier.rate_hz)} (limits of IEEE 1789-2015 for the pulses "
        "alone, as remembered; see the standard).",
        "dim",
    )


def _fits(shutter_s: float | None, fps: float) -> bool:
    return shutter_s is None or shutter_s <= 1 / fps + 1e-9


def _shutter_s(text: str) -> float:
    """Seconds of `1/50` or `0.02`."""
    over, slash, under = text.partition("/")
    try:
        shutter_s = float(over) / float(under) if slash else float(over)
    except (ValueError, ZeroDivisionError):
        shutter_s = 0.0
    if not 1e-5 <= shutter_s <= 1 / 24 + 1e-9:
        raise InputError(
            "is no exposure time of a film", field="--shutter", given=text,
            allowed="1/24 s or shorter, down to 1/100000", remedy="write it like 1/50",
        )  # fmt: skip
    return shutter_s
