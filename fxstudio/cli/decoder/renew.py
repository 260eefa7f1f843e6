"""`fxstudio describe renew`: a description of the earlier form in a leaflet's words."""

from __future__ import annotations

from fxstudio.cli.decoder.options import RenewOptions
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
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


def renew(asked: RenewOptions) -> None:
    """Do what `RenewOptions` asks for."""
    check_ending("describe renew", "--output", asked.output)
    path = find_description(asked.decoder)
    check_files([("DECODER", path)], [("--output", asked.output)], asked.replace)
    if not is_earlier(path):
        load_decoder(path)
        console.label(path, ": is in a leaflet's words already; nothing was written")
        return
    earlier, text = read_earlier(path), read_text(path)
    with naming(path):
        new = renewal_of(text, earlier)
        tried = proved(earlier, new.text)
    write_text(asked.output, new.text)
    console.label(asked.output, ": the description in a leaflet's words; it passes every check")
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
    console.say(f"Next: fxstudio explain {asked.output}", "dim")


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _say(count: int) -> str:
    return "says" if count == 1 else "say"


def _comments(count: int) -> str:
    if not count:
        return "The old file has no comments."
    return f"{_many(count, 'comment')} {'stands' if count == 1 else 'stand'} by the rows meant."
