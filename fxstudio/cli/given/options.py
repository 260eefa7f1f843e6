"""What several commands are asked for in the same words."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.film.choices.table import FILM_CHOICES

EffectName = Annotated[
    str, typer.Argument(metavar="EFFECT", help="A shipped effect by name, or the path of a file.")
]
DecoderName = Annotated[
    str | None,
    typer.Option(
        "--decoder", "-d", metavar="DECODER", help="A decoder description by name or path."
    ),
]
PresentFile = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE", help="What the decoder holds now: .toml or .csv. Without it: as delivered."
    ),
]
ExtraCvs = Annotated[
    list[str] | None,
    typer.Option(
        metavar="CV=VALUE:NOTE",
        help="Another CV to write with the effect; on a page, CV/CV31/CV32=VALUE:NOTE. What the "
        "decoder's description offers to write as well goes by its name.",
    ),
]
AcceptDark = Annotated[
    bool,
    typer.Option(
        "--accept-dark",
        help="Go on even if a lamp will be dark when it should shine, or cannot be kept dark.",
    ),
]
Replace = Annotated[bool, typer.Option("--replace", help="Replace files that are there already.")]


def key_list(text: str) -> list[str]:
    """The keys in `F1, f2` or `F1 F2`; none of them in `none`."""
    return [key.upper() for key in re.split(r"[,;\s]+", text) if key.lower() not in ("", "none")]


Size = Annotated[str, typer.Option(help=FILM_CHOICES["size"].help)]


def decimal(text: object) -> float:
    """A number from an option; a message that a person understands if it is none."""
    try:
        return float(str(text))
    except ValueError:
        raise typer.BadParameter(
            f"'{text}' is not a number; decimals have a point, like 2.1"
        ) from None
