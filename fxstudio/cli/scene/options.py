"""What may be given to the commands about photographed scenes, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer

from fxstudio.cli.given.options import Replace


def _each(name: str, metavar: str, text: str) -> typer.models.OptionInfo:
    """An option that may be given once for each lamp."""
    option: typer.models.OptionInfo = typer.Option(name, metavar=metavar, help=text)
    return option


@dataclass(frozen=True)
class NewOptions:
    """Make a scene of your locomotive from photographs: one with all lamps off, one of each alone.

    Put the camera on a tripod or on books, without flash. Take one photograph with all lamps off
    and one with each lamp alone, by its key. Where the camera can, keep exposure and white balance
    fixed. Small moves are found and undone.

    Two lamps of different colours may share one photograph, if --colour says both colours. A lamp
    without a photograph is painted: --lamp bed=paint with --at, --reach and --shape.

    The folder gets scene.toml and maps of light with 16 bits; nothing of where and with what the
    photographs were taken. Bright LEDs close to the eye can harm it: look at the screen of the
    camera, not into the LED, and follow the LED maker's data sheet.

    Examples:
        fxstudio scene new my_engine --dark off.jpg --lamp bed=on3.jpg --lamp flames=on4.jpg
        fxstudio scene new my_engine --dark off.jpg --lamp bed=paint --at bed=0.4,0.6

    Try it in a new folder:
        fxstudio scene practice photos
        fxstudio scene new my_engine --dark photos/off.jpg --lamp bed=photos/bed.jpg
    """

    folder: Annotated[str, typer.Argument(metavar="FOLDER", help="New folder for the scene.")]
    dark: Annotated[str, typer.Option(metavar="FILE", help="Photograph with all lamps off.")]
    lamp: Annotated[
        list[str],
        _each("--lamp", "NAME=FILE", "Photograph with this lamp alone lit, or NAME=paint."),
    ]
    lit_at: Annotated[
        list[str] | None,
        _each("--lit-at", "NAME=0.8", "How bright the lamp was then, if not fully; above 0 to 1."),
    ] = None
    recolour: Annotated[
        list[str] | None,
        _each("--recolour", "NAME", "Show this lamp in the effect's colour, not the camera's."),
    ] = None
    colour: Annotated[
        list[str] | None,
        _each(
            "--colour",
            "NAME=605nm",
            "Colour of a lamp that shares its photograph: 605nm, 1900K or #ff8000.",
        ),
    ] = None
    at: Annotated[
        list[str] | None,
        _each("--at", "NAME=X,Y", "Where a painted lamp is: shares of the picture, from top left."),
    ] = None
    reach: Annotated[
        list[str] | None,
        _each("--reach", "NAME=0.1", "How far a painted lamp reaches, as a share of the width."),
    ] = None
    shape: Annotated[
        list[str] | None,
        _each("--shape", "NAME=WORD", "Shape of a painted lamp: round, wide or tall."),
    ] = None
    crop: Annotated[
        str | None,
        typer.Option(
            metavar="L,T,R,B",
            help="Only this part: left, top, right, bottom as shares, such as 0.1,0,0.9,1.",
        ),
    ] = None
    turn: Annotated[
        int, typer.Option(metavar="DEGREES", help="Turn clockwise by 90, 180 or 270 degrees.")
    ] = 0
    title: Annotated[str, typer.Option(help="What the scene is called.")] = ""


@dataclass(frozen=True)
class LookOptions:
    """See what a photographed scene holds: its lamps, how each was found, and a picture of all.

    Try it in a new folder:
        fxstudio scene practice photos
        fxstudio scene new my_engine --dark photos/off.jpg --lamp bed=photos/bed.jpg
        fxstudio scene show my_engine -o look.png
    """

    scene: Annotated[str, typer.Argument(metavar="SCENE", help="Folder of the scene.")]
    output: Annotated[
        str | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="Picture to write, .png: the dark scene, each lamp alone, and all of them.",
        ),
    ] = None
    replace: Replace = False


@dataclass(frozen=True)
class PracticeOptions:
    """Get practice photographs: off.jpg and one of each lamp, as a camera takes them by hand.

    They show the drawn cab, are noisy and a little moved, and serve to try `fxstudio scene new`.

    Try it in a new folder:
        fxstudio scene practice photos
    """

    folder: Annotated[
        str, typer.Argument(metavar="FOLDER", help="New folder for the photographs.")
    ] = "photos"
