"""Where a number is kept and whom it serves: `257 and 8 further for each output`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Final

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV, CvAddress, refusal
from fxstudio.decoder.interview.typed.figures import (
    WORDS,
    is_not_known,
    refused,
    runs_of,
    tidy,
    whole_number,
)
from fxstudio.decoder.interview.typed.terms import key_of, named, names_in
from fxstudio.effect.keys import KEYS

MAP_CVS: Final = range(33, 47)
"""CVs of the standard's function map, to which a maker may give figures of its own."""

PAGE_CVS: Final = (31, 32)
"""CVs that select a page. Source: NMRA S-9.2.2 (2012), CV 31 and CV 32 (from memory)."""

CVS_HINT: Final = (
    "114; or 114 to 118; or 257 and 8 further for each output; with ; and CV 31 = 16 and CV 32 = 4 "
    "first, CV 15 = 0 after, or resets 120 to 125 behind it"
)


@dataclass(frozen=True)
class CvPlaces:
    """The CVs of a line of the leaflet, and what goes with a write of them.

    cvs : their numbers
    each : how many CVs further the next output is, if only the first is given
    page : what CV31 and CV32 hold; page_each : how much higher CV32 is for the next output
    before, after : other CVs and what stands in them before and after a write
    resets : CVs that go back to delivered
    """

    cvs: tuple[int, ...]
    each: int = 0
    page: tuple[int, int] | None = None
    page_each: int = 0
    before: tuple[tuple[int, int], ...] = ()
    after: tuple[tuple[int, int], ...] = ()
    resets: tuple[int, ...] = ()

    @property
    def is_family(self) -> bool:
        """Whether there are several CVs, each with its own output."""
        return bool(self.each or self.page_each)

    @property
    def text(self) -> str:
        """As it may be typed."""
        told = ", ".join(map(str, self.cvs))
        if self.each:
            told += f" and {self.each} further for each output"
        if self.page:
            told += f"; CV 31 = {self.page[0]} and CV 32 = {self.page[1]} first"
        if self.page_each:
            told += f"; CV 32 {self.page_each} higher for each output"
        for words, writes in (("first", self.before), ("after", self.after)):
            told += "".join(f"; CV {cv} = {value} {words}" for cv, value in writes)
        return told + (f"; resets {', '.join(map(str, self.resets))}" if self.resets else "")


_WRITE = re.compile(r"(?:write\s+)?(?:cv\s*)?(\d+)\s*=\s*(\d+)", re.I)
_EACH = re.compile(
    rf"(?:and|\+|every|then)\s*(?P<step>\d+|{'|'.join(WORDS)})\s*"
    r"(?:cvs? )?(?:further|more|higher|on|apart|cvs?|later|up)?"
    r"\s*(?:(?:for|with) (?:each|every)\b.*)?",
    re.I,
)
_AND_SO_ON = re.compile(r"(\d+)\s*(?:,|and)\s*(\d+).*?,?\s*(?:and so on|etc\.?|\.\.\.)", re.I)
"""`257, 265 and so on`."""
_PAGE_EACH = re.compile(
    rf"cv\s*32\s*(?:is )?(\d+|{'|'.join(WORDS)}) (?:more|higher|further).*", re.I
)
_RESETS = re.compile(r"(?:it )?(?:resets?|puts back)\s*(?:cvs?)?\s*(.+)", re.I)


def cv_places(text: str) -> CvPlaces:
    """The CVs in an answer, with pages, locks and resets; raises InputError."""
    found = CvPlaces(())
    cvs: list[int] = []
    writes: dict[str, list[tuple[int, int]]] = {"first": [], "after": []}
    typed = tidy(text.replace("\n", " "))
    typed = re.sub(r",?\s+one for each(?: output)?$", "", typed, flags=re.I)
    for clause in re.split(r"\s*;\s*|\s*,\s*(?=(?:cv ?)?\d+ ?=|cv ?32|resets?)", typed, flags=re.I):
        if not clause:
            continue
        if reset := _RESETS.fullmatch(clause):
            found = replace(found, resets=tuple(_numbers(reset[1])))
        elif page_each := _PAGE_EACH.fullmatch(clause):
            found = replace(found, page_each=_step(page_each[1]))
        elif "=" in clause:
            _add_writes(clause, writes)
        else:
            numbers, step = _with_step(clause)
            cvs += numbers
            found = replace(found, each=step or found.each)
    if not cvs:
        raise refused(text, CVS_HINT, "names no CV")
    if len(set(cvs)) != len(cvs):
        raise refused(text, CVS_HINT, "names a CV twice")
    if len(cvs) > 1 and found.each:
        raise refused(text, "the CV of the first output and the step, or all CVs", "says it twice")
    if len(cvs) > 256:
        raise refused(text, "256 CVs at most", "names too many CVs")
    selected = dict(writes["first"])
    page = tuple(selected.pop(cv, -1) for cv in PAGE_CVS)
    if page != (-1, -1):
        if -1 in page:
            raise refused(text, "CV 31 = 16 and CV 32 = 4 first", "needs both CV 31 and CV 32")
        found = replace(found, page=(page[0], page[1]))
    if found.page_each and not found.page:
        raise refused(text, "CV 31 = 16 and CV 32 = 4 first", "needs both CV 31 and CV 32")
    # A page is set back anyway.
    after = {cv: value for cv, value in writes["after"] if cv not in PAGE_CVS}
    return replace(
        found, cvs=tuple(cvs), before=tuple(selected.items()), after=tuple(after.items())
    )


def _numbers(text: str) -> list[int]:
    return runs_of(re.sub(r"\bcvs?\.?\s*", "", text, flags=re.I), FIRST_CV, LAST_CV, "CVs")


def _step(text: str) -> int:
    number = WORDS.get(text.lower())
    return int(number) if number else whole_number(text, 1, LARGEST_VALUE, "a step")


def _with_step(clause: str) -> tuple[list[int], int]:
    typed = re.sub(r"\bcvs?\.?\s*(?=\d)", "", clause, flags=re.I)
    if on := _AND_SO_ON.fullmatch(typed):
        first, second = (whole_number(cv, FIRST_CV, LAST_CV, "a CV") for cv in (on[1], on[2]))
        return [first], max(0, second - first)
    one = re.fullmatch(rf"(\d+)\s*,?\s*({_EACH.pattern})", typed, re.I)
    if one and not re.fullmatch(r"and\s*\d+", one[2], re.I):
        return [whole_number(one[1], FIRST_CV, LAST_CV, "a CV")], _step(one["step"])
    return _numbers(typed), 0


_LATER: Final = ("after", "afterwards", "then", "last")
_WHEN = re.compile(rf"\b(first|before|{'|'.join(_LATER)})\b", re.I)
_AROUND = re.compile(
    rf"\b(?:and|first|before|{'|'.join(_LATER)}|must|stand|in|it|each|write|to|with|page|cv)\b"
    r"|[\s,&]",
    re.I,
)


def _add_writes(clause: str, writes: dict[str, list[tuple[int, int]]]) -> None:
    """Put what stands in other CVs under `first` or `after`."""
    if _AROUND.sub("", _WRITE.sub("", clause)):
        raise refused(clause, CVS_HINT)
    for found in _WRITE.finditer(clause):
        told = _WHEN.search(clause, found.end())
        when = "after" if told and told[1].lower() in _LATER else "first"
        number = whole_number(found[1], FIRST_CV, LAST_CV, "a CV")
        writes[when].append((number, whole_number(found[2], 0, LARGEST_VALUE, "a value")))


def check_places(places: CvPlaces) -> None:
    """Raise InputError for a CV in which no maker may keep such a thing."""
    for number in places.cvs:
        problem = refusal(CvAddress(number, places.page))
        if problem and number not in MAP_CVS:
            allowed = "47 to 64, 112 to 256, 257 to 512 with a page, 513 to 879"
            error = refused(str(number), allowed, problem)
            error.remedy = "look again in the leaflet"
            raise error


@dataclass(frozen=True)
class Served:
    """Whom the CVs of a sentence serve.

    labels : of each CV the output, the key and direction or the rule; empty if it has none
    groups : of each CV the outputs that share it; empty if it serves all, or one
    keys, rules : whether the labels are keys, or rules
    """

    labels: tuple[str, ...] = ()
    groups: tuple[tuple[str, ...], ...] = ()
    keys: bool = False
    rules: bool = False

    @property
    def group(self) -> tuple[str, ...]:
        """The outputs that share the first CV."""
        return self.groups[0] if self.groups else ()

    @property
    def titles(self) -> tuple[str, ...]:
        """Of each CV whom it serves, in words; empty for one that serves all."""
        return self.labels or tuple(" and ".join(group) for group in self.groups)


WHOM_HINT: Final = (
    "each, if each output has its own CV; all, if one CV is for every output; names such as {some} "
    "together, with ; between those of one CV and those of the next; F0 forward, F0 reverse, F1 "
    "forward ..., or rule 1 to 4, if each key or rule has its own CV"
)


_ALL = re.compile(
    r"(?:all|every|any|the whole|everything|shared)"
    r"(?: (?:of )?(?:the )?(?:outputs?|decoder|them))?(?: together)?",
    re.I,
)
_EACH_OUTPUT = re.compile(
    r"(?:one )?(?:for )?(?:each|own)(?: output)?(?: (?:one|its own))?(?:\s*(?:of|:|,)?\s+(.+))?",
    re.I,
)
_KEYS = re.compile(r"(?:each |every )?keys?\b.*|(?:each )?f ?\d.*", re.I)


def whom_served(text: str, places: CvPlaces, outputs: Sequence[str]) -> Served:
    """Whom an answer names, one for each CV or together; raises InputError."""
    typed = tidy(text)
    count = len(places.cvs)
    several = places.is_family or count > 1
    hint = WHOM_HINT.format(some=" and ".join(outputs[:2]))
    if _KEYS.fullmatch(typed) and not named(typed, outputs):
        return Served(_counted(_key_labels(typed, hint), places, text), keys=True)
    if rules := re.fullmatch(r"(?:each )?rules?\s*(.*)", typed, re.I):
        numbers = runs_of(rules[1] or f"1 to {count}", 1, 64, "rules")
        return Served(_counted([f"rule {at}" for at in numbers], places, text), rules=True)
    if _ALL.fullmatch(typed):
        if not several:
            return Served()
        if len(outputs) == count:
            return Served(tuple(outputs))
        raise refused(text, hint, f"is said of one CV, and there are {count}")
    if each := _EACH_OUTPUT.fullmatch(typed):
        names = names_in(each[1], outputs) if each[1] else tuple(outputs)
        return Served(_counted(names, places, text))
    together = re.sub(r"\s*\btogether\b\s*[,;]?\s*(?=\S)", "; ", typed, flags=re.I)
    together = re.sub(r"\btogether\b", "", together, flags=re.I)
    groups = tuple(names_in(piece, outputs) for piece in re.split(r"\s*;\s*", together))
    if len(groups) > 1 or (not several and len(groups[0]) > 1):
        if len(groups) != count or places.is_family:
            raise refused(text, hint, f"are {len(groups)} groups for {count} CVs")
        return Served(groups=groups)
    return Served(_counted(groups[0], places, text)) if several else Served(groups=groups)


def _counted(names: Sequence[str], places: CvPlaces, text: str) -> tuple[str, ...]:
    count = len(places.cvs)
    if not places.is_family and len(names) != count:
        listed = f"CV {places.cvs[0]}" + (f" to {places.cvs[-1]}" if count > 1 else "")
        cvs = f"{count} CV{'s' if count > 1 else ''}"
        raise refused(text, f"one for each CV, {listed}", f"are {len(names)} for {cvs}")
    if len(set(names)) != len(names):
        raise refused(text, "each of them once", "names one twice")
    return tuple(names)


def _key_labels(text: str, hint: str) -> list[str]:
    """`F0 forward, F0 reverse`, or `F0 to F3, forward and reverse`."""
    lead = r"^(?:each |every )?(?:keys?\s*)?(?:and direction\s*)?(?:of )?"
    typed = re.sub(lead, "", text, flags=re.I)
    both = re.fullmatch(r"(.*?)[\s,]*(?:each )?\bforward (?:and|then) (?:in )?reverse", typed, re.I)
    if not both:
        both = re.fullmatch(r"(.*?)[\s,]*(?:in )?(?:each|both) directions?", typed, re.I)
    labels: list[str] = []
    for piece in re.split(r"\s*[,;]\s*|\s+and\s+", both[1] if both else typed):
        found = re.fullmatch(r"(.*?)(?:\s+(?:in )?(forward|reverse))?", piece, re.I)
        ends = re.split(r"\s*(?:\bto\b|–|-)\s*", found[1] if found else piece)
        if not found or not piece or len(ends) > 2:
            raise refused(piece or text, hint)
        first, last = (KEYS.index(_plain_key(end)) for end in (ends[0], ends[-1]))
        if last < first:
            raise refused(piece, "keys from a smaller number to a larger one", "goes down")
        for key in KEYS[first : last + 1]:
            if both:
                labels += [f"{key} forward", f"{key} reverse"]
            else:
                labels.append(f"{key} {found[2].lower()}" if found[2] else key)
    return labels


def _plain_key(text: str) -> str:
    key = key_of(text)
    if key not in KEYS:
        raise refused(text, f"{KEYS[0]} to {KEYS[-1]}", "is no key")
    return key


def rows_of_places(
    places: CvPlaces, served: Served, outputs: Sequence[str]
) -> list[dict[str, Any]]:
    """The rows of cells, without their parts: one, or one for each group."""
    common: dict[str, Any] = {}
    if places.page:
        common["page"] = {"31": places.page[0], "32": places.page[1]}
    if places.page_each:
        common["page_each"] = places.page_each
    for name, writes in (("before", places.before), ("after", places.after)):
        if writes:
            common[name] = {str(cv): value for cv, value in writes}
    if places.resets:
        common["resets"] = list(places.resets)
    cvs, labels = places.cvs, served.labels
    if served.groups:
        return [
            {"cv": cv, "of": list(group), **common}
            for cv, group in zip(cvs, served.groups, strict=True)
        ]
    if not labels:
        return [{"cv": cvs[0], **common}]
    if served.keys or served.rules:
        return [{"cv": dict(zip(labels, _all_cvs(places, len(labels)), strict=True)), **common}]
    of = {} if labels == tuple(outputs) else {"of": list(labels)}
    if places.is_family:
        return [{"cv": cvs[0], "each": places.each, **of, **common}]
    steps = {after - before for before, after in pairwise(cvs)}
    if len(steps) == 1 and (step := steps.pop()) > 0:
        return [{"cv": cvs[0], "each": step, **of, **common}]
    return [{"cv": dict(zip(labels, cvs, strict=True)), **common}]


def _all_cvs(places: CvPlaces, count: int) -> tuple[int, ...]:
    """The CVs of `count` cells, from the first and the step where only these are given."""
    if len(places.cvs) == count:
        return places.cvs
    return tuple(places.cvs[0] + places.each * at for at in range(count))


def cells_of_places(
    places: CvPlaces, served: Served, outputs: Sequence[str]
) -> list[tuple[int, str]]:
    """The CV of each cell with its label."""
    labels = served.titles or (tuple(outputs) if places.is_family else ("",))
    return list(zip(_all_cvs(places, len(labels)), labels, strict=True))


_PAIR = re.compile(r"(?P<who>.+?)\s*(?:=|:|\bis\b|\s)\s*(?P<value>\d+|not known|unknown|\?)", re.I)
_REST: Final = (
    *("others", "all others", "the others", "other", "the rest", "rest"),
    *("all other outputs", "other outputs"),
)

DELIVERED_HINT: Final = (
    "one value for all; or not known; or one for each; or CV 114 = 6, CV 115 to 118 not known"
)


def delivered_values(text: str, cells: Sequence[tuple[int, str]]) -> list[int | None]:
    """The value of each cell; None for one that is not known. Raises InputError.

    cells : the CV and the label of each
    """
    typed = re.sub(r"^delivered\s*[:=]?\s*", "", tidy(text.replace("\n", " ")), flags=re.I)
    if is_not_known(typed):
        return [None] * len(cells)
    typed = re.sub(r"^(?:all|each|every one|both)\s+(?=\d+$)", "", typed, flags=re.I)
    plain = re.split(r"\s*[,;]\s*|\s+and\s+|(?<!\bnot)\s+", typed, flags=re.I)
    if all(re.fullmatch(r"\d+", piece) or is_not_known(piece) for piece in plain):
        values = [_delivered_value(piece) for piece in plain]
        if len(values) == 1:
            return values * len(cells)
        if len(values) != len(cells):
            raise refused(
                text, f"one value, or {len(cells)}: one for each CV", f"are {len(values)} values"
            )
        return values
    found: dict[int, int | None] = {}
    rest: list[int | None] = []
    for piece in re.split(r"\s*[,;]\s*", typed):
        pair = _PAIR.fullmatch(re.sub(r"^(?:and|all)\s+(?=\S+\s)", "", piece, flags=re.I))
        if not pair:
            raise refused(piece or text, DELIVERED_HINT)
        value = _delivered_value(pair["value"])
        if pair["who"].lower() in _REST:
            rest = [value]
            continue
        for cv in _which_cells(pair["who"], cells):
            found[cv] = value
    lacking = [str(cv) for cv, _ in cells if cv not in found]
    if lacking and not rest:
        raise refused(text, f"a value for CV {', '.join(lacking)} too", "lacks some values")
    return [found[cv] if cv in found else rest[0] for cv, _ in cells]


def _delivered_value(text: str) -> int | None:
    return None if is_not_known(text) else whole_number(text, 0, LARGEST_VALUE, "a value")


def _which_cells(text: str, cells: Sequence[tuple[int, str]]) -> list[int]:
    """The CVs that are named by number or by label."""
    if re.match(r"cvs?\b|\d+$", text, re.I) and not any(label == text for _, label in cells):
        numbers = _numbers(text)
        own = {cv for cv, _ in cells}
        for number in numbers:
            if number not in own:
                allowed = ", ".join(str(cv) for cv, _ in cells)
                raise refused(text, f"the CVs of this line: {allowed}", "is no CV of this line")
        return numbers
    labels = [label for _, label in cells]
    wanted = names_in(text, labels, "cells")
    return [cv for cv, label in cells if label in wanted]
