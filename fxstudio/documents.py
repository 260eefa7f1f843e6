"""TOML files as checked models, and their errors in plain words."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from fxstudio.errors import InputError, ReadError, naming, several
from fxstudio.models import TYPE_WORDS, bare, facts_of, facts_of_type

Model = TypeVar("Model", bound=BaseModel)

LARGEST_BYTES = 1_000_000
"""No description a person writes comes near this; a larger file is the wrong file."""


def read_text(path: Path) -> str:
    """The text of a small file in UTF-8; raises ReadError if it cannot be read."""
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise ReadError(
                "is too large for a description", path, remedy="check that it is the right file"
            )
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError as error:
        raise ReadError("there is no such file", path, remedy="check the path") from error
    except OSError as error:
        raise ReadError(
            f"cannot be read ({error.strerror})", path, remedy="check the path and its permissions"
        ) from error
    except UnicodeDecodeError as error:
        raise ReadError(
            "is not text in UTF-8", path, remedy="save it as UTF-8 text in your editor"
        ) from error


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file; raises ReadError if it cannot be read as TOML."""
    text = read_text(path)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a number may have too many digits to read
        raise ReadError(f"is not valid TOML: {error}", path, remedy=_slip(text, error)) from error


_SLIPS = (
    (r"=\s*[“”„‘’]|[“”„]\s*$", 'put straight quotes " in place of the curly ones'),
    (r"=\s*\"[^\"]*$", 'put a quote " at the end of the text too'),
    (r"=\s*-?\d+,\d", "no comma in numbers: 0.35, 1900"),
    (r"=\s*-?\.\d", "write a 0 before the point: 0.35"),
    (r"^\s*[\w-]+\s*:", "write = in place of the colon"),
    (r"^\s*\[[^\]\"]*\w\s+\w", "leave spaces out of names: use _ or -"),
    (r"=\s*[A-Za-z]", 'put text in "quotes"'),
)
"""What people often write that is not TOML, and what to do about it."""

_TWICE = re.compile("overwrite a value|declare .* twice|mutate immutable")
"""What the reader of TOML says of a name that is there already."""


def _slip(text: str, error: Exception) -> str:
    """What to do about the line at which a file could not be read on."""
    lines = text.splitlines() or [""]
    at = re.search(r"at line (\d+)", str(error))
    number = min(int(at[1]), len(lines)) if at else len(lines)
    if _TWICE.search(str(error)):
        return f"line {number}: this name is there already, give the second another"
    line = lines[number - 1]
    line = line.split("#")[0] if '"' not in line else line
    tips = [f"line {number}: {tip}" for slip, tip in _SLIPS if re.search(slip, line)]
    return tips[0] if tips else 'write one `field = value` a line, text in "quotes"'


def parse(model: type[Model], data: dict[str, Any], file: Path | str | None = None) -> Model:
    """`data` as a `model`; raises InputError that names every field that is wrong."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        with naming(file):
            raise several(_explain(model, row) for row in _causes(error.errors())) from None


def read_model(model: type[Model], path: Path) -> Model:
    """The file at `path` as a `model`; raises ReadError or InputError."""
    return parse(model, read_toml(path), path)


def changed(model: Model, **fields: object) -> Model:
    """`model` with some fields set anew and checked; raises InputError as `parse` does.

    What a file has left out stays left out.
    """
    held = {name: getattr(model, name) for name in model.model_fields_set}
    return parse(type(model), held | fields)


# What each kind of pydantic error is called; {input} is what was given.
_PROBLEMS = {
    "missing": "is missing",
    "extra_forbidden": "is not a known field",
    "greater_than": "is too small",
    "greater_than_equal": "is too small",
    "less_than": "is too large",
    "less_than_equal": "is too large",
    "finite_number": "is not a finite number",
    "literal_error": "is not one of the choices",
    "union_tag_not_found": "does not say its kind",
    "union_tag_invalid": "is of an unknown kind",
    "too_short": "is empty",
    "too_long": "has too many entries",
    "string_too_short": "is empty",
    "string_too_long": "is too long",
}

_NUMBERS = (TYPE_WORDS[float], TYPE_WORDS[int])


def _causes(rows: list[Any]) -> list[Any]:
    """Leave out a list that is 'too short' only because an entry of it was refused."""
    places = [row["loc"] for row in rows]
    return [
        row
        for row in rows
        if row["type"] != "too_short"
        or not any(len(p) > len(row["loc"]) and p[: len(row["loc"])] == row["loc"] for p in places)
    ]


def _explain(model: type[BaseModel], row: dict[str, Any]) -> InputError:
    """One pydantic error as an InputError."""
    names, info, parent, here = _locate(model, row["loc"])
    kind, given = row["type"], row.get("input")
    problem = _PROBLEMS.get(kind)
    if problem is None:
        wrong_type = kind.endswith(("_type", "_parsing")) or kind == "int_from_float"
        problem = "has the wrong type" if wrong_type else row["msg"]
    allowed = row.get("ctx", {}).get("allowed")
    if allowed is None and info is not None:
        entry = isinstance(names[-1], int)
        allowed = (facts_of_type(here) if entry else facts_of(str(names[-1]), info)).allowed
        if isinstance(given, str) and allowed.startswith(_NUMBERS):
            given, allowed = f'"{given}"', f"{allowed}, without quotes"
    remedy = (
        f"{'add' if kind == 'missing' else 'change'} it; it means: {info.description}"
        if info
        else None
    )
    alone = "allowed" not in row.get("ctx", {}) and problem is row["msg"]
    if isinstance(given, BaseModel | dict) and alone:
        allowed = remedy = None  # it says of several fields together what is wrong
    if kind == "missing":
        given = None
    elif kind == "extra_forbidden":
        known = list(parent.model_fields) if parent is not None else []
        allowed = ", ".join(known)
        close = difflib.get_close_matches(str(names[-1]), known, n=1)
        remedy = f"did you mean '{close[0]}'?" if close else "remove it or correct its name"
    elif kind in ("union_tag_invalid", "union_tag_not_found"):
        names = [*names, row["ctx"]["discriminator"].strip("'")]
        given = row["ctx"].get("tag")
        allowed = row["ctx"].get("expected_tags") or _tags(info)
    elif isinstance(given, BaseModel | dict):
        given = None
    field = ".".join(map(str, names)) or None
    return InputError(problem, field=field, given=given, allowed=allowed, remedy=remedy)


def _locate(
    model: type[BaseModel], loc: Iterable[str | int]
) -> tuple[list[str | int], FieldInfo | None, type[BaseModel] | None, Any]:
    """Follow a pydantic location: its names as in the file, its field, its model, its type."""
    names: list[str | int] = []
    info: FieldInfo | None = None
    parent: type[BaseModel] | None = model
    here: Any = model
    for part in loc:
        here = bare(here)
        if isinstance(here, type) and issubclass(here, BaseModel):
            names.append(part)
            parent = here
            info = here.model_fields.get(str(part))
            here = info.annotation if info is not None else None
            continue
        choices = [choice for choice in get_args(here) if _has_kind(choice, part)]
        if choices:  # a union's tag: not in the file
            here = choices[0]
            continue
        if part != "[key]":
            names.append(part)
        arguments = get_args(here)
        here = arguments[-1] if get_origin(here) is dict else arguments[0] if arguments else None
        info = None if part == "[key]" else info
    return names, info, parent, here


def _has_kind(choice: Any, tag: str | int) -> bool:
    fields = getattr(bare(choice), "model_fields", {})
    return "kind" in fields and fields["kind"].default == tag


def _tags(info: FieldInfo | None) -> str | None:
    if info is None:
        return None
    tags = [
        bare(choice).model_fields["kind"].default
        for choice in get_args(bare(info.annotation))
        if hasattr(bare(choice), "model_fields") and "kind" in bare(choice).model_fields
    ]
    return ", ".join(f"'{tag}'" for tag in tags) or None
