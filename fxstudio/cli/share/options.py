"""What may be given to the commands that share a look, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.options import DecoderName, EffectName, Replace, Size


@dataclass(frozen=True)
class PackOptions:
    """Put an effect, its decoder and a film into one file for others.

    A photographed scene goes along. The pack is a ZIP file: whoever has no fxstudio can open it
    too, look at the film and read what it is. With --decoder the film shows what that decoder will
    really do, and the values to write lie beside it.

    The film must pass the flash rules of WCAG 2.3.1: a look that flashes too much is not packed.

    Examples:
        fxstudio pack my_fire.toml --decoder my_decoder.toml -o my_fire.zip

    Try it in a new folder:
        fxstudio pack banked_fire --decoder tolley_hearth -o banked_fire.zip
    """

    effect: EffectName
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="Pack to write, .zip; named like the effect if not."),
    ] = None
    decoder: DecoderName = None
    size: Size = "480x320"
    replace: Replace = False


@dataclass(frozen=True)
class UnpackOptions:
    """Open a pack that someone made with `fxstudio pack`, safely.

    Before anything is written, every name, kind and size in the pack is looked at. Paths that lead
    elsewhere, links, programs, passwords and packs that swell when they are opened are refused,
    and then nothing is written. Effects and decoder descriptions in it are read and checked, and
    films are judged for flashes before you look at them.

    Try it in a new folder:
        fxstudio pack banked_fire
        fxstudio unpack banked_fire.zip --into theirs
    """

    pack: Annotated[Path, typer.Argument(metavar="PACK", help="The ZIP file.")]
    into: Annotated[
        Path | None, typer.Option(help="New folder to write to; named like the pack if not given.")
    ] = None
