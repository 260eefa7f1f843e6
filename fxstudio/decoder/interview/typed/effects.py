"""How an effect lights, from how a leaflet prints it: `flicker, jumps, down to 20 %`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from typing import Any, Final

from fxstudio.decoder.interview.typed.codes import KNOWN_BY
from fxstudio.decoder.interview.typed.figures import (
    NOT_KNOWN,
    changes_a_second,
    is_not_known,
    plain_number,
    refused,
    share_of_light,
    tidy,
    time_in_s,
)
from fxstudio.decoder.leaflet.rows import DARK
from fxstudio.decoder.leaflet.says import UNKNOWN
from fxstudio.documents.models import SHARES, Facts, field_facts
from fxstudio.effect.patterns import KINDS
from fxstudio.errors import InputError, near

NOT_TOLD: Final = ("kind", "level", "highest", "start_share")
"""Fields of a pattern that leaflets seldom print; they may be typed all the same."""

KIND_WORDS: Final = {
    "steady": "one brightness",
    "flicker": "changes at random, as a fire does",
    "flash": "on and off at an even pace: strobe, blink, beacon",
    "beat": "with the wheels: exhaust",
    "filament": "comes up and dies away slowly as its key is pressed",
    DARK: "no light at all",
}
"""What each kind of light is; a new kind goes by what it is called."""

_OFTEN: Final = {
    "flicker": r"flicker|fire|flame|candle|lantern|torch|random|ember|welding|oil|gas",
    "flash": r"strobe|blink|flash|beacon|pulse|warn|wig|turn signal|indicator",
    "beat": r"exhaust|chuff|beat|steam",
    "filament": r"soft|fade|slow|filament|bulb|incandescent|dimmed up",
}
_PLAIN_WORDS: Final = {
    "lowest": r"(?:down to|lowest|darkest|not below)\s+(?P<value>.+)",
    "highest": r"(?:up to|highest|brightest|not above)\s+(?P<value>.+)",
    "period_s": r"(?:period|every|once in|once every)\s+(?P<value>.+)",
    "on_share": r"(?:bright share|on share|on for|on)\s+(?P<value>.+?)(?: of (?:its|the) period)?",
    "rise_s": r"(?:time up|rises? in|comes up in|up in|up)\s+(?P<value>.+)",
    "fall_s": r"(?:time down|falls? in|dies away in|down in|down)\s+(?P<value>.+)",
    "beats_per_turn": r"(?P<value>\w+)(?: beats?)? (?:a|per|each) turn(?: of the wheels?)?",
    "wheel_m": r"(?:wheels?(?: of)?)\s+(?P<value>.+)",
}
_BETWEEN = re.compile(r"between\s+(.+?)\s+and\s+(.+)", re.I)
_STYLES: Final = {
    "hold": r"(?:random )?(?:jumps?|hold|holds|steps|random jumps)",
    "smooth": r"(?:smooth(?:ly)?|drifts?|gentle|gently|soft)(?: random)?(?: changes)?",
}


def kinds_told() -> Iterator[tuple[str, str]]:
    """Each kind of light and what it is."""
    for kind, pattern in KINDS.items():
        words = KIND_WORDS.get(kind) or pattern.called or (pattern.__doc__ or kind).split("\n")[0]
        yield kind, words
    yield DARK, KIND_WORDS[DARK]


def kind_lines() -> tuple[str, ...]:
    """A line for each kind: what it is, and what may be printed of it."""
    lines = []
    for kind, words in kinds_told():
        facts = field_facts(KINDS[kind]).values() if kind in KINDS else ()
        names = [each.words for each in facts if each.name not in NOT_TOLD]
        lines.append(f"{kind}: {words}" + (f" ({', '.join(names)})" if names else ""))
    return tuple(lines)


def likely_kind(name: str) -> str:
    """The kind of light that a name of an effect speaks of."""
    for kind, words in _OFTEN.items():
        if re.search(words, name, re.I):
            return kind
    return "steady"


def effect_row(text: str) -> dict[str, Any]:
    """A kind of light with what is printed of it, as the row of an effect; raises InputError.

    What is not said is unknown, and so may its kind be.
    """
    typed = tidy(text)
    row: dict[str, Any] = {}
    for word in KNOWN_BY:
        if found := re.fullmatch(rf"(.*?)[,;:]?\s*\b(?:an? )?{word}\b[,;:]?\s*(.*)", typed, re.I):
            row["known"] = word
            typed = tidy(f"{found[1]}, {found[2]}").strip(", ")
    first, *others = [p for p in re.split(r"\s*[,;+]\s*", typed) if p] or [""]
    if is_not_known(first):
        return {"kind": UNKNOWN}
    kind, rest = _kind(first)
    others = [rest, *others] if rest else others
    row = {"kind": kind, **row}
    if kind == DARK:
        return row
    for piece in others:
        if is_not_known(piece) or piece.lower() in ("nothing", "nothing more", "no more"):
            continue
        row |= _printed(piece, kind)
    _check_row(text, row)
    return row


def _kind(text: str) -> tuple[str, str]:
    """The kind that an answer begins with, and what follows it; raises InputError."""
    word = text.lower()
    if word in (*KINDS, DARK):
        return word, ""
    called = {pattern.called.lower(): kind for kind, pattern in KINDS.items() if pattern.called}
    if word in called:
        return called[word], ""
    for kind, often in {**{kind: kind for kind in (*KINDS, DARK)}, **_OFTEN}.items():
        found = re.fullmatch(rf"(?:random )?(?:{often})(?:s|ing|es)?\b\s*(.*)", text, re.I)
        if found:
            return kind, re.sub(r"^(?:changes|light|with|and)\s+", "", found[1], flags=re.I)
    error = refused(text, f"{', '.join((*KINDS, DARK))}, or {NOT_KNOWN}", "is no kind of light")
    if guess := near(text, (*KINDS, DARK)):
        error.remedy = f"did you mean '{guess}'?"
    raise error


def _printed(piece: str, kind: str) -> dict[str, Any]:
    """The fields that one thing printed gives."""
    facts = field_facts(KINDS[kind])
    if (both := _BETWEEN.fullmatch(piece)) and "lowest" in facts:
        return {"lowest": share_of_light(both[1]), "highest": share_of_light(both[2])}
    if "style" in facts:
        for style, words in _STYLES.items():
            if re.fullmatch(words, piece, re.I):
                return {"style": style}
    for name, each in facts.items():
        if name == "kind":
            continue
        for called in (each.words, name, name.replace("_", " ")):
            found = re.fullmatch(rf"(?:the )?{re.escape(called)}\s*[=:]?\s*(.+)", piece, re.I)
            if found:
                return {name: _value(found[1], each)}
    for name, words in _PLAIN_WORDS.items():
        found = re.fullmatch(words, piece, re.I)
        if found and name in facts:
            return {name: _value(found["value"], facts[name])}
    if kind in ("flicker", "flash"):
        with suppress(InputError):
            rate_hz = changes_a_second(piece.removeprefix("rate ").removeprefix("speed "))
            return {"rate_hz": rate_hz} if kind == "flicker" else {"period_s": 1 / rate_hz}
    if "level" in facts:
        with suppress(InputError):
            return {"level": share_of_light(piece)}
    names = ", ".join(each.words for name, each in facts.items() if name != "kind")
    rate = ", or 5 a second" if kind in ("flicker", "flash") else ""
    raise refused(piece, f"of a {kind}: {names}, each with its figure{rate}", "is not understood")


def _value(text: str, facts: Facts) -> Any:
    if is_not_known(text):
        return "unknown"
    if facts.choices:
        if tidy(text).lower() in facts.choices:
            return tidy(text).lower()
        raise refused(text, ", ".join(facts.choices), "is not one of the choices")
    if facts.unit in SHARES:
        return share_of_light(text)
    number = plain_number(re.sub(r"\s*m$", "", text) if facts.unit == "m" else text)
    if number is None and facts.unit == "s":
        return time_in_s(text)
    if number is None or (facts.type is int and number != int(number)):
        raise refused(text, facts.allowed)
    return int(number) if facts.type is int else number


def _check_row(text: str, row: dict[str, Any]) -> None:
    """Raise InputError where a figure is out of the range of its field."""
    facts = field_facts(KINDS[row["kind"]])
    for name, value in row.items():
        each = facts.get(name)
        if each is None or not isinstance(value, float | int) or each.lowest is None:
            continue
        low = value <= each.lowest if each.above else value < each.lowest
        high = each.highest is not None and (
            value >= each.highest if each.below else value > each.highest
        )
        if low or high:
            raise refused(text, f"{each.words}: {each.allowed}", f"{each.words} is out of range")
    lowest, highest = row.get("lowest", 0), row.get("highest", 1)
    if not isinstance(lowest, str) and not isinstance(highest, str) and lowest > highest:
        raise refused(
            text, "a lowest that is not above the highest", "is darkest above its brightest"
        )
    rate = row.get("rate_hz", 1)
    if not 0.001 <= rate <= 1000:
        raise refused(text, "a rate from 0.001 to 1000 Hz", "is out of range")
