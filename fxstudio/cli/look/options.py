"""What may be given to the commands to see a look, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.options import DecoderName, Replace, Size
from fxstudio.film.choices.table import FILM_CHOICES


@dataclass(frozen=True)
class DemoOptions:
    """Get a film of a fire in a cab, and the values that make it.

    Examples:
        fxstudio demo --into my_demo

    Try it in a new folder:
        fxstudio demo
    """

    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "fxstudio-demo"
    )
    replace: Replace = False


@dataclass(frozen=True)
class ListOptions:
    """List the shipped effects and decoders, and the scenes, places and patterns to use.

    Try it in a new folder:
        fxstudio list
    """


@dataclass(frozen=True)
class ShowOptions:
    """Open the window, where you see an effect live, change it and save it.

    Without EFFECT the window opens with a new one.

    Examples:
        fxstudio show my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio show banked_fire
    """

    effect: Annotated[
        str | None,
        typer.Argument(metavar="[EFFECT]", help="A shipped effect by name, or a path."),
    ] = None
    decoder: DecoderName = None


@dataclass(frozen=True)
class FilmOptions:
    """Film effects as GIFs that loop without a seam.

    The ending of a name given with --output may ask for another kind of film.

    With --decoder the film shows what that decoder will really do, and the values to write
    are put beside the film as text. What its description does not say is drawn as you wish it,
    and told.

    A film that flashes more than WCAG 2.3.1 allows is refused, and the nearest effect that
    passes is looked for and offered. With --accept-flashes it is filmed, and says so in its
    comment.

    Examples:
        fxstudio film my_fire.toml --travel reverse --keys F1,F2 -o reverse.gif
        fxstudio film my_fire.toml --decoder my_decoder.toml
        fxstudio film my_fire.toml -o post.webp --size square --max-size 2MB
        fxstudio film my_fire.toml --tour --lanes -o tour.gif
        fxstudio film my_fire.toml --decoder my_decoder.toml --beside wish

    Try it in a new folder:
        fxstudio film banked_fire --decoder tolley_hearth
    """

    effects: Annotated[
        list[str] | None,
        typer.Argument(metavar="[EFFECT]...", help="Shipped effects by name, or paths of files."),
    ] = None
    output: Annotated[
        str | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="Film to write, for one effect: .gif, .webp, .avif, .png or .mp4; or a new folder "
            "of PNG pictures, if the name ends in a slash.",
        ),
    ] = None
    into: Annotated[
        Path | None, typer.Option(help="Folder to write to; made if it is not there.")
    ] = None
    all_effects: Annotated[bool, typer.Option("--all", help="Film all shipped effects.")] = False
    decoder: DecoderName = None
    drive: Annotated[
        Path | None, typer.Option(help="A drive file: travel, speed and keys over time.")
    ] = None
    travel: Annotated[
        str, typer.Option(help="forward, reverse or stopped throughout the film.")
    ] = ""
    speed: Annotated[
        float | None, typer.Option(metavar="KMH", help="Speed in km/h throughout the film.")
    ] = None
    keys: Annotated[
        str | None, typer.Option(help="Keys that are on throughout the film: F1,F2 or none.")
    ] = None
    seconds: Annotated[
        float | None, typer.Option(help="Length of the loop, with --travel, --speed or --keys.")
    ] = None
    fps: Annotated[float, typer.Option(help=FILM_CHOICES["fps"].help)] = 25.0
    size: Size = "480x320"
    quality: Annotated[
        str | None,
        typer.Option(help=FILM_CHOICES["quality"].help),
    ] = None
    max_size: Annotated[
        str | None,
        typer.Option(
            metavar="SIZE",
            help=FILM_CHOICES["max_size"].help,
        ),
    ] = None
    caption: Annotated[
        str | None,
        typer.Option(
            metavar="WORDS",
            help=FILM_CHOICES["caption"].help,
        ),
    ] = None
    lanes: Annotated[
        bool,
        typer.Option(
            "--lanes",
            help=FILM_CHOICES["lanes"].help,
        ),
    ] = False
    still: Annotated[
        bool,
        typer.Option(
            "--still",
            help=FILM_CHOICES["still"].help,
        ),
    ] = False
    tour: Annotated[
        bool,
        typer.Option(
            "--tour",
            help=FILM_CHOICES["tour"].help,
        ),
    ] = False
    beside: Annotated[
        str | None,
        typer.Option(
            metavar="WHAT",
            help="A second look on the right, at the same time and under the same drive: another "
            "effect; or with --decoder `wish` for the effect as you wish it, or a list of values, "
            "which then stands on the left as before.",
        ),
    ] = None
    poster: Annotated[
        Path | None,
        typer.Option(help=FILM_CHOICES["poster"].help),
    ] = None
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1
    jobs: Annotated[
        int,
        typer.Option(
            min=1,
            metavar="N",
            help="Film so many effects at once. If one fails, the others are still filmed.",
        ),
    ] = 1
    calm: Annotated[
        bool,
        typer.Option("--calm", help="If it flashes too much, film the nearest look that passes."),
    ] = False
    accept_flashes: Annotated[
        bool, typer.Option("--accept-flashes", help="Film it even if it flashes too much.")
    ] = False
    replace: Replace = False
