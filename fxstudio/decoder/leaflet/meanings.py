"""What the codes of a part say: every way of printing it becomes one table of codes.

A meaning is walked once, when the description is read. After that nothing asks in which way a
leaflet prints it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, Final, NamedTuple

import numpy as np

from fxstudio.decoder.leaflet.rows import CodeSteps, PartRow, RangeRow
from fxstudio.decoder.leaflet.says import (
    NOT_ALLOWED,
    ONE_WAY,
    PROPERTIES,
    SAYS,
    UNKNOWN,
    WHEN,
    YES_OR_NO,
    Unknown,
)
from fxstudio.effect.keys import ALWAYS, KEYS


class WrongRowError(Exception):
    """Something in a row that cannot be: the way to it in the row, and what is wrong."""

    def __init__(self, at: Sequence[str | int], text: str, given: Any = None, allowed: str = ""):
        super().__init__(text)
        self.at, self.text, self.given, self.allowed = tuple(at), text, given, allowed


class Said(NamedTuple):
    """One property that a code gives.

    of : name of an output, or None for all that the part serves
    """

    name: str
    value: Any
    of: str | None = None


WORDS: Final = ("effect", "key")
"""What is a word, and is "unknown" where it is not printed."""

Codes = Mapping[int, tuple[Said, ...]]
"""What each code says; a code that is not in it is not allowed."""

WAYS: Final = ("even", "ratio", "points", "each_s", "each_hz", "ranges", "unknown", "keys", "sum")
"""The fields of a part that give its meaning; beside any of them `codes` may stand."""


def codes_of(row: PartRow, outputs: Iterable[str], effects: Iterable[str]) -> Codes:
    """All codes of a part and what they say; of a sum, see `codes_in_sum`.

    outputs, effects : the names that the description has
    Raises WrongRowError.
    """
    given = [way for way in WAYS if getattr(row, way) is not None]
    if len(given) > 1:
        raise WrongRowError(
            (given[1],), f"stands beside {given[0]}", None, "one meaning for each part"
        )
    if not given and row.table is None:
        if row.says == ("other",):
            return dict.fromkeys(row.codes, ())
        raise WrongRowError(
            (), "does not say what its codes mean", None, ", ".join(("codes", *WAYS))
        )
    names = _Names(frozenset(outputs), frozenset(effects))
    found: dict[int, tuple[Said, ...]] = {}
    for way in given:
        found |= _RUNS[way](row, names)
    for code, value in (row.table or {}).items():
        if value == NOT_ALLOWED:
            found.pop(code, None)
        else:
            found[code] = tuple(_entry(row.says, value, ("codes", str(code)), names, code))
    if not found:
        raise WrongRowError(("codes",), "allows no code at all", None, "one code at least")
    return dict(sorted(found.items()))


def codes_in_sum(row: PartRow, output: str, effects: Iterable[str]) -> Codes:
    """What is said of an output that is not in a sum (code 0), and of one that is (code 1).

    Where being in it is a yes, not being in it is a no; else nothing. Raises WrongRowError.
    """
    (says,) = row.says
    if says == "lights":
        return {0: (), 1: (Said("lights", True, output),)}
    names = _Names(frozenset([output]), frozenset(effects))

    def said(value: Any) -> tuple[Said, ...]:
        found = _statements(says, value, ("set",), names, None)
        return tuple(each._replace(of=output) for each in found)

    without = {None: "no", "yes": "no", "no": "yes"}.get(row.set) if says in YES_OR_NO else None
    return {0: said(without) if without else (), 1: said(row.set or "yes")}


class _Names(NamedTuple):
    outputs: frozenset[str]
    effects: frozenset[str]


def _entry(
    says: tuple[str, ...], value: Any, at: tuple[str | int, ...], names: _Names, code: int
) -> Iterator[Said]:
    """What one entry of a table of codes says."""
    if isinstance(value, Mapping) and value and set(value) <= names.outputs:
        for output, each in value.items():
            for said in _entry(says, each, (*at, output), names, code):
                yield said._replace(of=output)
    elif isinstance(value, Mapping):
        for name, each in value.items():
            if name not in PROPERTIES or name == "lights":
                known = [*PROPERTIES, *sorted(names.outputs)]
                raise WrongRowError(
                    (*at, name), "is no property and no output", None, ", ".join(map(str, known))
                )
            yield Said(name, _checked(name, each, (*at, name), names, code))
    else:
        for each in says:
            yield from _statements(each, value, at, names, code)


def _statements(
    says: str, value: Any, at: tuple[str | int, ...], names: _Names, code: int | None
) -> Iterator[Said]:
    """A single value of a part as properties."""
    if says == "other":
        return
    if says == "when":
        if not _is_one(value, WHEN):
            raise WrongRowError(at, "is not one of the choices", value, ", ".join(WHEN))
        yield from (Said(*each) for each in WHEN[value])
    elif says in ONE_WAY:
        if not _is_one(value, ("yes", "no")):
            raise WrongRowError(at, "is not one of the choices", value, "yes, no")
        answer, travel = ONE_WAY[says]
        if value == answer:
            yield Said("travel", travel)
    elif says == "lights":
        listed = [value] if isinstance(value, str) else value
        if not isinstance(listed, list | tuple) or not all(
            _is_one(name, names.outputs) for name in listed
        ):
            raise WrongRowError(
                at, "is no list of outputs", value, ", ".join(sorted(names.outputs))
            )
        yield from (Said("lights", True, output) for output in listed)
    elif says == "key" and isinstance(value, list | tuple):
        for each in value:
            yield Said("key", _checked("key", each, at, names, code))
    else:
        yield Said(SAYS[says], _checked(SAYS[says], value, at, names, code))


def _checked(
    name: str, value: Any, at: tuple[str | int, ...], names: _Names, code: int | None
) -> Any:
    """A value of a property, if it can be one; `Unknown` for one that is not printed."""
    row = PROPERTIES[name]
    if name == "effect":
        if not _is_one(value, names.effects):
            raise WrongRowError(at, "is not an effect", value, ", ".join(sorted(names.effects)))
        return value
    if value == UNKNOWN and row.look:
        return Unknown(code)
    if not row.is_number:
        if isinstance(value, bool):
            value = "yes" if value else "no"
        if not _is_one(value, row.choices):
            raise WrongRowError(at, "is not one of the choices", value, row.allowed)
        return value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WrongRowError(at, "is not a number", value, row.allowed)
    assert row.lowest is not None
    assert row.highest is not None
    if not row.lowest <= value <= row.highest:
        raise WrongRowError(at, "is out of range", value, row.allowed)
    return float(value)


def _is_one(value: Any, choices: Collection[str]) -> bool:
    """Whether a value of any type is one of some words."""
    return isinstance(value, str) and value in choices


def _numbers(row: PartRow, field: str, codes: Sequence[int], values: Iterable[float]) -> Codes:
    """Numbers by code, each said of all that the part says."""
    found: dict[int, tuple[Said, ...]] = {}
    for code, value in zip(codes, values, strict=True):
        said = []
        for says in row.says:
            name = SAYS.get(says)
            if name is None or not PROPERTIES[name].is_number:
                raise WrongRowError((field,), f"{says} is no number", None, "codes, ranges")
            turned = name == "rate_hz" and (row.in_s or field == "each_s")
            turned |= PROPERTIES[name].times and field == "each_hz"
            number = float(np.float64(1) / value) if turned and value else float(value)
            try:
                said.append(Said(name, _checked(name, number, (field,), _NO_NAMES, code)))
            except WrongRowError:
                facts = PROPERTIES[name]
                words = f"gives code {code} a {facts.words} of {number:g}"
                allowed = f"a number from {facts.lowest:g} to {facts.highest:g}"
                raise WrongRowError((field,), words, None, allowed) from None
        found[code] = tuple(said)
    return found


_NO_NAMES = _Names(frozenset(), frozenset())


def _ends(row: PartRow, field: str) -> tuple[CodeSteps, float, float]:
    steps: CodeSteps = getattr(row, field)
    share = all(says in ("level", "lowest", "share on") for says in row.says)
    first, last = (
        default if end is None and share else end
        for end, default in ((steps.first, 0.0), (steps.last, 1.0))
    )
    if first is None or last is None:
        lacking = "first" if first is None else "last"
        raise WrongRowError(
            (field, lacking), "is missing", None, "what the first and the last code say"
        )
    if len(steps.codes) < 2:
        raise WrongRowError(
            (field, "to"), "is the only code", steps.last_code, "a larger code than from"
        )
    return steps, first, last


def _even(row: PartRow, names: _Names) -> Codes:
    steps, first, last = _ends(row, "even")
    shares = np.arange(len(steps.codes)) / (len(steps.codes) - 1)
    return _numbers(row, "even", steps.codes, (first + (last - first) * shares).tolist())


def _ratio(row: PartRow, names: _Names) -> Codes:
    steps, first, last = _ends(row, "ratio")
    if first <= 0 or last <= 0:
        raise WrongRowError(
            ("ratio",), "has an end that is not above 0", [first, last], "ends above 0"
        )
    return _numbers(row, "ratio", steps.codes, np.geomspace(first, last, len(steps.codes)).tolist())


def _points(row: PartRow, names: _Names) -> Codes:
    points = row.points or ()
    codes, values = zip(*points, strict=True)
    if any(after <= before for before, after in pairwise(codes)):
        raise WrongRowError(
            ("points",), "is not in order of its codes", list(codes), "rising codes"
        )
    every = range(codes[0], codes[-1] + 1)
    return _numbers(row, "points", every, np.interp(every, codes, values).tolist())


def _each(field: str) -> Callable[[PartRow, _Names], Codes]:
    def codes(row: PartRow, names: _Names) -> Codes:
        step = getattr(row, field)
        given = "first_code" in row.model_fields_set
        rate = any(says == "rate" for says in row.says) and row.plus == 0
        every = row.codes if given or not rate else range(1, row.last_code + 1)
        values = [code * step + row.plus for code in every]
        if rate and 0.0 in values:
            raise WrongRowError(("from",), "would be a rate without end, or none", 0, "from = 1")
        return _numbers(row, field, every, values)

    return codes


def _ranges(row: PartRow, names: _Names) -> Codes:
    found: dict[int, tuple[Said, ...]] = {}
    for index, run in enumerate(row.ranges or ()):
        twice = found.keys() & set(run.codes)
        if twice:
            raise WrongRowError(("ranges", index, "from"), "overlaps another range", min(twice))
        for code in run.codes:
            found[code] = tuple(_in_run(run, code, ("ranges", index), names))
    return found


def _in_run(run: RangeRow, code: int, at: tuple[str | int, ...], names: _Names) -> Iterator[Said]:
    for name in PROPERTIES:
        value = getattr(run, name, None)
        if value is None:
            continue
        if isinstance(value, list | tuple):
            if len(value) != 2 or not PROPERTIES[name].is_number:
                raise WrongRowError((*at, name), "is not [first, last]", value, "two numbers")
            ends = [_checked(name, end, (*at, name), names, code) for end in value]
            if run.steps == "ratio" and min(ends) <= 0:
                raise WrongRowError(
                    (*at, name), "has an end that is not above 0", value, "ends above 0"
                )
            space = np.geomspace if run.steps == "ratio" else np.linspace
            every = space(float(ends[0]), float(ends[1]), num=len(run.codes))
            value = float(every[code - run.first_code])
        yield Said(name, _checked(name, value, (*at, name), names, code))


def _unknown(row: PartRow, names: _Names) -> Codes:
    assert row.unknown is not None
    found: dict[int, tuple[Said, ...]] = {}
    for says in row.says:
        if says not in WORDS and not PROPERTIES[SAYS.get(says, "lights")].look:
            raise WrongRowError(("unknown",), f"{says} cannot be unknown", None, "codes")
    for code in row.unknown.codes:
        value = Unknown(code, row.unknown.rising)
        found[code] = tuple(
            Said(SAYS[says], UNKNOWN if says in WORDS else value) for says in row.says
        )
    return found


def _keys(row: PartRow, names: _Names) -> Codes:
    assert row.keys is not None
    if row.says != ("key",):
        raise WrongRowError(("keys",), "is of use only where a key is said", None, 'says = "key"')
    first = -1 if row.keys.first == ALWAYS else KEYS.index(row.keys.first)
    codes = row.keys.codes
    if first < 0 or first + len(codes) > len(KEYS):
        raise WrongRowError(("keys", "to"), "goes past F28", row.keys.last_code, "F0 to F28")
    return {code: (Said("key", KEYS[first + at]),) for at, code in enumerate(codes)}


def _no_sum(row: PartRow, names: _Names) -> Codes:
    return {}


_RUNS: Final[Mapping[str, Callable[[PartRow, _Names], Codes]]] = {
    "even": _even,
    "ratio": _ratio,
    "points": _points,
    "each_s": _each("each_s"),
    "each_hz": _each("each_hz"),
    "ranges": _ranges,
    "unknown": _unknown,
    "keys": _keys,
    "sum": _no_sum,
}
