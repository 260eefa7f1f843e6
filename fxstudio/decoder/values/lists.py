"""Lists of CV values: what they may hold, and their files.

A TOML and a CSV file say the same, one CV a row, in the fields of `Row`.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Annotated, Any, Final

import tomlkit
from pydantic import Field

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV, PAGED_RANGE, CvAddress, check_value
from fxstudio.decoder.description.fields import Byte, CvNumber, FilePage
from fxstudio.documents.models import FileModel
from fxstudio.documents.reading import VALUES, parse, read_model, read_text
from fxstudio.errors import InputError, ReadError, naming, several


class Row(FileModel):
    """One CV of a list."""

    cv: CvNumber = Field(..., description="Number of the CV.")
    page: FilePage | None = Field(
        None, description="Contents of CV31 and CV32 that select it, for CVs 257 to 512."
    )
    value: Byte = Field(..., description="What it holds.")
    note: str = Field("", max_length=300, description="What it says, for people.")

    @property
    def address(self) -> CvAddress:
        """Where the value is kept."""
        return CvAddress(self.cv, self.page)


class Listed(FileModel):
    """A file of CV values."""

    title: str = Field("", max_length=80, description="Which locomotive, and when it was read.")
    values: Annotated[tuple[Row, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="One row for each CV."
    )


COLUMNS: Final = {"cv": True, "value": True, "cv31": False, "cv32": False, "note": False}
"""Columns of a CSV file and whether each must be there; cv31 and cv32 are the page."""

SET_BACK: Final = re.compile(r"(?P<list>.+ of (?P<day>\d{4}-\d\d-\d\d)) sets it back")
"""A note as `set_back_by` writes it."""

SEPARATORS: Final = ",;\t"
"""What may stand between the columns; spreadsheets of many countries write semicolons."""


def list_kind(path: Path) -> str:
    """The kind of list that the ending of a name says; raises ReadError for any other."""
    kind = path.suffix.lower()
    if kind not in (".toml", ".csv"):
        raise ReadError("is neither .toml nor .csv", path).allowing(
            "my_values.toml, my_values.csv",
            remedy="give its name the ending that says what is in it",
        )
    return kind


def read_values(path: Path) -> dict[CvAddress, int]:
    """The values 0..255 in a TOML or CSV file by CV address, in its order.

    Raises ReadError for a file that cannot be read, and InputError for one that is no list of
    values, holds a value or a CV that cannot be, or holds one twice.
    """
    with naming(path):
        return _once_each(_rows(path))


def set_back_by(restore_list: str) -> str:
    """The note beside a value that was written: which restore list, `NAME of DAY`, undoes it."""
    return f"{restore_list} sets it back"


def last_restore_list(path: Path) -> str:
    """The restore list that the notes in a file name, as `back.txt of 2026-01-31`, or "".

    If a person has joined lists and there are several, the one of the latest day. Raises as
    `read_values` does.
    """
    notes = (SET_BACK.fullmatch(row.note) for row in _rows(path).values())
    found = {note["day"]: note["list"] for note in notes if note}
    return found[max(found)] if found else ""


def _rows(path: Path) -> dict[str, Row]:
    if list_kind(path) == ".toml":
        return {f"values.{i}": row for i, row in enumerate(read_model(Listed, path, VALUES).values)}
    return _from_csv(path)


def values_text(
    values: Mapping[CvAddress, int],
    kind: str = ".toml",
    notes: Mapping[CvAddress, str] | None = None,
) -> str:
    """`values` as a file of a kind, ".toml" or ".csv", with a note beside those that have one."""
    notes = notes or {}
    rows = sorted(values.items(), key=lambda item: item[0].order)
    if kind == ".csv":
        return _csv_text(rows, notes)
    array = tomlkit.array()
    array.multiline(True)
    for cv, value in rows:
        entry = tomlkit.inline_table()
        entry["cv"] = cv.number
        if cv.page:
            entry["page"] = list(cv.page)
        entry["value"] = value
        if cv in notes:
            entry["note"] = notes[cv]
        array.append(entry)
    return tomlkit.dumps({"values": array})


def blank_text(cvs: Iterable[CvAddress], notes: Mapping[CvAddress, str]) -> str:
    """A CSV file to fill in: a row for each CV in the order given, its value still empty."""
    return _csv_text([(cv, "") for cv in cvs], notes)


def _csv_text(rows: Iterable[tuple[CvAddress, object]], notes: Mapping[CvAddress, str]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(
        (cv.number, value, *(cv.page or ("", "")), notes.get(cv, "")) for cv, value in rows
    )
    return text.getvalue()


def check_values(values: Mapping[CvAddress, int]) -> None:
    """Raise InputError for a CV or a value that no decoder can have."""
    for cv, value in values.items():
        check_value(cv, value)
        check_cv(cv)


def check_cv(cv: CvAddress) -> None:
    """Raise InputError for an address that there is not."""
    if not FIRST_CV <= cv.number <= LAST_CV:
        raise InputError("there is no such CV", field="cv", given=cv.number).allowing(
            f"{FIRST_CV} to {LAST_CV}", remedy="check the number"
        )
    paged = cv.number in PAGED_RANGE
    if paged and cv.page is None:
        raise InputError(
            f"needs a page, as all CVs from {PAGED_RANGE.first} to {PAGED_RANGE.last} do",
            field=str(cv),
            allowed="contents of CV31 and CV32, each 0 to 255",
            remedy="add what CV31 and CV32 must hold before it",
        )
    if cv.page is not None and not paged:
        raise InputError("has no pages", field=f"CV{cv.number}", given=list(cv.page)).advising(
            f"leave the page out; only CVs {PAGED_RANGE.first} to {PAGED_RANGE.last} have one"
        )
    if cv.page and not all(0 <= part <= LARGEST_VALUE for part in cv.page):
        raise InputError("has no such page", field=f"CV{cv.number}", given=list(cv.page)).allowing(
            f"contents of CV31 and CV32, each 0 to {LARGEST_VALUE}", remedy="correct the page"
        )


def _once_each(rows: Mapping[str, Row]) -> dict[CvAddress, int]:
    """The values of all rows; a CV that stands twice, or cannot be, is refused by its place."""
    values: dict[CvAddress, int] = {}
    places: dict[CvAddress, str] = {}
    wrong = []
    for place, row in rows.items():
        try:
            check_cv(row.address)
        except InputError as error:
            error.field = f"{place}, {error.field}"
            wrong.append(error)
            continue
        if row.address in values:
            wrong.append(
                InputError(
                    f"{row.address} stands twice: here and in {places[row.address]}",
                    field=place,
                    given=row.value,
                ).allowing("each CV once", remedy="leave the wrong one out")
            )
        values[row.address], places[row.address] = row.value, place
    if wrong:
        raise several(wrong)
    return values


def _from_csv(path: Path) -> dict[str, Row]:
    """Rows by the line they stand in; raises InputError that names every wrong cell."""
    text = read_text(path)
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = next((mark for mark in SEPARATORS if mark in first), ",")
    lines = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    with naming(path):
        try:
            table = [
                (lines.line_num, [cell.strip() for cell in cells])
                for cells in lines
                if any(cell.strip() for cell in cells)
            ]
        except csv.Error as error:
            raise ReadError(
                f"is not valid CSV: {error}", remedy='close every " that is opened'
            ) from error
        header = [name.lower() for name in table[0][1]] if table else []
        _check_header(header)
        if len(table) == 1:
            raise InputError("holds no values", remedy="write one row for each CV")
        _check_filled(header, table[1:])
        rows, wrong = {}, []
        for number, cells in table[1:]:
            try:
                rows[f"line {number}"] = _row(f"line {number}", header, cells)
            except InputError as error:
                wrong += [error, *error.more]
        if wrong:
            raise several(wrong)
        return rows


def _check_filled(header: list[str], table: list[tuple[int, list[str]]]) -> None:
    """Raise one InputError for all values that are empty: a blank list gets no more than one."""
    at = header.index("value")
    empty = [str(line) for line, cells in table if not any(cells[at : at + 1])]
    named = [*empty[:5], f"and {len(empty) - 5} more"] if len(empty) > 6 else empty
    if empty:
        raise InputError(
            "is empty",
            field=f"line{'s' * (len(empty) > 1)} {', '.join(named)}, value",
            allowed=_range("value"),
            remedy="fill in what the decoder holds there; a CV whose "
            "line is left out is taken as delivered",
        )


def _check_header(header: list[str]) -> None:
    allowed = ", ".join(
        name if needed else f"{name} (optional)" for name, needed in COLUMNS.items()
    )
    problems = [f"the column '{name}' is not known" for name in header if name not in COLUMNS]
    problems += [f"the column '{name}' stands twice" for name in COLUMNS if header.count(name) > 1]
    problems += [
        f"the column '{name}' is missing"
        for name in COLUMNS
        if COLUMNS[name] and name not in header
    ]
    if ("cv31" in header) != ("cv32" in header):
        problems.append("a page needs both columns, cv31 and cv32")
    if problems:
        raise InputError(problems[0], field="line 1", given=", ".join(header) or None).allowing(
            allowed, remedy="write the names of the columns in the first line, such as cv,value"
        )


def _row(place: str, header: list[str], cells: list[str]) -> Row:
    if len(cells) > len(header) and any(cells[len(header) :]):
        raise InputError(
            f"has {len(cells)} entries under {len(header)} columns",
            field=place,
            given=", ".join(cells),
            allowed="whole numbers, without a comma or a point",
            remedy="take the comma out of the number, or add the column to the first line",
        )
    row = dict(zip(header, cells, strict=False))
    data: dict[str, Any] = {"note": row["note"]} if row.get("note") else {}
    wrong: list[InputError] = []
    for name in ("cv", "value", "cv31", "cv32"):
        cell = row.get(name, "")
        if not cell and not COLUMNS[name]:
            continue
        if cell.isascii() and cell.isdigit():
            data[name] = int(cell.lstrip("0")[:9] or "0")  # more digits are too many anyway
            continue
        wrong.append(
            InputError(
                "is not a whole number" if cell else "is empty",
                field=f"{place}, {name}",
                given=cell or None,
            ).allowing(_range(name), remedy="write digits only, without a comma, a point or a sign")
        )
    if wrong:
        raise several(wrong)
    page = [data.pop(name) for name in ("cv31", "cv32") if name in data]
    if len(page) == 1:
        raise InputError(
            "a page needs both cv31 and cv32", field=place, remedy="fill in the other one as well"
        )
    try:
        return parse(Row, {**data, "page": page} if page else data)
    except InputError as error:
        for each in (error, *error.more):
            each.field = f"{place}, {each.field}"
        raise


def _range(name: str) -> str:
    low, high = (FIRST_CV, LAST_CV) if name == "cv" else (0, LARGEST_VALUE)
    return f"a whole number from {low} to {high}"
