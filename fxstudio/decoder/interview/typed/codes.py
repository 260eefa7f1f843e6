"""What the codes of a part mean, from how a leaflet prints them to the fields of its row.

`0 none, 1 steady, 2 flicker` is a table; `0 dark to 63 full` even steps; `units of 0.02 s, 1 to
250` a factor; `0 = 1 a second to 7 = 10 a second, same ratio` a ratio; `0 = 0.5, 50 = 5, 99 = 15 a
second, straight between` points; `not known, 0 to 255, higher is faster` a silence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from fxstudio.dcc.cv import LARGEST_VALUE
from fxstudio.decoder.interview.typed.figures import (
    LIGHT,
    NOT_KNOWN,
    changes_a_second,
    is_not_known,
    pieces,
    plain_number,
    refused,
    tidy,
    time_in_s,
    whole_number,
)
from fxstudio.decoder.interview.typed.terms import key_of
from fxstudio.decoder.interview.typed.values import (
    CHOICES,
    NOT_USED,
    SHARES,
    Context,
    effect_name,
    figure_of,
    property_of,
    value_of,
)
from fxstudio.decoder.leaflet.meanings import WORDS
from fxstudio.decoder.leaflet.says import PROPERTIES, SAYS, UNKNOWN
from fxstudio.effect.keys import KEYS
from fxstudio.errors import InputError

KNOWN_BY: Final = ("guess", "measured", "by eye")
"""What may stand before figures that are not the leaflet's."""

_CODE = r"(?:code |value )?(\d{1,9})"
_TO = r"\s*(?:\bto\b|\bup to\b|\.\.+|–|-)\s*"
_RUN = re.compile(rf"{_CODE}\s*[=:]?\s*(.*?){_TO}{_CODE}\s*[=:]?\s*(.*)", re.I)
_ENTRY = re.compile(rf"{_CODE}(?:\s*[=:–]\s*|\s+-\s+|\s+)(.+)", re.I)
_BEHIND = re.compile(rf"([a-z ]+?)\s*=?\s*(\d+){_TO}([a-z ]+?)\s*=?\s*(\d+)", re.I)
"""`dark 0 to full 63`."""
_UNIT = re.compile(
    r"(?:(?:in )?(?:units?|steps|multiples) of|in|each(?: step| one| unit)?(?: is)?|every step is"
    r"|(?:the )?(?:code|value|number) (?:[x×*]|times))\s+(?P<unit>.+)",
    re.I,
)
_UNIT_FIRST = re.compile(
    r"(?P<unit>.+?)\s+(?:(?:per|a|for each|for every|each|every) (?:step|unit|count)"
    r"|[x×*] (?:the )?(?:code|value|number))",
    re.I,
)
_SHIFTED = re.compile(
    r"\((?:the )?(?:code|value|number) ?\+ ?(?P<more>\d{1,3})\) ?(?:[x×*]|times) ?(?P<unit>.+)",
    re.I,
)
"""`(value + 1) x 10 ms`."""
_BRACKETS = re.compile(r"[^()]*\(([^()]+)\)")
"""`slowest (0.5 Hz)`."""
_ENDS: Final = {
    "rate": (("slow", "slowest", "slowly"), ("fast", "fastest", "quick", "quickest")),
    "time": (("short", "shortest", "fast", "fastest"), ("long", "longest", "slow", "slowest")),
    "light": (("faintest", "dimmest", "weakest"), ("strongest",)),
}
"""Words for the ends of a run of which no figure is printed: less of it, and more."""
_PLUS = re.compile(r"(?:plus|and|added to|from)\s+(.+)", re.I)
_STEPS: Final = {
    "ratio": re.compile(
        r".*\b(?:ratio|logarithmic(?:ally)?|geometric|exponential|doubles|twice|doubling)\b.*", re.I
    ),
    "points": re.compile(r".*\b(?:between|straight|points)\b.*", re.I),
    "even": re.compile(r"(?:in )?(?:even|equal|linear)(?:ly|(?: steps)?)(?: of .*)?", re.I),
}
_OTHERS = re.compile(
    r"(?:all |any )?(?:the )?(?:others?|higher|larger|rest)\b.*\b(?:not?|unused|free|reserved)\b.*",
    re.I,
)
"""What forbids all other codes, which they are anyway."""
_RISING = re.compile(
    r"(?:a )?(?P<side>higher|larger|greater|bigger|more|lower|smaller|less)\b.*?\b"
    r"(?P<says>faster|slower|brighter|darker|longer|shorter|deeper|shallower|more|less|higher"
    r"|lower|larger|smaller)",
    re.I,
)
_MORE_OF: Final[Mapping[str, tuple[str, ...]]] = {
    "rate": ("faster", "more", "higher", "larger"),
    "level": ("brighter", "more", "higher", "larger"),
    "lowest": ("brighter", "shallower", "more", "higher", "larger"),
}
_LONGER: Final = ("longer", "slower", "more", "higher", "larger")


@dataclass
class _Read:
    """The pieces of an answer, sorted."""

    runs: list[tuple[int, str, int, str]] = field(default_factory=list)
    entries: list[tuple[int, str]] = field(default_factory=list)
    unit: str = ""
    plus: str = ""
    shift: int = 0
    steps: str = ""
    silent: bool = False
    rising: bool | None = None


def meaning_of(text: str, context: Context) -> dict[str, Any]:
    """The fields of a part that say what its codes mean; raises InputError."""
    typed = tidy(text)
    row: dict[str, Any] = {}
    for word in KNOWN_BY:
        if found := re.fullmatch(rf"(?:an? )?{word}\b\s*[:,]?\s*(.+)", typed, re.I):
            row["known"], typed = word, found[1]
    if context.says == ("other",):
        return {**_plain_run(typed), **row}
    typed = re.sub(r"^[^\d;,=]{1,60}:\s*(?=\S)", "", typed)  # "Direction: 0 both ..."
    read = _sorted(typed, context)
    for build in (_silence, _units, _keys, _points, _stretch, _table):
        if made := build(read, context):
            return {**made, **row}
    raise refused(text, examples_for(context.says))


def ways_to_say(says: Sequence[str]) -> tuple[str, ...]:
    """How to type what the codes of a part mean, the most frequent first."""
    first = says[0]
    if first in SHARES:
        return (
            "0 dark to 63 full",
            "0 to 255, higher is brighter: not known, but that",
            "0 dark, 1 25 %, 2 half, 3 full",
            "0 to 100 in percent",
        )
    if first == "rate":
        return (
            "units of 25 ms, 1 to 255",
            "0 to 255, higher is faster: not known, but that",
            "0 to 31 in half changes a second",
            "0 = 1 a second to 7 = 10 a second, same ratio",
            "0 = 0.5, 50 = 5, 99 = 15 a second, straight between",
            "guess: any of these",
        )
    if first in SAYS and PROPERTIES[SAYS[first]].is_number:
        return (
            "units of 0.1 s, 1 to 250",
            "0 to 255, higher is longer: not known, but that",
            "0 to 31 in eighths of a second",
            "0 = 0.2 s to 7 = 2 s",
            "0 0.5 s, 1 2 s, 2 5 s",
            "guess: any of these",
        )
    if first == "effect":
        return (
            "0 none, 1 steady, 2 flicker: the leaflet's own names",
            "0 steady; 1 violet flicker and green steady: of each output its own",
            "1 steady, 6 steady in forward, 12 flicker in reverse: totals, with all they say",
            "0 steady; 1 steady, forward only; 2 flicker, level 50 %",
        )
    if first == "key":
        return ("0 to 28, 255 no key", "1 F1, 2 F2, 3 F1 or F2")
    if first in CHOICES:
        return (", ".join(f"{at} {choice}" for at, choice in enumerate(CHOICES[first])),)
    return ("0 A, 1 B, 2 A and B",) if first == "lights" else ("0 to 3",)


def examples_for(says: Sequence[str]) -> str:
    """Ways to type what the codes mean, in a sentence."""
    first, *others = ways_to_say(says)
    return "; or ".join((first, *([NOT_KNOWN] if may_be_silent(says) else []), *others))


def may_be_silent(says: Sequence[str]) -> bool:
    """Whether a leaflet may leave out what the codes mean."""
    return all(
        each in WORDS or (each in SAYS and PROPERTIES[SAYS[each]].is_number) for each in says
    )


def _plain_run(typed: str) -> dict[str, Any]:
    found = re.fullmatch(rf"{_CODE}(?:{_TO}{_CODE})?", typed, re.I)
    if not found:
        raise refused(typed, "the codes it may have, such as 0 to 3")
    last = whole_number(found[2] or found[1], 0, LARGEST_VALUE, "a code")
    first = whole_number(found[1], 0, LARGEST_VALUE, "a code") if found[2] else 0
    return {"from": first, "to": last}


def _code(text: str) -> int:
    return whole_number(text, 0, LARGEST_VALUE, "a code")


def _sorted(typed: str, context: Context) -> _Read:
    """What each piece is: a run, an entry, a unit, or how the steps go."""
    read = _Read()
    for piece in _code_pieces(typed):
        rising = _RISING.fullmatch(piece)
        run, entry = _RUN.fullmatch(piece), _ENTRY.fullmatch(piece)
        unit, plus = _UNIT.fullmatch(piece), _PLUS.fullmatch(piece)
        turned = _UNIT_FIRST.fullmatch(piece)
        steps = next((name for name, way in _STEPS.items() if way.fullmatch(piece)), "")
        if _OTHERS.fullmatch(piece):
            continue
        if shifted := _SHIFTED.fullmatch(piece):
            read.unit, read.shift = shifted["unit"], int(shifted["more"])
            continue
        if turned and not read.unit and _is_unit(turned["unit"], context):
            read.unit = turned["unit"]
        elif is_not_known(piece):
            read.silent = True
        elif rising:
            up = _MORE_OF.get(context.says[0], _LONGER)
            higher = rising["side"].lower() not in ("lower", "smaller", "less")
            read.rising = (rising["says"].lower() in up) == higher
        elif run and _is_run(run, context):
            ends = [(_code(run[1]), _bare(run[2])), (_code(run[3]), _bare(run[4]))]
            (first, before), (last, after) = sorted(ends) if ends[0][1] else ends
            read.runs.append((first, before, last, after))
        elif entry:
            read.entries.append((_code(entry[1]), entry[2]))
        elif steps:
            read.steps = steps
        elif unit and not read.unit:
            read.unit = unit["unit"]
        elif plus and not read.plus:
            read.plus = plus[1]
        elif not read.unit and _is_unit(piece, context):
            read.unit = piece
        else:
            raise refused(piece, examples_for(context.says))
    if len(read.entries) == 2 and not read.runs:
        (first, before), (last, after) = sorted(read.entries)
        if _rises(before, after, context.says[0]) is not None:  # "0 slowest, 255 fastest"
            read.entries, read.runs = [], [(first, before, last, after)]
    return read


def _bare(text: str) -> str:
    """What is said, or what stands in brackets behind it."""
    found = _BRACKETS.fullmatch(text.strip())
    return found[1].strip() if found else text.strip()


def _rises(before: str, after: str, says: str) -> bool | None:
    """Whether a run goes up by words that are no figures: `slowest` to `fastest`."""
    if says not in SAYS or not PROPERTIES[SAYS[says]].is_number:
        return None
    name = "rate" if says == "rate" else "light" if says in SHARES else "time"
    less, more = _ENDS[name]
    ends = (before.lower(), after.lower())
    if ends[0] in less and (ends[1] in more or name == "light"):
        return True
    return False if ends[0] in more and ends[1] in less else None


def _code_pieces(typed: str) -> Iterator[str]:
    """The pieces of an answer; `0 = off 1 = on` has no commas between them."""
    for piece in pieces(typed):
        behind = _BEHIND.fullmatch(re.sub(r"^from\s+", "", piece, flags=re.I))
        if behind and behind[1].strip().lower() in (*LIGHT, "faintest", "dimmest"):
            yield f"{behind[2]} {behind[1]} to {behind[4]} {behind[3]}"
        elif len(re.findall(r"(?<!\S)\d+ ?=", piece)) > 1 and not _RUN.fullmatch(piece):
            yield from re.split(r"\s+(?=\d+ ?=)", piece)
        else:
            yield re.sub(r"^from\s+(?=\d)", "", piece, flags=re.I)


def _is_unit(piece: str, context: Context) -> bool:
    try:
        _size(piece, context.says[0])
    except InputError:
        return False
    return plain_number(piece) is None


def _is_run(run: re.Match[str], context: Context) -> bool:
    """Whether what stands behind its codes can be said by them."""
    ends = [_bare(text) for text in (run[2], run[4])]
    if _rises(ends[0], ends[1], context.says[0]) is not None:
        return True
    if re.fullmatch(r"f ?\d+\s*(?:to|-|–)\s*f ?\d+", ends[1], re.I) and context.says == ("key",):
        return True
    if not any(ends) or (not ends[0] and is_not_known(ends[1])):
        return True
    if ends[0] and not ends[1]:
        return False
    for text in filter(None, ends):
        plain = _steps_in(text)[0]
        if text.lower() in NOT_USED or _is_unit(_step_of(plain), context):
            continue
        try:
            value_of(plain, context.says[0], context)
        except InputError:
            return False
    return True


def _step_of(text: str) -> str:
    """`in percent`, `units of 25 ms` without the words before the unit."""
    return re.sub(r"^(?:in )?(?:(?:units?|steps|multiples) of|in)\s+", "", text, flags=re.I)


def _steps_in(text: str) -> tuple[str, str]:
    """A value without `in even steps` at its end, and what that says."""
    found = re.fullmatch(
        r"(.*?)\s*\b((?:in |with )?(?:even|equal|linear) steps|evenly|same ratio)", text, re.I
    )
    if not found:
        return text, ""
    return found[1], "ratio" if "ratio" in found[2].lower() else "even"


def _exceptions(read: _Read, context: Context) -> dict[str, Any]:
    """Single codes beside a run, as the table that goes with it."""
    found = {
        str(code): "not allowed" if tidy(text).lower() in NOT_USED else _joint(text, context)
        for code, text in read.entries
    }
    return {"codes": found} if found else {}


def _joint(text: str, context: Context) -> Any:
    return value_of(_bare(text), context.says[0], context)


def _silence(read: _Read, context: Context) -> dict[str, Any]:
    """Codes of which nothing, or only the direction, is printed."""
    for first, before, last, after in read.runs:
        rises = _rises(before, after, context.says[0])
        if rises is not None and context.says[0] not in SHARES:
            read.rising = rises
            read.runs = [(first, "", last, "")]
            read.silent = True
    plain = all(
        not before and (not after or is_not_known(after)) for _, before, _, after in read.runs
    )
    if not (read.silent or (read.rising is not None and not read.entries)) or not plain:
        return {}
    if len(read.runs) > 1 or not all(SAYS.get(says) for says in context.says):
        return {}
    first, last = (read.runs[0][0], read.runs[0][2]) if read.runs else (0, LARGEST_VALUE)
    unknown: dict[str, Any] = {"from": first, "to": last}
    if read.rising is not None:
        unknown["rising"] = read.rising
    if not all(PROPERTIES[SAYS[says]].look for says in context.says):
        raise refused(context.says[0], examples_for(context.says), "cannot be not known")
    return {"unknown": unknown, **_exceptions(read, context)}


def _size(unit: str, says: str) -> tuple[str, float]:
    """What one step of a code is: `each_s`, `each_hz` or `share`, and how much."""
    text = tidy(unit)
    if says in SHARES:
        number = re.fullmatch(r"(?:(\d+(?:\.\d+)?)\s*)?(?:%|percent|per cent)", text, re.I)
        if number:
            return "share", float(number[1] or 1) / 100
    try:
        return "each_hz", changes_a_second(text)
    except InputError:
        return "each_s", time_in_s(text)


def _units(read: _Read, context: Context) -> dict[str, Any]:
    """Code x unit."""
    unit, runs = read.unit, list(read.runs)
    if not unit and len(runs) == 1 and not runs[0][1] and runs[0][3]:
        unit = _step_of(runs[0][3])
        runs = [(runs[0][0], "", runs[0][2], "")]
        if not _is_unit(unit, context):
            return {}
    if not unit or len(runs) > 1 or any(before or after for _, before, _, after in runs):
        return {}
    if not all(says in SAYS and PROPERTIES[SAYS[says]].is_number for says in context.says):
        return {}
    field_, size = _size(unit, context.says[0])
    says = context.says[0]
    first, last = (runs[0][0], runs[0][2]) if runs else (0, LARGEST_VALUE)
    if field_ == "share":
        last = last if runs else min(LARGEST_VALUE, round(1 / size))
        ends = {"first": first * size, "last": last * size}
        return {"even": {"from": first, "to": last, **ends}, **_exceptions(read, context)}
    if size <= 0:
        raise refused(unit, "a unit above 0")
    exceptions = _exceptions(read, context)
    row: dict[str, Any] = {field_: size}
    if read.plus:
        row["plus"] = time_in_s(read.plus) if field_ == "each_s" else changes_a_second(read.plus)
    if read.shift:
        row["plus"] = read.shift * size
    turned = says == "rate" or field_ == "each_hz"
    if turned and first == 0 and "plus" not in row:
        # No rate, or one without end: nothing is said of it.
        if runs:
            exceptions = {"codes": {"0": UNKNOWN, **exceptions.get("codes", {})}}
        first = 1
    if runs or first:
        row |= {"from": first, "to": last}
    return row | exceptions


def _keys(read: _Read, context: Context) -> dict[str, Any]:
    if context.says != ("key",) or len(read.runs) != 1:
        return {}
    first, before, last, after = read.runs[0]
    if ends := re.fullmatch(r"(f ?\d+)\s*(?:to|-|–)\s*f ?\d+", after, re.I):
        before = ends[1]  # "1 to 12 F1 to F12"
    key = key_of(before) if before else KEYS[first] if first < len(KEYS) else ""
    if not key or (before and not after):
        return {}
    row: dict[str, Any] = {"from": first, "to": last}
    if KEYS.index(key) != 0:
        row["first"] = key
    return {"keys": row, **_exceptions(read, context)}


def _points(read: _Read, context: Context) -> dict[str, Any]:
    if read.steps != "points" or read.runs:
        return {}
    if len(read.entries) < 2:
        raise refused(", ".join(text for _, text in read.entries), examples_for(context.says))
    said = _in_unit([_bare(text) for _, text in read.entries], read.unit)
    times = context.says[0] == "rate" and all(map(_is_time, said))
    return {
        "points": [
            [code, time_in_s(text) if times else figure_of(text, context.says[0])]
            for (code, _), text in sorted(zip(read.entries, said, strict=True))
        ],
        **({"in_s": True} if times else {}),
    }


def _in_unit(said: Sequence[str], unit: str = "") -> list[str]:
    """Figures of which only one has the unit, each with it."""
    units = [re.sub(r"^[\s\d./]+", "", tidy(text)) for text in said if plain_number(text) is None]
    units = [unit or next((each for each in units if each in ("%", "ms", "s", "min")), "")]
    if not units[0]:
        return list(said)
    return [f"{text} {units[0]}" if plain_number(text) is not None else text for text in said]


def _stretch(read: _Read, context: Context) -> dict[str, Any]:
    """One run from one figure to another: even steps, or steps of one ratio."""
    says = context.says[0]
    if len(read.runs) != 1 or not (says in SAYS and PROPERTIES[SAYS[says]].is_number):
        return {}
    first, before, last, after = read.runs[0]
    after, steps = _steps_in(after)
    steps = read.steps or steps or "even"
    if not before and not after:
        if says not in SHARES:
            raise refused(f"{first} to {last}", examples_for(context.says), "says not how much")
        return {"even": {"from": first, "to": last} if first else {"to": last}} | _exceptions(
            read, context
        )
    if not before or not after:
        return {}
    if says in SHARES and _rises(before, after, says):
        before = f"{1 / (last - first + 1):.6f}"  # the faintest of so many is one share of them
    texts = _in_unit([before, after], read.unit)
    times = says == "rate" and all(map(_is_time, texts))
    ends = [time_in_s(text) if times else figure_of(text, says) for text in texts]
    row: dict[str, Any] = {"from": first} if first else {}
    row["to"] = last
    if says not in SHARES or ends != [0.0, 1.0]:
        row |= {"first": ends[0], "last": ends[1]}
    way = "ratio" if steps == "ratio" else "even"
    return {way: row, **({"in_s": True} if times else {}), **_exceptions(read, context)}


def _is_time(text: str) -> bool:
    """Whether it is a time, and no rate."""
    try:
        changes_a_second(text)
    except InputError:
        try:
            return time_in_s(text) > 0
        except InputError:
            return False
    return False


def _table(read: _Read, context: Context) -> dict[str, Any]:
    """Codes one by one; what is not used is left out."""
    if read.unit or read.silent:
        return {}
    found: dict[str, Any] = {}
    texts: list[tuple[int, str]] = list(read.entries)
    for first, before, last, after in read.runs:
        if before or not after or last - first > LARGEST_VALUE:
            return {}
        texts += [(code, after) for code in range(first, last + 1)]
    for code, text in sorted(texts):
        if tidy(text).lower() in NOT_USED:
            continue
        if str(code) in found:
            raise refused(f"{code} {text}", "each code once", "stands there already")
        if context.says[0] == "effect" and is_not_known(text):
            text = f"effect {code}"  # how it lights is asked, and is not known
        text = re.sub(r"^\((.*)\)$", r"\1", text)
        found[str(code)] = value_of(text, context.says[0], context)
        names = [*context.effects, *effects_in({"says": context.says, "codes": found})]
        context = replace(context, effects=names)  # "both flicker" and then "flickers"
    return {"codes": found} if found else {}


def ranges_of(text: str, context: Context) -> dict[str, Any]:
    """`0 dark; 1 to 99 steady, level 1 % to 100 %; 100 to 163 fire, rate 0.5 to 12 a second, same
    ratio` as the rows of `ranges`; raises InputError.
    """
    rows: list[dict[str, Any]] = []
    for piece in re.split(r"\s*;\s*", tidy(text.replace("\n", " "))):
        found = re.fullmatch(rf"{_CODE}(?:{_TO}{_CODE})?(?:\s*[=:,]\s*|\s+)(.+)", piece, re.I)
        if not found:
            raise refused(piece or text, RANGES_HINT)
        if tidy(found[3]).lower() in NOT_USED:
            continue
        row: dict[str, Any] = {"from": _code(found[1]), "to": _code(found[2] or found[1])}
        for at, phrase in enumerate(_phrases(found[3])):
            if _STEPS["ratio"].fullmatch(phrase):
                row["steps"] = "ratio"
            elif _STEPS["even"].fullmatch(phrase):
                continue
            elif at == 0 and context.says[0] == "effect":
                row["effect"] = effect_name(phrase, context.effects)
            else:
                name, value = property_of(phrase, context)
                row[name] = value
        rows.append(row)
    if not rows:
        raise refused(text, RANGES_HINT)
    return {"ranges": rows}


def _phrases(text: str) -> Iterator[str]:
    for piece in re.split(r"\s*,\s*", text):
        if piece:
            yield piece


RANGES_HINT: Final = (
    "runs with ; between them, such as 0 dark; 1 to 99 steady, level 1 % to 100 %; 100 to 163 "
    "flicker, rate 0.5 to 12 a second, same ratio; 164 to 255 not used"
)


def effects_in(row: Mapping[str, Any]) -> Iterator[str]:
    """The names of effects that a part speaks of, in order."""
    if "effect" in row.get("says", ()):
        for value in row.get("codes", {}).values():
            if isinstance(value, Mapping):
                if "effect" in value:
                    yield value["effect"]
                elif not set(value) & set(PROPERTIES):
                    yield from value.values()
            elif isinstance(value, str):
                yield value
        if "set" in row:
            yield row["set"]
    for run in row.get("ranges", ()):
        if "effect" in run:
            yield run["effect"]
    of_effect = row.get("of_effect", ())
    yield from [of_effect] if isinstance(of_effect, str) else of_effect
