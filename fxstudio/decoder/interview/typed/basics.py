"""What a leaflet says of the whole decoder: outputs, wires, keys, currents, what is left."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV
from fxstudio.decoder.interview.typed.figures import (
    WORDS,
    is_not_known,
    refused,
    runs_of,
    tidy,
    whole_number,
)
from fxstudio.decoder.interview.typed.terms import key_of, names_in
from fxstudio.decoder.leaflet.says import UNKNOWN
from fxstudio.effect.keys import ALWAYS
from fxstudio.errors import InputError

MOST_OUTPUTS: Final = 32
MOST_MA: Final = 10_000
STANDARD: Final = "standard"
IN_LINES: Final = "by CVs"
"""What is typed where CVs of the leaflet say which key lights an output."""

NO: Final = ("", "no", "none", "nothing", "done", "no more", "n", "-", "end", "that is all")
"""What is typed where there is nothing, or nothing more."""


def is_none(text: str) -> bool:
    """Whether it says that there is nothing."""
    return tidy(text).lower() in NO


def shown_text(text: str, longest: int) -> str:
    """Text that a person typed, on one line; raises InputError for none and for too much."""
    typed = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    if not typed:
        raise refused(text, f"text of 1 to {longest} letters", "needs an answer")
    if len(typed) > longest:
        raise refused(text, f"at most {longest} letters", "is too long")
    return typed


_NAMES = re.compile(r"(\w*?)\s*(\d+|[A-Za-z])\s*(?:to|-|–)\s*(\w*?)\s*(\d+|[A-Za-z])")


def output_names(text: str) -> tuple[str, ...]:
    """`white, yellow, green`, `A to D`, `1 to 8`, or how many; raises InputError."""
    typed = re.sub(r"^(?:outputs?|wires?)\s+", "", tidy(text), flags=re.I)
    count = re.fullmatch(rf"(\d+|{'|'.join(WORDS)})(?: outputs?)?", typed, re.I)
    if count:
        word = WORDS.get(count[1].lower())
        digits = count[1] if word is None else str(int(word))
        number = whole_number(digits, 1, MOST_OUTPUTS, "a number of outputs")
        return tuple(str(at) for at in range(1, number + 1))
    found: list[str] = []
    for piece in re.split(r"\s*[,;]\s*|\s+and\s+", typed):
        ends = _NAMES.fullmatch(piece)
        run = _run_of_names(ends[1], ends[2], ends[4]) if ends and ends[3] in ("", ends[1]) else []
        if run:
            found += run
        elif piece:
            found.append(shown_text(piece, 40))
    if len({name.casefold() for name in found}) != len(found):
        raise refused(text, "each name once", "has a name twice")
    if not 1 <= len(found) <= MOST_OUTPUTS:
        problem = "are too many" if found else "names none"
        raise refused(text, f"1 to {MOST_OUTPUTS} outputs", problem)
    return tuple(found)


def _run_of_names(word: str, first: str, last: str) -> list[str]:
    """`A to D`, `1 to 8`, `aux 1 to 4` written out; empty if it is no run."""
    lead = f"{word} " if word else ""
    if first.isdigit() and last.isdigit():
        low, high = int(first[:4]), int(last[:4])
        return [f"{lead}{at}" for at in range(low, high + 1)] if high - low < MOST_OUTPUTS else []
    if first.isalpha() and last.isalpha() and first.isupper() == last.isupper():
        return [f"{lead}{chr(at)}" for at in range(ord(first), ord(last) + 1)]
    return []


def wire_names(text: str, names: Sequence[str]) -> tuple[str, ...]:
    """A wire or pad for each output; `same` if they are called by it. Raises InputError."""
    typed = tidy(text)
    if is_not_known(typed) or is_none(typed):
        return ("",) * len(names)
    if typed.lower() in ("same", "the same", "yes", "as named"):
        return tuple(names)
    wires = [piece.strip() for piece in re.split(r";" if ";" in typed else r",", typed)]
    if len(wires) != len(names):
        allowed = "one for each output with commas between; same; or not known"
        raise refused(text, allowed, f"are {len(wires)} for {len(names)} outputs")
    return tuple(shown_text(wire, 40) if wire else "" for wire in wires)


@dataclass(frozen=True)
class DeliveredKeys:
    """Which key lights each output as delivered: of each the key and its directions.

    keys : empty where the standard's table, or lines of the leaflet, say which
    standard : whether CVs 33 to 46 are as in the standard
    """

    keys: tuple[tuple[str, str], ...] = ()
    standard: bool = False


KEYS_HINT: Final = (
    f"a key for each output, or one for all, such as F0, F0 reverse, F1; {ALWAYS}; {STANDARD}; or "
    f"{IN_LINES}"
)


_OWN_KEY = re.compile(
    r"(?P<who>(?!all |both )\S.*?)\s*(?:=|:| on| by|\s)\s*(?P<key>(?:key )?f ?\d.*|always)"
    r"|(?P<which>(?:key )?f ?\d+(?: (?:forward|reverse))?)\s+(?:for|lights)\s+(?P<whose>.+)"
)
"""`green F1`, `green on F1`, `F0 forward for white`."""


def delivered_keys(text: str, names: Sequence[str]) -> DeliveredKeys:
    """`F0 forward, F0 reverse, F1, F2`, `standard` or `by CVs`; raises InputError."""
    typed = tidy(text).lower()
    if re.fullmatch(rf"(?:the |in the )?{STANDARD}(?:'s)?(?: table)?|s-9\.2\.2", typed):
        return DeliveredKeys(standard=True)
    if typed in (IN_LINES.lower(), "by cv", "cvs", "cv", "lines", "by lines"):
        return DeliveredKeys()
    found: list[tuple[str, str]] = []
    of: dict[str, tuple[str, str]] = {}
    for piece in re.split(r"\s*[,;]\s*", typed):
        pair = _OWN_KEY.fullmatch(piece)
        try:
            if pair and names_in(pair["who"] or pair["whose"], names):
                key = one_key(pair["key"] or pair["which"])
                of |= dict.fromkeys(names_in(pair["who"] or pair["whose"], names), key)
            else:
                found.append(one_key(re.sub(r"^(?:all |both )?(?:on|with|by) ", "", piece)))
        except InputError:
            raise refused(piece, KEYS_HINT, "is no key") from None
    if of and not found:
        lacking = [name for name in names if name not in of]
        if lacking:
            raise refused(text, f"a key for {', '.join(lacking)} too", "lacks some keys")
        return DeliveredKeys(tuple(of[name] for name in names))
    if len(found) == 1:
        found *= len(names)
    if len(found) != len(names):
        raise refused(text, KEYS_HINT, f"are {len(found)} keys for {len(names)} outputs")
    return DeliveredKeys(tuple(found))


def one_key(text: str) -> tuple[str, str]:
    """A key, perhaps "unknown", and its directions: `F0 forward`; raises InputError."""
    match = re.fullmatch(
        r"(.+?)(?: (?:only )?(?:in )?(?:the )?(forward|reverse|both)(?: directions?)?(?: only)?)?",
        re.sub(r"[()]", "", tidy(text)),
        re.I,
    )
    if is_not_known(text):
        return UNKNOWN, "both"
    key, travel = match.groups() if match else (text, None)
    return key_of(key), (travel or "both").lower()


@dataclass(frozen=True)
class Currents:
    """What outputs may switch, in mA; None where it is not printed.

    each : of each output
    together : of all
    groups : of several: their names, and what they may switch together
    """

    each: tuple[float | None, ...]
    together: float | None = None
    groups: tuple[tuple[tuple[str, ...], float], ...] = ()


CURRENTS_HINT: Final = (
    "100 each, 250 together; or 100, 100, 50; or 500 together, {some} together 150; or not known"
)


_EACH_MA = re.compile(r"(?:each|every|per)(?: one)?(?: output)?", re.I)
_ALL_MA = re.compile(r"(?:all )?(?:of )?(?:them )?(?:together|in all|(?:in )?total|all)", re.I)
_REST_MA = re.compile(r"(?:all )?(?:the )?(?:others?|rest)", re.I)
_MA = r"(\d+(?:\.\d+)?)\s*(?:mA\b)?"
_LIMIT_FIRST = re.compile(rf"{_MA}\s*(?:for|each|every|per|together|in|total|all)\b", re.I)


def currents_in_ma(text: str, names: Sequence[str]) -> Currents:
    """`100 mA each, 250 mA together`, `white 100, others 50`; raises InputError."""
    typed = tidy(text)
    each: dict[str, float | None] = {}
    listed: list[float | None] = []
    together, groups = None, list[tuple[tuple[str, ...], float]]()
    hint = CURRENTS_HINT.format(some=" and ".join(names[:2]))
    if is_not_known(typed) or is_none(typed):
        return Currents((None,) * len(names))
    for piece in re.split(r"\s*[,;]\s*", typed):
        if is_not_known(piece):
            listed.append(None)
            continue
        who, limit = _milliamps(piece, hint)
        if not who:
            listed.append(limit)
        elif _EACH_MA.fullmatch(who):
            each = _for_rest(limit, each, names)
        elif _ALL_MA.fullmatch(who):
            together = limit
        elif _REST_MA.fullmatch(who):
            each = _for_rest(limit, each, names)
        elif who.lower().endswith(" together"):
            groups.append((names_in(who[: -len(" together")], names), limit))
        else:
            each.update(dict.fromkeys(names_in(who, names), limit))
    if listed:
        listed *= len(names) if len(listed) == 1 else 1
        if len(listed) != len(names):
            raise refused(text, hint, f"are {len(listed)} for {len(names)} outputs")
        each = {**dict(zip(names, listed, strict=True)), **each}
    return Currents(tuple(each.get(name) for name in names), together, tuple(groups))


def _for_rest(
    limit: float, each: dict[str, float | None], names: Sequence[str]
) -> dict[str, float | None]:
    """The limits of all outputs, `limit` for those that have none of their own."""
    return {name: each.get(name, limit) for name in names}


def _milliamps(piece: str, hint: str) -> tuple[str, float]:
    """Whose current it is, and how much; raises InputError."""
    first = re.fullmatch(rf"{_MA}\s*(?:for\s+|at most\s*)?(.*)", piece, re.I)
    last = re.fullmatch(rf"(.+?)(?:\s*[:=]\s*|\s+)(?:at most\s+)?{_MA}", piece, re.I)
    if last and not re.match(
        rf"{_MA}\s*(?:for|each|every|per|together|in|total|all)\b", piece, re.I
    ):
        limit, who = float(last[2]), last[1]
    elif first:
        limit, who = float(first[1]), first[2]
    else:
        raise refused(piece, hint)
    if not 0 < limit <= MOST_MA:
        raise refused(piece, f"more than 0 and up to {MOST_MA:g} mA", "is out of range")
    return re.sub(r"^(?:for|of)\s+", "", who, flags=re.I).strip(), limit


def dimming_of(text: str) -> dict[str, Any]:
    """`256 levels, 8 ms` as the row of `pwm`; empty if it is not known. Raises InputError."""
    if is_not_known(text) or is_none(text):
        return {}
    row: dict[str, Any] = {}
    for piece in re.split(r"\s*[,;]\s*|\s+and\s+", tidy(text)):
        levels = re.fullmatch(r"(\d+)(?: (?:levels?|steps?))?(?: of brightness)?", piece, re.I)
        refresh = re.fullmatch(r"(?:every )?(\d+(?:\.\d+)?)\s*(ms|hz)", piece, re.I)
        if levels:
            row["levels"] = whole_number(levels[1], 2, 65536, "levels")
        elif refresh and float(refresh[1]):
            ms = float(refresh[1]) if refresh[2].lower() == "ms" else 1000 / float(refresh[1])
            if not 0 < ms <= 100:
                raise refused(piece, "a time above 0 and up to 100 ms", "is out of range")
            row["refresh_ms"] = ms
        else:
            raise refused(piece or text, DIMMING_HINT)
    return row


DIMMING_HINT: Final = "256 levels; or 256 levels, 8 ms; or 64 levels, 120 Hz; or not known"

ALSO_HINT: Final = "CV 8 = 8, everything goes back to delivered; several with ; between; or no"


def also_rows(text: str) -> list[dict[str, Any]]:
    """`CV 8 = 8, resets the decoder` as rows of `also`; raises InputError."""
    if is_none(text) or is_not_known(text):
        return []
    rows: list[dict[str, Any]] = []
    for piece in re.split(r"\s*;\s*", tidy(text.replace("\n", " "))):
        found = re.fullmatch(
            r"(?:cv\s*)?(\d+)\s*(?:=|to)\s*(\d+)\s*[,:]?\s*(?:delivered (\d+)\s*[,:]?\s*)?(.+)",
            piece,
            re.I,
        )
        if not found:
            raise refused(piece or text, ALSO_HINT)
        row: dict[str, Any] = {
            "name": _free_name(f"CV {found[1]}", rows),
            "cv": whole_number(found[1], FIRST_CV, LAST_CV, "a CV"),
            "value": whole_number(found[2], 0, LARGEST_VALUE, "a value"),
        }
        if found[3]:
            row["delivered"] = whole_number(found[3], 0, LARGEST_VALUE, "a value")
        rows.append({**row, "why": shown_text(found[4], 200)})
    return rows


def _free_name(name: str, rows: Sequence[dict[str, Any]]) -> str:
    taken = {row["name"] for row in rows}
    at = 2
    free = name
    while free in taken:
        free, at = f"{name} ({at})", at + 1
    return free


def sum_shares(text: str, names: Sequence[str]) -> dict[str, int]:
    """What each output adds to a sum: `1, 2, 4, 8`, or `A 1, B 2`; raises InputError."""
    typed = tidy(text)
    pieces = [piece for piece in re.split(r"\s*[,;]\s*", typed) if piece]
    if pieces and all(piece.isascii() and piece.isdigit() for piece in pieces):
        values = runs_of(typed, 1, LARGEST_VALUE, "shares")
        if len(values) > len(names):
            raise refused(text, f"at most {len(names)}, one for each output", f"are {len(values)}")
        found = dict(zip(names, values, strict=False))
    else:
        found = {}
        for piece in pieces:
            pair = re.fullmatch(r"(.+?)\s*(?:=|:|adds|counts|is|\s)\s*(\d+)", piece)
            if not pair:
                raise refused(piece, SHARES_HINT)
            for name in names_in(pair[1], names):
                found[name] = whole_number(pair[2], 1, LARGEST_VALUE, "a share")
    if not found:
        raise refused(text, SHARES_HINT)
    if any(a >= b for a, b in pairwise(sorted(found.values()))):
        raise refused(text, "a different share for each output", "has a share twice")
    return found


SHARES_HINT: Final = "1, 2, 4, 8 ... in order of the outputs; or A 1, B 2, D 8"


def key_shares(text: str) -> dict[str, int]:
    """What each key adds to a sum: `F0 1, F1 2, F2 4`; raises InputError."""
    found: dict[str, int] = {}
    for piece in re.split(r"\s*[,;]\s*", tidy(text)):
        pair = re.fullmatch(r"(.+?)\s*(?:=|:|adds|counts|is|\s)\s*(\d+)", piece)
        if not pair:
            raise refused(piece or text, "F0 1, F1 2, F2 4: each key and what it counts")
        found[key_of(pair[1])] = whole_number(pair[2], 1, LARGEST_VALUE, "a share")
    return found
