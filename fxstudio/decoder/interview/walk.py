"""The order of the questions, and how answers become the tables of a description.

`Walk.run` is one walk from the first question to the last, in the order of a leaflet. It yields
questions and is sent what their answers say, so nothing has to be undone: going back is another
walk with the same answers.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Generator, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from fxstudio.dcc.cv import LARGEST_VALUE, LAST_CV
from fxstudio.decoder.interview.basics import (
    DeliveredKeys,
    also_rows,
    currents_in_ma,
    delivered_keys,
    dimming_of,
    is_none,
    output_names,
    shown_text,
    sum_shares,
    wire_names,
)
from fxstudio.decoder.interview.codes import (
    Context,
    effect_name,
    effects_in,
    examples_for,
    meaning_of,
    ranges_of,
)
from fxstudio.decoder.interview.effects import effect_row, fields_told, likely_kind
from fxstudio.decoder.interview.figures import NOT_KNOWN, refused, tidy
from fxstudio.decoder.interview.places import (
    CvPlaces,
    Served,
    cells_of_places,
    check_places,
    cv_places,
    delivered_values,
    rows_of_places,
    whom_served,
)
from fxstudio.decoder.interview.questions import CODINGS, DONE, SKIP, WORDING, Question
from fxstudio.decoder.interview.terms import (
    SAID,
    Addend,
    Formula,
    formula_of,
    named,
    part_row,
    term_of,
)
from fxstudio.decoder.interview.worked import (
    cells_of_rows,
    example,
    examples_of,
    value_words,
    words_not_said,
)
from fxstudio.decoder.leaflet.cells import Cell
from fxstudio.decoder.leaflet.looks import BUILT_IN
from fxstudio.decoder.leaflet.meanings import codes_of
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.rows import PartRow
from fxstudio.documents.reading import parse
from fxstudio.effect.keys import ALWAYS
from fxstudio.errors import InputError

Asking = Generator[Question, Any, Any]
"""A walk, or a part of one: yields questions, is sent what their answers say."""

NOT_PRINTED: Final = "The value as delivered is not printed: read it from the decoder."

SLOW_SAYS: Final = {"time up", "time down"}
"""What only a light that comes up and dies away slowly has."""


@dataclass
class Line:
    """One sentence of the leaflet with the rows that it gives.

    text : the sentence
    rows : rows of cells, in the order of their CVs
    """

    text: str
    rows: list[dict[str, Any]] = field(default_factory=list)


@dataclass
class Walk:
    """What is known so far, and the walk that finds out more."""

    tables: dict[str, Any] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)
    names: tuple[str, ...] = ()
    effects: dict[str, dict[str, Any]] = field(default_factory=dict)
    examples: tuple[str, ...] = ()
    leaflet: Leaflet | None = None
    _said: dict[tuple[str, ...], str] = field(default_factory=dict)
    _parsed: dict[str, Leaflet | InputError] = field(default_factory=dict)

    def run(self) -> Asking:
        """All questions; at its end `tables` is a description that passes every check."""
        yield from self._basics()
        number = 1
        while True:
            text = yield self._ask(
                "line", str(number), lambda text: text, DONE if number > 1 else ""
            )
            if is_none(text):
                break
            if text.strip().lower() != SKIP:
                yield from self._line(f"line {number}", shown_text(text, 2000))
            number += 1
        yield from self._rest()

    def _ask(
        self,
        name: str,
        place: str,
        read: Callable[[str], Any],
        default: str = "",
        examples: tuple[str, ...] = (),
        /,
        **words: str,
    ) -> Question:
        wording = WORDING[name]
        at = f"{place}: {name}" if place and name != "line" else f"{name} {place}".strip()
        words = {"some": " and ".join(self.names[:2]), **words}
        hint = _filled(wording.hint, words)
        return Question(at, _filled(wording.words, words), hint, read, default, examples)

    # The whole decoder ------------------------------------------------------------------------

    def _basics(self) -> Asking:
        self.tables["title"] = yield self._ask("title", "", lambda text: shown_text(text, 80))
        self.names = yield self._ask("outputs", "", output_names)
        names = self.names
        wires = yield self._ask("wires", "", lambda text: wire_names(text, names), NOT_KNOWN)
        keys: DeliveredKeys = yield self._ask("keys", "", lambda text: delivered_keys(text, names))
        currents = yield self._ask(
            "currents", "", lambda text: currents_in_ma(text, names), NOT_KNOWN
        )
        if keys.standard:
            self.tables["keys"] = "s-9.2.2"
        outputs: dict[str, dict[str, Any]] = {}
        for at, name in enumerate(names):
            row: dict[str, Any] = {"wire": wires[at]} if wires[at] else {}
            if keys.keys:
                row |= _own_key(*keys.keys[at])
            if currents.each[at] is not None:
                row["limit_ma"] = currents.each[at]
            outputs[name] = row
        self.tables["outputs"] = outputs
        if currents.together is not None:
            self.tables["limit_ma"] = currents.together
        if currents.groups:
            self.tables["limits"] = [
                {"of": list(of), "limit_ma": limit} for of, limit in currents.groups
            ]

    def _rest(self) -> Asking:
        dims = yield self._ask("dimming", "", dimming_of, NOT_KNOWN)
        if dims:
            self.tables["pwm"] = dims
        while name := self._without_key():
            (key,) = yield self._ask(
                "own_key",
                name,
                lambda text: delivered_keys(text, ["it"]).keys or _no_key(text),
                name=name,
            )
            self.tables["outputs"][name] |= _own_key(*key)
        also = yield self._ask("also", "", also_rows, "no")
        if also:
            self.tables["also"] = also
        yield self._ask("note", "", self._note, "nothing")

    def _note(self, text: str) -> str:
        """The note, if the whole passes every check."""
        note = "" if is_none(text) else shown_text(text, 600)
        self.tables["note"] = note
        made = self._parse(self.all_tables())
        if isinstance(made, InputError):
            raise InputError(
                f"what is described does not fit together: {_without_place(made).problem}",
                given=made.given, allowed=made.allowed,
                remedy="type list, then back and the number of the answer to change",
            )  # fmt: skip
        self.leaflet = made
        return note

    def _without_key(self) -> str | None:
        """The first output that neither has a key nor is lit by what a CV says."""
        made = self._parse(self.all_tables())
        found = (
            re.fullmatch(r"outputs\.(.+)\.key", made.field or "")
            if isinstance(made, InputError)
            else None
        )
        return named(found[1].strip('"'), self.names) if found else None

    # One sentence -----------------------------------------------------------------------------

    def _line(self, at: str, text: str) -> Asking:
        line = Line(text)
        taken = {cv for each in self.lines for row in each.rows for cv in _cvs_of(row, self.names)}
        places: CvPlaces = yield self._ask(
            "cvs", at, lambda text: self._places(text, taken), self._likely_cvs(text)
        )
        listed = f"CV {places.cvs[0]}" + (f" to {places.cvs[-1]}" if len(places.cvs) > 1 else "")
        served: Served = yield self._ask(
            "whom",
            at,
            lambda text: self._whom(text, places, taken),
            self._likely_whom(places),
            cvs=listed,
        )
        line.rows = [row | {"parts": []} for row in rows_of_places(places, served, self.names)]
        if served.rules:
            rules = self.tables.setdefault("rules", [])
            rules += [label for label in served.labels if label not in rules]
        coding = yield self._ask("coding", at, _coding, _likely_coding(text, served))
        self.lines.append(line)
        yield from self._parts(at, line, coding, places, served)
        yield from self._delivered(at, line, places, served)
        self._slow_lights(line)
        yield from self._right(at, line, places, served)

    def _places(self, text: str, taken: set[tuple[int, Any]]) -> CvPlaces:
        places = cv_places(text)
        check_places(places, len(self.names) if places.is_family else 1)
        page = places.page
        for number in places.cvs:
            if (number, page) in taken:
                raise refused(str(number), "a CV that no sentence before was about, or all that it "
                              "says in one sum", "was described before")  # fmt: skip
        return places

    def _whom(self, text: str, places: CvPlaces, taken: set[tuple[int, Any]]) -> Served:
        served = whom_served(text, places, self.names)
        rows = rows_of_places(places, served, self.names)
        for row in rows:
            for cv in _cvs_of(row, self.names):
                if cv in taken:
                    raise refused(
                        text,
                        "CVs that no sentence before was about",
                        f"CV {cv[0]} was described before",
                    )
                if cv[0] > LAST_CV:
                    raise refused(text, f"CVs up to {LAST_CV}", f"would be CV {cv[0]}")
        return served

    def _parts(self, at: str, line: Line, coding: str, places: CvPlaces, served: Served) -> Asking:
        known = list(BUILT_IN | self.effects)
        size = max(map(len, served.groups), default=0)
        if coding == "outputs":
            yield from self._sum_of_outputs(at, line, served)
            return
        if coding == "ranges":
            context = Context(("effect",), self.names, known)
            term = Addend(("effect",))
            part = yield self._ask(
                "ranges", at, lambda text: self._tried(line, term, served, ranges_of(text, context))
            )
            yield from self._add(at, line, term, served, part)
            return
        if coding == "one":
            term = yield self._ask(
                "says",
                at,
                lambda text: term_of(text, self.names, known, size),
                _likely_says(line.text),
            )
            formula = Formula((term,))
        else:
            formula = yield self._ask(
                coding, at, lambda text: formula_of(text, self.names, known, size),
                _likely_formula(line.text, self.names, known, size),
            )  # fmt: skip
        for row in line.rows:
            row |= {"offset": formula.offset} if formula.offset else {}
            row |= {"highest": formula.highest} if formula.highest is not None else {}
        for number, each in enumerate(formula.terms, start=1):
            if each.says == ("other",) and len(formula.terms) == 1:
                each = Addend(each.says, each.times, what=each.what)
            place = at if len(formula.terms) == 1 else f"{at}, part {number}"
            part = yield self._codes_question(place, line, each, served)
            self._said[each.says] = self._typed
            yield from self._add(at, line, each, served, part)

    def _codes_question(self, place: str, line: Line, term: Addend, served: Served) -> Question:
        def read(text: str) -> dict[str, Any]:
            context = Context(term.says, self.names, list(BUILT_IN | self.effects))
            part = self._tried(line, term, served, meaning_of(text, context))
            self._typed = text
            return part

        return self._ask(
            "codes", place, read, self._said.get(term.says, ""), self.examples if line.rows[0]["parts"] else (),
            title=term.title, examples=examples_for(term.says),
        )  # fmt: skip

    _typed: str = ""

    def _sum_of_outputs(self, at: str, line: Line, served: Served) -> Asking:
        known = list(BUILT_IN | self.effects)
        default = "lights" if served.keys or served.rules else ""
        said: dict[str, Any] = yield self._ask(
            "in_sum", at, lambda text: _said_in_sum(text, known), default
        )
        of = served.group or self.names
        powers = ", ".join(str(1 << place) for place in range(min(len(of), 8)))
        term = Addend((said["says"],))

        def read(text: str) -> dict[str, Any]:
            return self._tried(line, term, served, {**said, "sum": sum_shares(text, of)})

        part = yield self._ask("shares", at, read, powers)
        yield from self._add(at, line, term, served, part)
        before = next(
            (each for each in self.lines if each is not line and _gives(each) and _gives(line)),
            None,
        )
        if before is not None:
            first, second = _gives(before), _gives(line)
            wins = yield self._ask(
                "both",
                at,
                lambda text: _one_of(text, (first, second)),
                first,
                first=first,
                second=second,
            )
            if wins == second:
                self.lines.remove(line)
                self.lines.insert(self.lines.index(before), line)

    def _tried(
        self, line: Line, term: Addend, served: Served, meaning: dict[str, Any]
    ) -> dict[str, Any]:
        """The meaning, if a description with it passes the checks; raises InputError."""
        effects = {
            name: {"kind": likely_kind(name)} for name in effects_in({"says": term.says, **meaning})
            if name not in BUILT_IN and name not in self.effects
        }  # fmt: skip
        effects |= {
            name: {"kind": likely_kind(name)} for name in term.effects if name not in BUILT_IN
        }
        rows = []
        for place, row in enumerate(line.rows):
            group = served.groups[place] if served.groups else ()
            rows.append(row | {"parts": [*row["parts"], {**part_row(term, group), **meaning}]})
        made = self._parse(self._trial(line, rows, effects))
        if isinstance(made, InputError):
            raise _without_place(made)
        return meaning

    def _add(
        self, at: str, line: Line, term: Addend, served: Served, meaning: dict[str, Any]
    ) -> Asking:
        """Put a part into the rows, and ask for the effects that it speaks of first."""
        for place, row in enumerate(line.rows):
            group = served.groups[place] if served.groups else ()
            row["parts"] = [*row["parts"], {**part_row(term, group), **meaning}]
        for name in dict.fromkeys((*effects_in({"says": term.says, **meaning}), *term.effects)):
            if name not in BUILT_IN and name not in self.effects:
                self.effects[name] = {"kind": likely_kind(name)}
                self.effects[name] = yield self._ask(
                    "effect", name, effect_row, likely_kind(name), name=name, kinds=fields_told()
                )
        self._tell(line, cells_of_places_labels(served))

    def _tell(self, line: Line, labels: Sequence[str]) -> None:
        made = self._parse(self._trial(line, line.rows, {}))
        if isinstance(made, InputError):
            self.examples = ()
            return
        cells = self._own_cells(made, line)
        self.leaflet = made
        self.examples = examples_of(made, cells, _for_each(labels, cells)) if cells else ()

    def _own_cells(self, made: Leaflet, line: Line) -> list[Cell]:
        first = sum(len(each.rows) for each in self.lines[: self.lines.index(line)])
        return cells_of_rows(made, range(first, first + len(line.rows)))

    def _delivered(self, at: str, line: Line, places: CvPlaces, served: Served) -> Asking:
        cells = cells_of_places(places, served)
        if places.is_family and not served.labels:
            cells = [(places.cvs[0] + places.each * k, name) for k, name in enumerate(self.names)]
        printed = re.search(
            r"\bdelivered\b\s*(?:values?|with|as|is|are)?\s*:?\s*(.*?)(?:\.(?=\s|$)|\)|$)",
            line.text,
            re.I,
        )
        values: list[int] | None = None
        found = False
        if printed:
            try:
                values = self._allowed(printed[1], line, cells)
                found = values is not None
            except InputError:
                found = False
        if not found:
            values = yield self._ask(
                "delivered", at, lambda text: self._allowed(text, line, cells), "", self.examples
            )
        if values is None:
            for row in line.rows:
                row["note"] = NOT_PRINTED
            made = self._parse(self._trial(line, line.rows, {}))
            own = [] if isinstance(made, InputError) else self._own_cells(made, line)
            values = [min(cell.table) for cell in own] or [0] * len(cells)
        self._deliver(line, values)
        self._tell(line, [label for _, label in cells])

    def _allowed(self, text: str, line: Line, cells: Sequence[tuple[int, str]]) -> list[int] | None:
        values = delivered_values(text, cells)
        if values is None:
            return None
        made = self._parse(self._trial(line, line.rows, {}))
        if isinstance(made, InputError):
            raise _without_place(made)
        for cell, value in zip(self._own_cells(made, line), values, strict=True):
            if value not in cell.table:
                raise refused(
                    str(value),
                    _some(sorted(cell.table)),
                    f"is no value of CV {cell.cv.number} as described",
                )
        return values

    def _deliver(self, line: Line, values: Sequence[int]) -> None:
        at = 0
        for row in line.rows:
            count = len(list(_cvs_of(row, self.names)))
            own = list(values[at : at + count])
            at += count
            same = len(set(own)) == 1
            if isinstance(row["cv"], dict) and not same:
                row["delivered"] = dict(zip(row["cv"], own, strict=True))
            else:
                row["delivered"] = own[0] if same else own

    def _slow_lights(self, line: Line) -> None:
        """What comes up and dies away by a CV is a slow lamp, whatever it was called."""
        for row in line.rows:
            for part in row["parts"]:
                says = [part["says"]] if isinstance(part["says"], str) else part["says"]
                if not SLOW_SAYS & set(says):
                    continue
                of = part.get("of_effect", ())
                own = [of] if isinstance(of, str) else list(of)
                kinds = {"steady": {"kind": "steady"}} | self.effects
                if any(kinds[name]["kind"] == "filament" for name in own or kinds if name in kinds):
                    continue
                for name in own or list(kinds):
                    if kinds.get(name, {}).get("kind") == "steady":
                        self.effects[name] = {**kinds[name], "kind": "filament"}

    def _right(self, at: str, line: Line, places: CvPlaces, served: Served) -> Asking:
        examples = self.examples
        count = 1
        while True:
            place = at if count == 1 else f"{at}, {count}"
            more = yield self._ask(
                "right", place, lambda text: self._is_right(text, line), "yes", examples
            )
            if more is True:
                return
            examples = (*examples, more)
            count += 1

    def _is_right(self, text: str, line: Line) -> bool | str:
        """Whether it is so, or one more example for a value that is printed."""
        typed = tidy(text)
        if typed.lower() in ("y", "yes", "it is", "right"):
            return True
        total = re.fullmatch(
            r"(?:cv\s*(\d+)\s*=\s*)?(\d{1,9})\b\s*(?:=|is|for|means|:)?\s*(.*)", typed, re.I
        )
        made = self._parse(self._trial(line, line.rows, {}))
        if not total or isinstance(made, InputError):
            if typed.lower() in ("n", "no"):
                raise InputError(
                    "then an answer to this sentence is another one",
                    remedy="type list, then back and the number of the answer to change",
                )
            raise refused(text, "yes, no, or a value with or without what it means")
        value = int(total[2])
        own = [c for c in self._own_cells(made, line) if total[1] in (None, str(c.cv.number))]
        cell = next((c for c in own if value in c.table), None)
        if cell is None:
            allowed = _some(sorted(own[0].table)) if own else "a CV of this sentence"
            raise InputError(
                f"{value} is no value of it as described", given=text, allowed=allowed,
                remedy="if the leaflet has it, an answer is wrong: type list, then back and its number",
            )  # fmt: skip
        told = example(made, cell, "", value)
        others = words_not_said(total[3], value_words(made, cell, value))
        if others:
            raise InputError(
                f"{told.rstrip('.')}, and not {' '.join(others)}", given=text,
                remedy="if the leaflet is right, type list, then back and the number of the answer to change",
            )  # fmt: skip
        return told

    # The tables so far ------------------------------------------------------------------------

    def all_tables(self) -> dict[str, Any]:
        """The tables of the description with all that is known."""
        rows = [row for line in self.lines for row in line.rows]
        found = {**self.tables, "cells": [_finished(row, self.names, self.effects) for row in rows]}
        return found | ({"effects": self.effects} if self.effects else {})

    def _trial(
        self, line: Line, rows: Sequence[dict[str, Any]], effects: dict[str, Any]
    ) -> dict[str, Any]:
        """All so far, with `rows` in the place of the line's own, and with what is lacking stood in."""
        every = [row for each in self.lines for row in (rows if each is line else each.rows)]
        effects = {**effects, **self.effects}
        cells = [
            {"delivered": 0}
            | {k: v for k, v in _finished(row, self.names, effects).items() if k != "resets"}
            for row in every
        ]
        outputs = {name: {"key": ALWAYS, **row} for name, row in self.tables["outputs"].items()}
        return {**self.tables, "outputs": outputs, "cells": cells, "effects": effects}

    def _parse(self, tables: dict[str, Any]) -> Leaflet | InputError:
        """The description of the tables, or what is wrong with it."""
        key = json.dumps(tables, sort_keys=False, default=str)
        if key not in self._parsed:
            self._parsed[key] = _parsed(tables)
        return self._parsed[key]

    # What is likely ---------------------------------------------------------------------------

    def _likely_cvs(self, text: str) -> str:
        """The CVs of a sentence; those after the ones before, if it gives only a place."""
        own = re.split(r"\bdelivered\b", text, maxsplit=1, flags=re.I)[0]
        found = re.findall(r"\bCVs? ?(\d+)(?:\s*(?:to|-|–)\s*(?:CV ?)?(\d+))?(?!\s*=)", own, re.I)
        if found:
            return ", ".join(f"{first} to {last}" if last else first for first, last in found)
        place = re.match(r"\s*\+ ?(\d+)\b", text)
        if place and self.lines and self._first:
            base = self._first
            cvs = tuple(cv + int(place[1]) for cv in base.cvs)
            return CvPlaces(cvs, base.each, base.page, base.page_each, base.before, base.after).text
        return ""

    _first: CvPlaces | None = None

    def _likely_whom(self, places: CvPlaces) -> str:
        if places.is_family:
            self._first = self._first or places
            return "each"
        if len(places.cvs) == 1:
            return "all"
        return "each" if len(places.cvs) == len(self.names) else ""


def cells_of_places_labels(served: Served) -> tuple[str, ...]:
    """Of each CV whom it serves, in words; empty for one that serves all."""
    return served.labels or tuple(" and ".join(group) for group in served.groups)


def _for_each(labels: Sequence[str], cells: Sequence[Cell]) -> list[str]:
    return list(labels) if len(labels) == len(cells) else [""] * len(cells)


def _parsed(tables: dict[str, Any]) -> Leaflet | InputError:
    """A description; a value as delivered that does not fit yet is the smallest that does."""
    for _ in range(257):
        try:
            return parse(Leaflet, tables)
        except InputError as error:
            found = re.fullmatch(r"cells\.(\d+)\.delivered", error.field or "")
            if not found or "is no sum" not in error.problem:
                return error
            row = tables["cells"][int(found[1])]
            smallest = re.match(r"\d+", error.allowed or "")
            if smallest is None or row["delivered"] == int(smallest[0]):
                return error
            row["delivered"] = int(smallest[0])
    return InputError("cannot be described")


def _finished(row: dict[str, Any], names: Sequence[str], effects: Iterable[str]) -> dict[str, Any]:
    """A row; with `highest`, where some sums are more than a CV can hold."""
    row = dict(row)
    if "highest" not in row and _largest(row, names, effects) > LARGEST_VALUE:
        row["highest"] = LARGEST_VALUE
    return row


def _largest(row: dict[str, Any], names: Sequence[str], effects: Iterable[str]) -> int:
    total = row.get("offset", 0)
    for part in row["parts"]:
        if "sum" in part:
            total += sum(part["sum"].values())
            continue
        try:
            codes = codes_of(PartRow.model_validate(part), names, [*BUILT_IN, *effects])
        except Exception:
            return 0
        total += part.get("times", 1) * max(codes)
    return total


def _without_place(error: InputError) -> InputError:
    """The error without the place in a file that nobody has written yet."""
    problem = error.problem.replace("; or highest = 255 if the leaflet says so", "")
    made = InputError(problem, given=error.given, allowed=error.allowed, remedy="type it again")
    return made if error.given is None or not isinstance(error.given, dict) else InputError(problem)


def _filled(text: str, words: dict[str, str]) -> str:
    for name, word in words.items():
        text = text.replace(f"{{{name}}}", word)
    return text


def _own_key(key: str, travel: str) -> dict[str, Any]:
    return {"key": key} | ({"travel": travel} if travel != "both" else {})


def _no_key(text: str) -> Any:
    raise refused(text, "F0 to F28, or always", "is no key")


def _coding(text: str) -> str:
    typed = tidy(text).lower()
    names = list(CODINGS)
    if typed.isdigit() and 1 <= int(typed[:3]) <= len(names):
        return names[int(typed[:3]) - 1]
    found = [name for name in names if len(typed) > 2 and name.startswith(typed[:20])]
    found = found or [name for name in names if name == typed.removesuffix("s")]
    if len(found) != 1:
        raise refused(text, ", ".join(names), "is not one of the choices")
    return found[0]


def _likely_coding(text: str, served: Served) -> str:
    if served.keys or served.rules:
        return "outputs"
    if re.search(r"\b(?:figures|ones|tens|hundreds)\b", text, re.I):
        return "figures"
    if re.search(
        r"\bsum of the outputs\b|\bof those (?:that|which)\b|\bsum of (?:\w+ )?\w+ ?= ?\d",
        text,
        re.I,
    ):
        return "outputs"
    if re.search(r"\+ ?\d+ ?[x×*]|[x×*] ?\d+ ?\+|= ?\w+ ?\+|\btimes \d+|\badd \d+", text, re.I):
        return "sum"
    return "one"


def _likely_formula(text: str, names: Sequence[str], effects: Sequence[str], size: int) -> str:
    """What a sentence gives as the sum, if it can be understood."""
    for found in re.findall(r"=\s*([^.:;=]*\+[^.:;=]*)", text):
        typed = tidy(re.split(r",|\bfor all\b", found)[0])
        try:
            formula_of(typed, names, effects, size)
        except InputError:
            continue
        return str(typed)
    return ""


def _likely_says(text: str) -> str:
    """The first word of a sentence that is one for what a number says."""
    words = [
        word
        for word in SAID
        if len(word) > 3 and word not in ("light", "other", "nothing", "function")
    ]
    at = {word: re.search(rf"\b{re.escape(word)}\b", text, re.I) for word in words}
    found = sorted((match.start(), -len(word), word) for word, match in at.items() if match)
    return SAID[found[0][2]] if found else ""


def _said_in_sum(text: str, effects: Sequence[str]) -> dict[str, Any]:
    """`flicker` as an effect that is set, `dark forward` as what is said."""
    typed = re.sub(r"^(?:they |those )?(?:that |which )?(?:are |is )?", "", tidy(text), flags=re.I)
    word = typed.lower()
    dark = re.fullmatch(r"dark (?:in )?(?:the )?(forward|reverse)(?: direction)?", word)
    if dark:
        return {"says": f"dark {dark[1]}"}
    if word in ("lights", "lit", "light", "on", "it lights", "lighted"):
        return {"says": "lights"}
    if word in ("inverted", "lit while their key is off", "lit while the key is off"):
        return {"says": "inverted"}
    only = re.fullmatch(r"(?:lit )?(?:in )?(?:only )?(?:in )?(forward|reverse)(?: only)?", word)
    if only:
        return {"says": "directions", "set": only[1]}
    motion = re.fullmatch(r"(?:lit )?(?:only )?(?:while )?(standing|moving)(?: only)?", word)
    if motion:
        return {"says": "motion", "set": motion[1]}
    return {"says": "effect", "set": effect_name(typed, effects)}


def _gives(line: Line) -> str:
    """The effect that a line's sum of outputs gives; empty if it gives none."""
    for row in line.rows:
        for part in row["parts"]:
            if part.get("set") and part["says"] == "effect":
                return str(part["set"])
    return ""


def _one_of(text: str, choices: Sequence[str]) -> str:
    found = named(text, choices)
    if found is None:
        raise refused(text, ", ".join(choices), "is not one of the choices")
    return found


def _cvs_of(row: dict[str, Any], names: Sequence[str]) -> Iterable[tuple[int, Any]]:
    """Every CV of a row with its page."""
    page = (row["page"]["31"], row["page"]["32"]) if "page" in row else None
    if isinstance(row["cv"], dict):
        yield from ((cv, page) for cv in row["cv"].values())
    elif "each" in row:
        for at in range(len(row.get("of", names))):
            shifted = (page[0], page[1] + at * row.get("page_each", 0)) if page else None
            yield row["cv"] + at * row["each"], shifted
    else:
        yield row["cv"], page


def _some(values: Sequence[int]) -> str:
    """`0 to 99, 120 to 129`."""
    from fxstudio.decoder.leaflet.evaluator import runs_text

    return runs_text(list(values))
