"""What the options that `plan` and `sheet` share name."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from pathlib import Path
from typing import NamedTuple

from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.lists import last_restore_list, read_values
from fxstudio.decoder.writing.extras import Extra, check_writable, offers_of
from fxstudio.errors import InputError, naming
from fxstudio.export.plan_table import made_from

EXTRA = re.compile(r"(\d+)(?:/(\d+)/(\d+))?=(\d+)(?::(.*))?", re.ASCII | re.DOTALL)
"""CV=VALUE:note, or CV/CV31/CV32=VALUE:note for a CV on a page."""


class Asked(NamedTuple):
    """On which decoder, what that holds now and which restore list undoes that, and other CVs."""

    leaflet: Leaflet
    held: dict[CvAddress, int] | None
    earlier: str
    extras: list[Extra]


def read_asked(decoder: str | None, present: Path | None, extra: list[str] | None) -> Asked:
    """What the options of a plan name; raises ReadError or InputError."""
    leaflet = leaflet_for(decoder)
    offered = offers_of(leaflet)
    return Asked(
        leaflet,
        read_values(present) if present else None,
        last_restore_list(present) if present else "",
        [offered.get(text.strip()) or parse_extra(text, offered) for text in extra or ()],
    )


def renewing(decoder: str | None, present: Path | None) -> Callable[[str, str], bool]:
    """Whether a restore list that is there may be replaced: for `check_files`."""

    def may_renew(option: str, text: str) -> bool:
        if option not in ("--output", "--restore"):
            return False
        held = read_values(present) if present else None
        return made_from(text, leaflet_for(decoder).title, held)

    return may_renew


def parse_extra(text: str, names: Collection[str] = ()) -> Extra:
    """The CV to write in a text like `3=20:starts more gently`; raises InputError.

    names : what else may stand there
    """
    found = EXTRA.fullmatch(text.strip())
    if not found:
        raise InputError("is not a CV, its value and a note", field="--extra", given=text).allowing(
            "CV=VALUE:note, or CV/CV31/CV32=VALUE:note on a page, in whole numbers"
            + "".join(f', or "{name}"' for name in names),
            remedy='write it like "3=20:starts more gently"',
        )
    number, cv31, cv32, value, note = found.groups()
    page = (int(cv31), int(cv32)) if cv31 else None
    note = " ".join("".join(c if c.isprintable() else " " for c in note or "").split())
    extra = Extra(CvAddress(int(number), page), int(value), note or "as you asked")
    with naming("--extra"):
        check_writable(extra.cv, extra.value)
    return extra
