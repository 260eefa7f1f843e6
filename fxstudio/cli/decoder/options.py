"""What may be given to the commands about values and decoders, and their help."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.commands import group
from fxstudio.cli.given.options import (
    AcceptDark,
    DecoderName,
    EffectName,
    ExtraCvs,
    PresentFile,
    Replace,
)


@dataclass(frozen=True)
class ValuesOptions:
    """Show which CV values make a decoder do this effect, and what it cannot do.

    Examples:
        fxstudio values my_fire.toml --decoder my_decoder.toml

    Try it in a new folder:
        fxstudio values banked_fire --decoder tolley_hearth
    """

    effect: EffectName
    decoder: DecoderName = None


@dataclass(frozen=True)
class PlanOptions:
    """Get a plan of the fewest writes: their order, what you see after each, and the way back.

    A list of present values has the columns cv and value, and cv31 and cv32 for CVs on a page.
    The list that --after writes names the restore list of this plan; a plan that starts from it
    says in its own restore list that the earlier one leads further back.

    A restore list is replaced only by one from the same present values, even with --replace.

    Examples:
        fxstudio plan my_fire.toml -d my_decoder.toml --to-read now.csv
        fxstudio plan my_fire.toml -d my_decoder.toml --present now.csv -o plan.txt
        fxstudio plan my_fire.toml -d my_decoder.toml --present now.csv --extra "3=20:starts gently"
        fxstudio plan --back-to first.csv -d my_decoder.toml --present now.csv

    Try it in a new folder:
        fxstudio plan banked_fire -d withybank_glim -o plan.txt --restore back.txt
    """

    effect: Annotated[
        str | None,
        typer.Argument(
            metavar="[EFFECT]",
            help="A shipped effect by name, or the path of a file; none with --back-to.",
        ),
    ] = None
    decoder: DecoderName = None
    present: PresentFile = None
    extra: ExtraCvs = None
    back_to: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Earlier list of values to go back to, instead of an effect.",
        ),
    ] = None
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            help="Text file to print and tick off, with the restore list at its end.",
        ),
    ] = None
    restore: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Text file with the restore list alone, to keep with the model."
        ),
    ] = None
    after: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="List to write: what the decoder holds after the plan, for the next --present.",
        ),
    ] = None
    blank: Annotated[
        Path | None,
        typer.Option(
            "--to-read",
            metavar="CSV",
            help="List to write first: the CVs to read. Fill it in and give it as --present.",
        ),
    ] = None
    accept_dark: AcceptDark = False
    replace: Replace = False


@dataclass(frozen=True)
class ReadOptions:
    """See which effect the values in a list make: in words, as a film or as an effect file.

    CVs that are not in the list are assumed to be as delivered. Without --like, fxstudio does not
    know which lamp is on which output: every output gets a warm white one.

    Examples:
        fxstudio read now.csv -d my_decoder.toml --like my_fire.toml --film now.gif
        fxstudio read now.csv -d my_decoder.toml --save as_it_was.toml

    Try it in a new folder:
        fxstudio plan banked_fire -d withybank_glim --after now.csv
        fxstudio read now.csv -d withybank_glim --like banked_fire
    """

    values: Annotated[
        Path, typer.Argument(metavar="VALUES", help="What the decoder holds, as .toml or .csv.")
    ]
    decoder: DecoderName = None
    like: Annotated[
        str | None,
        typer.Option(
            metavar="EFFECT", help="Effect that names the lamps that are wired, and their colours."
        ),
    ] = None
    film: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Film to write of what these values show: .gif, .webp, .avif, .png or .mp4.",
        ),
    ] = None
    save: Annotated[Path | None, typer.Option(metavar="TOML", help="Effect file to write.")] = None
    accept_flashes: Annotated[
        bool, typer.Option("--accept-flashes", help="Film it even if it flashes too much.")
    ] = False
    replace: Replace = False


@dataclass(frozen=True)
class LeafletOptions:
    """Show a decoder's description as a leaflet in plain words, with its values.

    Hold it against the paper: a sentence that was read wrongly is seen here. What the leaflet
    leaves out stands at the end.

    Examples:
        fxstudio explain my_decoder.toml --present now.csv

    Try it in a new folder:
        fxstudio explain withybank_glim
    """

    decoder: Annotated[
        str, typer.Argument(metavar="DECODER", help="A shipped decoder, or a description file.")
    ]
    present: Annotated[
        Path | None,
        typer.Option(
            metavar="VALUES", help="What a decoder holds, as .toml or .csv; else as delivered."
        ),
    ] = None


@dataclass(frozen=True)
class SuitOptions:
    """Rank decoders by how much of an effect each of them would lose, the best first.

    Examples:
        fxstudio suit my_fire.toml my_decoder.toml

    Try it in a new folder:
        fxstudio suit banked_fire
    """

    effect: EffectName
    files: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[DECODER]...", help="Decoder descriptions to rank with the shipped ones."
        ),
    ] = None


@dataclass(frozen=True)
class MoveOptions:
    """See how to move a look to another decoder: wires, values, and what is lost.

    The second decoder shall show what the first one shows now. Each lamp goes to the wire of the
    same colour; if there is none, to the output of the same number, or to one that is free.

    Examples:
        fxstudio move my_fire.toml --from my_decoder.toml --to new_decoder.toml

    Try it in a new folder:
        fxstudio move banked_fire --from withybank_glim --to tolley_hearth
    """

    effect: EffectName
    source: Annotated[
        str,
        typer.Option("--from", metavar="DECODER", help="The decoder the lamps are on now."),
    ]
    target: Annotated[str, typer.Option("--to", metavar="DECODER", help="The decoder they go to.")]
    present: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Values read from the first decoder: .toml or .csv. Without it, those for EFFECT.",
        ),
    ] = None


@dataclass(frozen=True)
class DescribeOptions:
    """Get a description of your decoder by answering questions, with its leaflet at hand.

    Copy the leaflet's sentences one by one and say what each means. Worked examples show how it is
    understood: hold them against the paper. What the leaflet leaves out is not known, and no
    figure has to be made up.

    Press Enter to take the answer shown in brackets. Type list to see the answers so far, back to
    return to the question before, and back 12 to change answer 12; all others stay. Ctrl-C stops;
    the same command goes on from there.

    Examples:
        fxstudio describe new -o fire_decoder.toml

    Try it in a new folder:
        fxstudio describe new
    """

    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "my_decoder.toml"
    )
    replace: Replace = False


@dataclass(frozen=True)
class RenewOptions:
    """Write a description of the earlier form anew, in a leaflet's words and with its comments.

    The earlier form has a table for each property; the new one has a row for each sentence of a
    leaflet. Before it is written, the new file is read back and compared with the old one, which
    stays as it is.

    Examples:
        fxstudio describe renew my_decoder.toml -o my_decoder_in_cells.toml

    Try it in a new folder:
        fxstudio describe renew carrow_lantern
    """

    decoder: Annotated[
        str,
        typer.Argument(
            metavar="DECODER", help="A description of the earlier form, or a shipped decoder."
        ),
    ]
    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "renewed.toml"
    )
    replace: Replace = False


describe = group(
    "Describe a decoder of your own from its leaflet.",
    {DescribeOptions: "decoder.describe:new", RenewOptions: "decoder.renew:renew"},
)
