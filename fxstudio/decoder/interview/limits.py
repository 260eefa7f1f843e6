"""What an answer may be, as far as the answers before it decide that."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel

from fxstudio.dcc import cv
from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.fields import CODE_KINDS
from fxstudio.decoder.description.tables import CurvePoint, Output
from fxstudio.decoder.interview.answers import PAIR
from fxstudio.decoder.interview.question import Limit, TomlTable
from fxstudio.documents.models import field_facts

ONE_OR_EACH = "or one for each output with commas between them"


def _entries(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _wrong_count(value: Any, data: TomlTable) -> str | None:
    count, outputs = len(_entries(value)), len(data.get("outputs", ()))
    words = f"has {count} entries for {outputs} output{'s' * (outputs != 1)}"
    return None if count in (1, outputs) else words


def _makers_cv(value: Any, _table: TomlTable, data: TomlTable) -> str | None:
    """Why a maker may not keep anything there; its page is asked for afterwards."""
    for number in _entries(value):
        page = (cv.CV31_RANGE.first, 0) if number in cv.PAGED_RANGE else None
        if refused := cv.refusal(CvAddress(number, page)):
            return refused
    return _wrong_count(value, data)


RATE_CV = Limit(lambda *_: cv.ALLOWED_TEXT, _makers_cv)
CVS = Limit(lambda *_: f"{cv.ALLOWED_TEXT}; {ONE_OR_EACH}", _makers_cv)
PAGE = Limit(
    lambda *_: f"{PAIR}; CV31 from {cv.CV31_RANGE.first} to {cv.CV31_RANGE.last}",
    lambda value, *_: (
        None
        if value[0] in cv.CV31_RANGE and value[1] in cv.CV32_RANGE
        else f"CV31 = {value[0]}, CV32 = {value[1]} is no page for makers"
    ),
)
LOWEST_BIT = Limit(
    lambda table, _data: f"a whole number from 0 to {8 - table.get('bits', 1)}",
    lambda value, table, _data: (
        None
        if value + table.get("bits", 1) <= 8
        else f"goes past bit 7: {table.get('bits', 1)} bits from bit {value}"
    ),
)


def largest(data: TomlTable, where: str) -> int:
    """The largest code that the bits of a field can hold."""
    bits: int = data[where].get("bits", 8)
    return (1 << bits) - 1


def new_code(where: str) -> Limit:
    """A code of a table of codes, that is not in it yet."""

    def refused(value: int, _table: TomlTable, data: TomlTable) -> str | None:
        if value > largest(data, where):
            return "does not fit its bits"
        return "stands in the table already" if value in codes(data, where) else None

    return Limit(lambda _table, data: f"a whole number from 0 to {largest(data, where)}", refused)


def codes(data: TomlTable, where: str) -> list[int]:
    """The codes in the table of a field, in order; empty if it has none."""
    return sorted(row["code"] for row in data[where].get("codes", ()))


def code(where: str, lowest: int = 0, each: bool = False) -> Limit:
    """A code of a field, one in its table if it has one; or, if `each`, one for each output."""

    def hint(_table: TomlTable, data: TomlTable) -> str:
        words = f"a whole number from {lowest} to {largest(data, where)}"
        if known := codes(data, where):
            words = f"a code in the table: {', '.join(map(str, known))}"
        return f"{words}; {ONE_OR_EACH}" if each else words

    def refused(value: Any, _table: TomlTable, data: TomlTable) -> str | None:
        if not all(lowest <= entry <= largest(data, where) for entry in _entries(value)):
            return "does not fit its bits"
        known = codes(data, where)
        if known and not set(_entries(value)) <= set(known):
            return "is not in the table of codes"
        return _wrong_count(value, data)

    return Limit(hint, refused)


def shares(where: str) -> Limit:
    """Brightnesses of the codes from 0 upwards: no more than there are codes."""
    return Limit(
        lambda _table, data: (
            f"numbers from 0 to 1 with commas between them, at most {largest(data, where) + 1}"
        ),
        lambda value, _table, data: (
            None
            if len(value) <= largest(data, where) + 1
            else "are more than its bits can tell apart"
        ),
    )


def rising(
    rows: Callable[[TomlTable], list[TomlTable]], field: str, model: type[BaseModel]
) -> Limit:
    """A number above that of the row before."""
    anywhere = field_facts(model)[field].allowed

    def last(data: TomlTable) -> int | None:
        return rows(data)[-1][field] if rows(data) else None

    return Limit(
        lambda _table, data: anywhere if last(data) is None else f"{anywhere}, above {last(data)}",
        lambda value, _table, data: (
            None if last(data) is None or value > last(data) else f"comes after {last(data)}"
        ),
    )


NEXT_OUTPUT = rising(lambda data: data.get("outputs", []), "number", Output)
NEXT_VALUE = rising(lambda data: data["rate"].get("curve", []), "value", CurvePoint)


def _kinds(*_: TomlTable) -> str:
    """Each kind of pattern with the first line of what its class says of itself."""
    lines = (
        (kind, (row.__doc__ or "").partition("\n")[0].rstrip("."))
        for kind, row in CODE_KINDS.items()
    )
    return "\n   ".join(f"{kind} - {line[0].lower()}{line[1:]}" for kind, line in lines)


KIND = Limit(_kinds)
