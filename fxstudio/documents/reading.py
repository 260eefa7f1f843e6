"""TOML files as checked models, and their errors in plain words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final, NamedTuple, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from fxstudio.documents.models import (
    TYPE_WORDS,
    UNIONS,
    FileModel,
    bare,
    facts_of,
    facts_of_type,
    file_fields,
)
from fxstudio.errors import InputError, InWords, ReadError, WrongFileError, naming, near, several

Model = TypeVar("Model", bound=BaseModel)
OfFile = TypeVar("OfFile", bound=FileModel)

EFFECT: Final = "effect"
DESCRIPTION: Final = "decoder description"
EARLIER: Final = "decoder description of the earlier form"
VALUES: Final = "list of values"
DRIVE: Final = "drive"
ANSWERS: Final = "list of answers"
SCENE: Final = "photographed scene"

KINDS: Final = {
    EFFECT: {"locomotive", "scene", "rate_hz", "lamps", "drive"},
    EARLIER: {
        *("function_map", "rate", "keep"),
        *("effect", "travel", "forward", "reverse", "level", "lowest"),
    },
    DESCRIPTION: {"cells", "effects", "keys", "rules", "limits", "before", "after", "also"},
    VALUES: {"values"},
    DRIVE: {"length_s", "steps"},
    ANSWERS: {"answers"},
    SCENE: {"dark", "ambient", "exposure", "light"},
}
"""What a file may be, and the fields at its top that no other kind has."""

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
        guess = near_file(path)
        remedy = f"did you mean '{guess}'?" if guess else "check the path"
        raise ReadError("there is no such file", path, remedy=remedy) from error
    except OSError as error:
        raise ReadError(
            f"cannot be read ({error.strerror})", path, remedy="check the path and its permissions"
        ) from error
    except UnicodeDecodeError as error:
        raise ReadError(
            "is not text in UTF-8", path, remedy="save it as UTF-8 text in your editor"
        ) from error


def near_file(path: Path) -> Path | None:
    """The file beside `path` whose name is near to its own, .toml if it has no ending."""
    ending = path.suffix or ".toml"
    beside = path.parent.glob("*")  # an ending that was typed is no pattern
    files = sorted(file for file in beside if file.suffix == ending and file.is_file())
    guess = near(path.stem, [file.stem for file in files])
    return path.with_name(guess + ending) if guess else None


def kind_of(tables: Iterable[str]) -> str | None:
    """Which of `KINDS` the names at the top of a file speak of most; None if of none."""
    names = set(tables)
    kind = max(KINDS, key=lambda kind: len(KINDS[kind] & names))
    return kind if KINDS[kind] & names else None


def file_kind(path: Path) -> str | None:
    """Which of `KINDS` a file is; None if it has no field of any. Raises ReadError."""
    if path.suffix.lower() == ".csv":
        read_text(path)
        return VALUES
    return kind_of(read_toml(path))


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


def parse(
    model: type[Model],
    data: dict[str, Any],
    file: Path | str | None = None,
    *,
    source: Path | None = None,
) -> Model:
    """`data` as a `model`; raises InputError that names every field that is wrong.

    `file` is named in errors. `source` is the file that `data` was once read from, for models
    that keep it.
    """
    try:
        return model.model_validate(data, context={"source": source})
    except ValidationError as error:
        with naming(file):
            rows = _causes(model, error.errors())
            told = [{**row, "loc": _as_given(data, row["loc"])} for row in rows]
            raise several(_explain(model, row) for row in told) from None


def read_model(model: type[Model], path: Path, kind: str) -> Model:
    """The file at `path` as the `model` of a kind of `KINDS`; raises ReadError or InputError."""
    found = file_kind(path) if path.suffix.lower() == ".csv" else None
    tables = {} if found else read_toml(path)
    if not KINDS[kind] & set(tables) and (found := found or kind_of(tables)):
        raise WrongFileError.of(path, kind, found)
    return parse(model, tables, path, source=path)


def changed(model: OfFile, **fields: object) -> OfFile:
    """`model` with some fields set anew and checked; raises InputError as `parse` does.

    What a file has left out stays left out.
    """
    held = {name: getattr(model, name) for name in model.model_fields_set}
    return parse(type(model), held | fields, source=model.source)


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


def _as_given(data: object, loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """A pydantic location without the entry of a list for which the file has one text for short."""
    for at, part in enumerate(loc):
        if isinstance(data, str) and isinstance(part, int):
            return loc[:at]
        try:
            data = data[part]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            break
    return loc


def _causes(model: type[BaseModel], rows: list[Any]) -> list[Any]:
    """Leave out what is told only because something else is wrong.

    That is a list that is 'too short' as an entry of it was refused, and, where a field may be
    of several types, what is said of those that it is not.
    """
    rows = _of_one_type(model, rows)
    places = [row["loc"] for row in rows]
    return [
        row
        for row in rows
        if row["type"] != "too_short"
        or not any(len(p) > len(row["loc"]) and p[: len(row["loc"])] == row["loc"] for p in places)
    ]


def _of_one_type(model: type[BaseModel], rows: list[Any]) -> list[Any]:
    """One row for a field of several types that is of none; else those of the type that it is."""
    groups: dict[tuple[Any, ...], list[Any]] = {}
    found = []
    for row in rows:
        at = _locate(model, row["loc"]).union
        if at is None:
            found.append(row)
        else:
            groups.setdefault(row["loc"][:at], []).append(row)
    for place, group in groups.items():
        inside = [
            row
            for row in group
            if len(row["loc"]) > len(place) + 1 or not _wrong_type(row["type"], "literal_error")
        ]
        found += inside or [{**group[0], "loc": place, "type": "no_type"}]
    return found


def _wrong_type(kind: str, *others: str) -> bool:
    return kind.endswith(("_type", "_parsing")) or kind in ("int_from_float", *others)


def _explain(model: type[BaseModel], row: dict[str, Any]) -> InputError:
    """One pydantic error as an InputError."""
    names, info, parent, here, _, words = _locate(model, row["loc"])
    kind, given = row["type"], row.get("input")
    problem = _PROBLEMS.get(kind)
    if problem is None:
        problem = "has the wrong type" if _wrong_type(kind) else row["msg"]
    allowed = row.get("ctx", {}).get("allowed")
    if allowed is None and info is not None:
        entry = isinstance(names[-1], int)
        allowed = (facts_of_type(here) if entry else facts_of(str(names[-1]), info)).allowed
        if isinstance(given, str) and allowed.startswith(_NUMBERS):
            given = f'"{given}"'
            allowed += "" if ", or " in allowed else ", without quotes"
    remedy = row.get("ctx", {}).get("remedy")
    if remedy is None and info is not None:
        remedy = f"{'add' if kind == 'missing' else 'change'} it; it means: {info.description}"
    choices = row.get("ctx", {}).get("choices") or facts_of_type(here).choices
    alone = "allowed" not in row.get("ctx", {}) and problem is row["msg"]
    if isinstance(given, BaseModel | dict) and alone:
        allowed = remedy = None  # it says of several fields together what is wrong
    if kind == "missing":
        given = None
    elif kind == "extra_forbidden":
        known = list(file_fields(parent)) if parent is not None else []
        allowed = ", ".join(known)
        guess = near(str(names[-1]), known)
        remedy = f"did you mean '{guess}'?" if guess else "remove it or correct its name"
    elif kind in ("union_tag_invalid", "union_tag_not_found"):
        names = [*names, row["ctx"]["discriminator"].strip("'")]
        given = row["ctx"].get("tag")
        choices = _tags(info)
        allowed = ", ".join(f"'{tag}'" for tag in choices) or row["ctx"].get("expected_tags")
    elif isinstance(given, BaseModel | dict):
        given = None
    if row["loc"] and row["loc"][-1] == "[key]":
        most = row.get("ctx", {}).get("max_length")
        problem = f"the name {problem}"
        allowed = row.get("ctx", {}).get("allowed", most and f"at most {most} letters")
        remedy = "choose another name"
    words = words._replace(given=None if given == "" else given, allowed=allowed)
    if info is not None and words.field:
        facts = facts_of(words.field, info)
        if facts.unit and isinstance(given, float):
            words = words._replace(given=facts.text(given))
        if allowed and "allowed" not in row.get("ctx", {}):
            words = words._replace(allowed=facts.allowed_here or allowed)
    field = ".".join(map(_written, names)) or None
    return InputError(problem, None, field, given, allowed, remedy, choices=choices, words=words)


class _Place(NamedTuple):
    """Where an error is: its names as in the file, its field, its model, its type.

    union : where in the location the last name of one of several types stands
    words : the names as people call them
    """

    names: list[str | int]
    info: FieldInfo | None
    parent: type[BaseModel] | None
    here: Any
    union: int | None
    words: InWords


def _type_name(annotation: Any) -> str:
    """What pydantic calls one of several types in a location, without what is in brackets."""
    kind = bare(annotation)
    return str(getattr(get_origin(kind) or kind, "__name__", kind)).lower()


def _locate(model: type[BaseModel], loc: Iterable[str | int]) -> _Place:
    """Follow a pydantic location."""
    names: list[str | int] = []
    info: FieldInfo | None = None
    parent: type[BaseModel] | None = model
    here: Any = model
    union = None
    place: list[str] = []
    field = ""
    for at, part in enumerate(loc):
        here = bare(here)
        if part == "[key]":
            info = None
            break
        if isinstance(here, type) and issubclass(here, BaseModel):
            names.append(part)
            parent = here
            info = (file_fields(here) | here.model_fields).get(str(part))
            place += [field] if field else []
            field = facts_of(str(part), info).words if info is not None else str(part)
            here = info.annotation if info is not None else None
            continue
        choices = [choice for choice in get_args(here) if _has_kind(choice, part)]
        if choices:  # a union's tag: not in the file
            here = choices[0]
            continue
        if get_origin(here) in UNIONS:  # so is the name of a type
            kinds = {_type_name(kind): kind for kind in get_args(here)}
            label = str(part).partition("[")[0]
            named = [name for name in kinds if label == name or label.endswith(f"-{name}")]
            if named:
                here, union = kinds[named[0]], at
                continue
            here = kinds.get("dict")  # a name in a table, told by a check of our own
        names.append(part)
        place += [field] if field else []
        place.append(f"entry {part + 1}" if isinstance(part, int) else part)
        field = ""
        here = _inside(get_origin(here), get_args(here), part)
    return _Place(names, info, parent, here, union, InWords(tuple(place), field, info is not None))


def _inside(origin: object, arguments: tuple[Any, ...], part: str | int) -> Any:
    """The type of an entry of a list or a table; None if it is not known."""
    if not arguments:
        return None
    if origin is dict:
        return arguments[-1]
    if origin is tuple and isinstance(part, int) and Ellipsis not in arguments[: part + 1]:
        return arguments[min(part, len(arguments) - 1)]
    return arguments[0]


def _written(name: str | int) -> str:
    """A name of a field; in quotes if it is empty, or a number that is no place in a list."""
    return f'"{name}"' if isinstance(name, str) and (name.isdigit() or not name) else str(name)


def _has_kind(choice: Any, tag: str | int) -> bool:
    fields = getattr(bare(choice), "model_fields", {})
    return "kind" in fields and fields["kind"].default == tag


def _tags(info: FieldInfo | None) -> list[str]:
    if info is None:
        return []
    return [
        bare(choice).model_fields["kind"].default
        for choice in get_args(bare(info.annotation))
        if hasattr(bare(choice), "model_fields") and "kind" in bare(choice).model_fields
    ]
