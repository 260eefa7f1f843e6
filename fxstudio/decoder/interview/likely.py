"""What a sentence of a leaflet is likely to say: what Enter gives, never more than that."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from fxstudio.decoder.interview.typed.figures import tidy
from fxstudio.decoder.interview.typed.places import CvPlaces, Served
from fxstudio.decoder.interview.typed.terms import SAID, formula_of
from fxstudio.errors import InputError

_CVS = re.compile(r"\bCVs? ?(\d+)(?:\s*(?:to|-|–)\s*(?:CV ?)?(\d+))?(?!\d*\s*=)", re.I)
_PLACE = re.compile(r"\s*\+ ?(\d+)\b")
_DELIVERED = re.compile(
    r"\bdelivered\b\s*(?:values?|with|as|is|are)?\s*:?\s*(.*?)(?:\.(?=\s|$)|\)|$)", re.I
)
_CODINGS: Final = {
    "bits": r"\bbits?\b",
    "figures": r"\b(?:figures|ones|tens|hundreds)\b",
    "outputs": r"\bsum of the outputs\b|\bof those (?:that|which)\b|\bsum of (?:\w+ )?\w+ ?= ?\d",
    "sum": r"\+ ?\d+ ?[x×*]|[x×*] ?\d+ ?\+|= ?\w+ ?\+|\btimes \d+|\badd \d+",
    "ranges": r"\d+ to \d+ [^,;.]*[,;] (?:and )?\d+ to \d+ [a-z]",
}  # fmt: skip
_VAGUE: Final = ("light", "lights", "outputs", "other", "nothing", "function", "mode", "switch")
"""Words that leaflets use for too many things."""


def likely_cvs(text: str, first: CvPlaces | None) -> str:
    """The CVs of a sentence; of one with only a place, `+3`, those so far from the `first`."""
    found = _CVS.findall(re.split(r"\bdelivered\b", text, maxsplit=1, flags=re.I)[0])
    if found:
        return ", ".join(f"{one} to {last}" if last else one for one, last in found)
    place = _PLACE.match(text)
    if place and first:
        cvs = tuple(cv + int(place[1]) for cv in first.cvs)
        return CvPlaces(
            cvs, first.each, first.page, first.page_each, first.before, first.after
        ).text
    return ""


def likely_whom(places: CvPlaces, outputs: Sequence[str]) -> str:
    """Each output its own, where there are as many CVs as outputs; all, where there is one."""
    if places.is_family or (len(places.cvs) == len(outputs) > 1):
        return "each"
    return "all" if len(places.cvs) == 1 else ""


def likely_coding(text: str, served: Served) -> str:
    """The way of coding that a sentence speaks of."""
    if served.keys or served.rules:
        return "outputs"
    return next((way for way, words in _CODINGS.items() if re.search(words, text, re.I)), "one")


def likely_formula(text: str, outputs: Sequence[str], effects: Sequence[str], group: int) -> str:
    """What a sentence gives as a sum, if it can be understood."""
    for found in re.findall(r"=\s*([^.:;=]*\+[^.:;=]*)", text):
        typed = tidy(re.split(r",|\bfor all\b", found)[0])
        try:
            formula_of(typed, outputs, effects, group)
        except InputError:
            continue
        return typed
    return ""


def likely_says(text: str) -> str:
    """What the first word of a sentence says that is one for what a number says."""
    at = {
        word: found.start()
        for word in SAID
        if len(word) > 3
        and word not in _VAGUE
        and (found := re.search(rf"\b{re.escape(word)}\b", text, re.I))
    }
    first = min(at, key=lambda word: (at[word], -len(word)), default="")
    return SAID[first] if first else ""


def printed_as_delivered(text: str) -> str:
    """What a sentence has behind `delivered`; empty if it has nothing."""
    found = _DELIVERED.search(text)
    return found[1] if found else ""
