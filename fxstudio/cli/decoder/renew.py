"""`fxstudio describe renew`: a description of the earlier form in a leaflet's words."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import write_text
from fxstudio.decoder.leaflet.files import (
    find_description,
    is_earlier,
    load_decoder,
    read_earlier,
)
from fxstudio.decoder.renewal.renew import proved, renewal_of
from fxstudio.documents.reading import read_text
from fxstudio.errors import naming


def renew(
    decoder: Annotated[
        str,
        typer.Argument(
            metavar="DECODER", help="A description of the earlier form, or a shipped decoder."
        ),
    ],
    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "renewed.toml"
    ),
    replace: Replace = False,
) -> None:
    """Write a description of the earlier form anew, in a leaflet's words and with its comments.

    The earlier form has a table for each property; the new one has a row for each sentence of a
    leaflet. Before it is written, the new file is read back and compared with the old one, which
    stays as it is.

    Examples:
        fxstudio describe renew my_decoder.toml -o my_decoder_in_cells.toml

    Try it in a new folder:
        fxstudio describe renew carrow_lantern
    """
    check_ending("describe renew", "--output", output)
    path = find_description(decoder)
    check_files([("DECODER", path)], [("--output", output)], replace)
    if not is_earlier(path):
        load_decoder(path)
        console.label(path, ": is in a leaflet's words already; nothing was written")
        return
    earlier, text = read_earlier(path), read_text(path)
    with naming(path):
        new = renewal_of(text, earlier)
        tried = proved(earlier, new.text)
    write_text(output, new.text)
    console.label(output, ": the description in a leaflet's words; it passes every check")
    console.say(
        f"{_many(new.rows, 'row')} of cells now {_say(new.rows)} what {_many(new.cvs, 'CV')} "
        f"{'holds' if new.cvs == 1 else 'hold'}. "
        f"{_comments(new.comments)}"
    )
    for name, names in new.names.items():
        console.say(f"{name} was the name of several effects: now {' and '.join(names)}.")
    console.say(
        "It says the same: compared were all values as delivered, which values each CV may hold, "
        f"and what each output does with {tried} sets of values."
    )
    console.say(f"Next: fxstudio explain {output}", "dim")


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _say(count: int) -> str:
    return "says" if count == 1 else "say"


def _comments(count: int) -> str:
    if not count:
        return "The old file has no comments."
    return f"{_many(count, 'comment')} {'stands' if count == 1 else 'stand'} by the rows meant."
