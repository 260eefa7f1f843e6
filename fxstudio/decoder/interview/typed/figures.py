"""Figures in the words of a leaflet: `63`, `full`, `25 ms`, `half changes a second`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from fxstudio.errors import InputError

TYPE_AGAIN: Final = "type it again"

NOT_KNOWN: Final = "not known"
"""What is typed where a leaflet is silent."""

_SILENT = re.compile(r"(?:it is )?(?:not|nowhere) (?:known|printed|said|given)|unknown|\?", re.I)

_COUNTED: Final = (
    "zero/no one/once/a/an two/twice three four five six seven eight nine ten eleven twelve "
    "thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty"
)
WORDS: Final = {
    word: float(number)
    for number, words in enumerate(_COUNTED.split(" "))
    for word in words.split("/")
}
"""Numbers that leaflets write in letters."""

SHARES_OF_ONE: Final = {
    "half": 1 / 2,
    "halves": 1 / 2,
    "third": 1 / 3,
    "quarter": 1 / 4,
    "fourth": 1 / 4,
    "fifth": 1 / 5,
    "sixth": 1 / 6,
    "eighth": 1 / 8,
    "tenth": 1 / 10,
    "sixteenth": 1 / 16,
    "twentieth": 1 / 20,
    "hundredth": 1 / 100,
    "thousandth": 1 / 1000,
}

TIMES: Final = {
    1.0: ("s", "sec", "second", "seconds"),
    0.001: ("ms", "millisecond", "milliseconds"),
    60.0: ("min", "minute", "minutes"),
}
"""Units of time and how many seconds each is."""

LIGHT: Final = {
    "dark": 0.0,
    "off": 0.0,
    "none": 0.0,
    "full": 1.0,
    "full light": 1.0,
    "full brightness": 1.0,
    "brightest": 1.0,
    "bright": 1.0,
}
"""Words for shares of full light."""

_UNIT_S = {unit: size for size, units in TIMES.items() for unit in units}
_UNITS = "|".join(sorted(_UNIT_S, key=len, reverse=True))
_SHARES = "|".join(f"{word}s?" for word in SHARES_OF_ONE)
_AMOUNT = re.compile(
    rf"(?P<number>-?\d+(?:\.\d+)?(?:\s*/\s*\d+(?:\.\d+)?)?|\b(?:{'|'.join(WORDS)})\b)?"
    rf"\s*(?P<share>\b(?:{_SHARES})\b)?\s*(?:of\s+)?(?P<unit>.*)"
)
_ABOUT = re.compile(r"^(?:about|around|approximately|roughly|nearly|ca\.?|~)\s*")
_CHANGES = r"(?:changes?|steps?|flashes|flash|times|pulses?|cycles?|jumps?|flickers?)"
_RATE = re.compile(
    rf"(?:a |an )?(?:{_CHANGES}\s*)?"
    rf"(?:hz|hertz|(?:(?:a|an|per|each|every)\s+|/\s*)(?P<per>{_UNITS}))"
)
_A_TIME = re.compile(rf"(?:.*\b(?:{_SHARES})\s*(?:of\s+)?)?an? (?:{_UNITS})")
"""A time that reads almost as a rate: `half a second`."""
_EVERY = re.compile(
    rf"(?:(?:once|one|a|an|1)\s+)?(?:{_CHANGES}\s*)?(?:in|every|each|per|a)\s+(?P<time>.+)"
)


def tidy(text: str) -> str:
    """Without blanks at its ends and in rows, and without a full stop."""
    return " ".join(text.split()).rstrip(" .;,")


def is_not_known(text: str) -> bool:
    """Whether it says that the leaflet is silent."""
    return bool(_SILENT.fullmatch(tidy(text)))


def refused(text: str, allowed: str, problem: str = "cannot be understood") -> InputError:
    """The error for an answer, or a piece of it, that cannot be used."""
    return InputError(problem, given=text, allowed=allowed, remedy=TYPE_AGAIN)


def whole_number(text: str, lowest: int, highest: int, what: str = "a whole number") -> int:
    """A whole number in digits; raises InputError."""
    typed = tidy(text)
    allowed = f"{what} from {lowest} to {highest}, in digits"
    if not re.fullmatch(r"\d{1,9}", typed, re.ASCII):
        raise refused(text, allowed)
    if not lowest <= int(typed) <= highest:
        raise refused(text, allowed, "is out of range")
    return int(typed)


def runs_of(text: str, lowest: int, highest: int, what: str = "whole numbers") -> list[int]:
    """Numbers with commas between them and runs from one to another: `114, 116 to 118`."""
    found: list[int] = []
    for piece in re.split(r"\s*[,;&]\s*|\s+and\s+", tidy(text)):
        ends = re.split(r"\s*(?:\bto\b|\bup to\b|-|–)\s*", piece)
        if len(ends) > 2:
            raise refused(text, f"{what}, such as 114, 116 to 118")
        first, last = (whole_number(end, lowest, highest, what) for end in (ends[0], ends[-1]))
        if last < first:
            raise refused(piece, "a run from a smaller number to a larger one", "goes down")
        found += range(first, last + 1)
    return found


def _amount(text: str) -> tuple[float | None, str]:
    """A number, if there is one, and what follows it."""
    found = _AMOUNT.fullmatch(_ABOUT.sub("", tidy(text).lower()))
    assert found is not None
    number = None
    if found["number"]:
        top, _, bottom = found["number"].partition("/")
        number = WORDS.get(top) if top in WORDS else float(top)
        if bottom and number is not None:
            if not float(bottom):
                raise refused(text, "a number that is not divided by 0")
            number /= float(bottom)
    if found["share"]:
        word = found["share"]
        number = (1.0 if number is None else number) * (
            SHARES_OF_ONE.get(word) or SHARES_OF_ONE[word.removesuffix("s")]
        )
    return number, found["unit"].strip()


def share_of_light(text: str) -> float:
    """A share of full light, 0 to 1: `40 %`, `0.4`, `full`, `a quarter`; raises InputError."""
    typed = _ABOUT.sub("", tidy(text).lower())
    typed = re.sub(r"^(?:down to|up to|to|at)\s+", "", typed)
    if typed in LIGHT:
        return LIGHT[typed]
    number, unit = _amount(typed)
    unit = re.sub(r"^(?:of )?(?:its |the |full )*(?:brightness|brightest|light|level)?$", "", unit)
    allowed = "a share of full light such as 40 %, 0.4, a quarter, dark or full"
    if number is None or unit not in ("", "%", "percent", "per cent"):
        raise refused(text, allowed)
    share = number / 100 if unit else number
    if not 0 <= share <= 1:
        raise refused(text, f"{allowed}, from 0 to 1 or 0 % to 100 %", "is out of range")
    return share


def time_in_s(text: str) -> float:
    """A time in seconds: `25 ms`, `0.1 s`, `eighths of a second`; raises InputError."""
    number, unit = _amount(text)
    unit = re.sub(r"^(?:a|an|the|each)\s+", "", unit)
    if unit not in _UNIT_S:
        raise refused(text, "a time with its unit such as 25 ms, 0.1 s or an eighth of a second")
    return (1.0 if number is None else number) * _UNIT_S[unit]


def changes_a_second(text: str) -> float:
    """A rate: `5 a second`, `5 Hz`, `one change in two seconds`; raises InputError."""
    number, unit = _amount(text)
    rate = None if _A_TIME.fullmatch(tidy(text).lower()) else _RATE.fullmatch(unit)
    if rate is not None:
        per_s = _UNIT_S[rate["per"]] if rate["per"] else 1.0
        return (1.0 if number is None else number) / per_s
    if re.search(r"\d|[a-z]", unit) and (every := _EVERY.fullmatch(tidy(text).lower())):
        time_s = time_in_s(every["time"])
        if time_s > 0:
            return 1 / time_s
    raise refused(text, "changes a second such as 5 a second, 5 Hz or one change in two seconds")


def plain_number(text: str) -> float | None:
    """A number without a unit; None if it is not one."""
    number, unit = _amount(text)
    return number if not unit else None


def pieces(text: str) -> Iterator[str]:
    """What stands between semicolons or, where there is none, between commas."""
    typed = tidy(text.replace("\n", " "))
    for piece in re.split(r"\s*;\s*" if ";" in typed else r"\s*,(?=\s|$)\s*", typed):
        if piece.strip():
            yield piece.strip()
