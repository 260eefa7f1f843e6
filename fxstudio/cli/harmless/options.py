"""What may be given to the commands that keep light harmless, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.options import DecoderName, EffectName, Replace, Size


@dataclass(frozen=True)
class CheckOptions:
    """See every wrong field of your files, and what is allowed but may look wrong.

    fxstudio also films each effect, without writing a file, and says where the film flashes more
    than WCAG 2.3.1 allows. This is a check of one picture on a screen. It is no medical and no
    legal judgement. It is stricter than the text of WCAG: fine patterns with squares below 0.1
    degrees are not excepted, a quarter of the field is 21,824 pixels and not 87,296, and every
    saturated red beside black counts, however dark.

    Of a decoder it lists what the description leaves out, and how each could be found.

    If you give effects and decoders, it also says what does not go together: outputs that a
    decoder lacks, keys, all other compromises, and currents.

    The exit code is 2 if a file cannot be used or flashes too much. Hints alone are no error.

    Examples:
        fxstudio check my_fire.toml
        fxstudio check my_fire.toml my_decoder.toml
        fxstudio check my_fire.toml --flash-map where.png

    Try it in a new folder:
        fxstudio check banked_fire withybank_glim
    """

    paths: Annotated[
        list[str], typer.Argument(metavar="FILE...", help="Effect, decoder, drive or value files.")
    ]
    flash_map: Annotated[
        Path | None, typer.Option(help="PNG file to write: a picture of where the effect flashes.")
    ] = None
    size: Size = "480x320"
    replace: Replace = False


@dataclass(frozen=True)
class CalmOptions:
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

    effect: EffectName
    output: Annotated[Path, typer.Option("--output", "-o", help="Effect file to write; required.")]
    size: Size = "480x320"
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1
    replace: Replace = False


@dataclass(frozen=True)
class FiguresOptions:
    """Show how much, how fast and how bright each lamp and the whole picture flicker.

    Percent flicker is (most - least) / (most + least). The flicker index is the light above
    the mean over all light. L* is lightness as the eye sees it, 0 black to 100 white. All
    of them are measured over one loop of the effect's own drive.

    Examples:
        fxstudio figures my_fire.toml --plot my_fire.png

    Try it in a new folder:
        fxstudio figures banked_fire
    """

    effect: EffectName
    plot: Annotated[
        Path | None,
        typer.Option(help="Picture of light and spectrum to write: .png, .svg or .pdf."),
    ] = None
    decoder: DecoderName = None
    seed: Annotated[int, typer.Option(min=0, help="Another number gives another flicker.")] = 1
    replace: Replace = False


@dataclass(frozen=True)
class CameraOptions:
    """Show how a decoder's dimming looks on film, and which shutter hides it.

    A decoder dims a lamp by switching it on and off, faster than the eye sees but not faster
    than a camera: the picture then pulses, or shows bands.

    Examples:
        fxstudio camera my_decoder.toml --shutter 1/50

    Try it in a new folder:
        fxstudio camera withybank_glim
    """

    decoder: Annotated[
        str, typer.Argument(metavar="DECODER", help="A decoder description by name or path.")
    ]
    shutter: Annotated[
        str | None, typer.Option(help="Exposure time such as 1/50; without it, half a frame.")
    ] = None
