"""What several commands are asked for in the same words."""

from __future__ import annotations

import re
from pathlib import Path
from types import MappingProxyType
from typing import Annotated

import typer

from fxstudio.errors import InputError

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


SIZES = MappingProxyType(
    {"small": (360, 240), "post": (600, 400), "square": (480, 480), "tall": (480, 600)}
)
"""Words for picture sizes, in pixels; a choice for what is posted where."""
SIZE_HELP = "Width x height in pixels, or " + ", ".join(
    f"{word} ({width}x{height})" for word, (width, height) in SIZES.items()
)
Size = Annotated[str, typer.Option(help=f"{SIZE_HELP}.")]


def picture_size(text: str) -> tuple[int, int]:
    """Width and height of `480x320`, or of one of the words of `SIZES`."""
    if text.lower() in SIZES:
        return SIZES[text.lower()]
    parts = text.lower().replace("×", "x").split("x")
    try:
        width, height = (int(part) for part in parts)
    except ValueError:
        width = height = 0
    if not (64 <= width <= 1920 and 64 <= height <= 1920):
        raise InputError("is not a picture size", field="--size", given=text).allowing(
            f"width x height in pixels, each 64 to 1920, or one of {', '.join(SIZES)}",
            remedy="write it like 480x320",
        )
    return width, height


UNITS = MappingProxyType({"": 1, "b": 1, "kb": 1000, "mb": 1_000_000})


def file_size(text: str) -> int:
    """Bytes of `2MB`, `800 kB` or `150000`."""
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*([a-z]*)\s*", text.lower())
    if found is None or found[2] not in UNITS or not float(found[1]):
        raise InputError("is no size of a file", field="--max-size", given=text).allowing(
            "a number above 0 with kB or MB", remedy="write it like 2MB or 800kB"
        )
    return int(float(found[1]) * UNITS[found[2]])


def decimal(text: object) -> float:
    """A number from an option; a message that a person understands if it is none."""
    try:
        return float(str(text))
    except ValueError:
        raise typer.BadParameter(
            f"'{text}' is not a number; decimals have a point, like 2.1"
        ) from None
