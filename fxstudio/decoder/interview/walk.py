"""The order of the questions, and how answers become a description.

`Walk.run` goes from the first question to the last, in the order of a leaflet. It yields questions
and is sent what their answers say, so nothing has to be undone: going back is another walk with
the same answers.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any, Final

from fxstudio.dcc.cv import LAST_CV
from fxstudio.decoder.interview.draft import Draft, Sentence, TomlTable, without_place
from fxstudio.decoder.interview.likely import (
    likely_coding,
    likely_cvs,
    likely_formula,
    likely_says,
    likely_whom,
    printed_as_delivered,
)
from fxstudio.decoder.interview.questions import CODINGS, DONE, SKIP, WORDING, Question
from fxstudio.decoder.interview.typed.basics import (
    Currents,
    DeliveredKeys,
    also_rows,
    currents_in_ma,
    delivered_keys,
    dimming_of,
    is_none,
    key_shares,
    one_key,
    output_names,
    shown_text,
    sum_shares,
    wire_names,
)
from fxstudio.decoder.interview.typed.codes import (
    effects_in,
    may_be_silent,
    meaning_of,
    ranges_of,
    ways_to_say,
)
from fxstudio.decoder.interview.typed.effects import effect_row, kind_lines, likely_kind
from fxstudio.decoder.interview.typed.figures import NOT_KNOWN, refused, tidy
from fxstudio.decoder.interview.typed.places import (
    CvPlaces,
    Served,
    cells_of_places,
    check_places,
    cv_places,
    delivered_values,
    rows_of_places,
    whom_served,
)
from fxstudio.decoder.interview.typed.terms import (
    Addend,
    Formula,
    formula_of,
    named,
    part_row,
    term_of,
)
from fxstudio.decoder.interview.typed.values import Context, told_in_sum
from fxstudio.decoder.interview.worked import (
    example,
    examples_of,
    own_cells,
    value_words,
    words_not_said,
)
from fxstudio.decoder.leaflet.evaluator import runs_text
from fxstudio.decoder.leaflet.looks import BUILT_IN
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.errors import InputError

Asking = Generator[Question, Any, Any]
"""A walk, or a part of one: yields questions, is sent what their answers say."""

CHANGE_IT: Final = "type list, then back and the number of the answer to change"


@dataclass
class Walk:
    """One way through all questions.

    draft : what is described so far
    examples : worked examples of what was described last
    leaflet : the description up to the last whole sentence; None before the first
    """

    draft: Draft = field(default_factory=Draft)
    examples: tuple[str, ...] = ()
    leaflet: Leaflet | None = None
    _family: CvPlaces | None = None
    _meanings: dict[tuple[str, ...], str] = field(default_factory=dict)

    def run(self) -> Asking:
        """All questions; at its end the draft passes every check of a description."""
        yield from self._basics()
        number = 1
        while True:
            default = DONE if number > 1 else ""
            text = yield self._ask("line", "", str, default, number=number)
            if is_none(text):
                break
            if tidy(text).lower() != SKIP:
                yield from self._sentence(f"line {number}", shown_text(text, 2000))
            number += 1
        yield from self._rest()

    def _ask(
        self,
        name: str,
        place: str,
        read: Callable[[str], Any],
        default: str = "",
        /,
        *,
        examples: tuple[str, ...] = (),
        ways: Sequence[str] = (),
        number: int = 0,
        **words: str,
    ) -> Question:
        """One question of the table; `words` fill what stands in braces."""
        wording = WORDING[name]
        at = f"{place}: {name}" if place else f"{name} {number}" if number else name
        words["some"] = " and ".join(self.draft.names[:2])
        every = tuple(_filled(way, words) for way in (*wording.ways, *ways))
        return Question(
            at,
            _filled(wording.words, words),
            every,
            read,
            default,
            examples,
            wording.may_be_unknown,
        )

    # The whole decoder ------------------------------------------------------------------------

    def _basics(self) -> Asking:
        tables = self.draft.tables
        tables["title"] = yield self._ask("title", "", lambda text: shown_text(text, 80))
        names: tuple[str, ...] = yield self._ask("outputs", "", output_names)
        tables["outputs"] = {name: {} for name in names}
        wires: tuple[str, ...] = yield self._ask(
            "wires", "", lambda text: wire_names(text, names), NOT_KNOWN
        )
        keys: DeliveredKeys = yield self._ask("keys", "", lambda text: delivered_keys(text, names))
        currents: Currents = yield self._ask(
            "currents", "", lambda text: currents_in_ma(text, names), NOT_KNOWN
        )
        if keys.standard:
            tables["keys"] = "s-9.2.2"
        for at, row in enumerate(tables["outputs"].values()):
            if wires[at]:
                row["wire"] = wires[at]
            row.update(_own_key(*keys.keys[at]) if keys.keys else {})
            if currents.each[at] is not None:
                row["limit_ma"] = currents.each[at]
        if currents.together is not None:
            tables["limit_ma"] = currents.together
        if currents.groups:
            tables["limits"] = [{"of": list(of), "limit_ma": ma} for of, ma in currents.groups]

    def _rest(self) -> Asking:
        tables = self.draft.tables
        if dims := (yield self._ask("dimming", "", dimming_of, NOT_KNOWN)):
            tables["pwm"] = dims
        while name := self._without_key():
            key = yield self._ask("own_key", name, one_key, name=name)
            tables["outputs"][name] |= _own_key(*key)
        if also := (yield self._ask("also", "", also_rows, "no")):
            tables["also"] = also
        yield self._ask("note", "", self._note, "nothing")

    def _without_key(self) -> str | None:
        """The first output that neither has a key nor is lit by what a CV says."""
        made = self.draft.parsed()
        if not isinstance(made, InputError):
            return None
        found = re.fullmatch(r"outputs\.(.+)\.key", made.field or "")
        return named(found[1], self.draft.names) if found else None

    def _note(self, text: str) -> None:
        """Take the note, if the whole passes every check; raises InputError."""
        self.draft.tables["note"] = "" if is_none(text) else shown_text(text, 600)
        self.leaflet = self._fitting(self.draft.parsed())

    @staticmethod
    def _fitting(made: Leaflet | InputError) -> Leaflet:
        """A description that passes every check; raises InputError for what does not."""
        if isinstance(made, InputError):
            error = without_place(made)
            error.problem = f"what is described does not fit together: {error.problem}"
            error.remedy = CHANGE_IT
            raise error
        return made

    # One sentence -----------------------------------------------------------------------------

    def _sentence(self, at: str, text: str) -> Asking:
        sentence = Sentence(text)
        taken = self.draft.cvs()
        places: CvPlaces = yield self._ask(
            "cvs", at, lambda text: self._places(text, taken), likely_cvs(text, self._family)
        )
        if places.is_family and self._family is None:
            self._family = places
        served: Served = yield self._ask(
            "whom",
            at,
            lambda text: self._whom(text, places, taken),
            likely_whom(places, self.draft.names),
            cvs=_cvs_text(places),
        )
        rows = rows_of_places(places, served, self.draft.names)
        sentence.rows = [row | {"parts": []} for row in rows]
        self.draft.sentences.append(sentence)
        if served.rules:
            rules = self.draft.tables.setdefault("rules", [])
            rules += [label for label in served.labels if label not in rules]
        coding = yield self._ask("coding", at, _coding, likely_coding(text, served))
        yield from self._parts(at, sentence, coding, served)
        yield from self._delivered(at, sentence, cells_of_places(places, served, self.draft.names))
        self.draft.slow_lights(sentence)
        yield from self._right(at, sentence)

    def _places(self, text: str, taken: set[tuple[int, Any]]) -> CvPlaces:
        places = cv_places(text)
        check_places(places)
        for number in places.cvs:
            _check_free((number, places.page), taken)
        return places

    def _whom(self, text: str, places: CvPlaces, taken: set[tuple[int, Any]]) -> Served:
        served = whom_served(text, places, self.draft.names)
        for row in rows_of_places(places, served, self.draft.names):
            for cv in self.draft.cvs_of(row):
                _check_free(cv, taken)
                if cv[0] > LAST_CV:
                    raise refused(text, f"CVs up to {LAST_CV}", f"would be CV {cv[0]}")
        return served

    def _parts(self, at: str, sentence: Sentence, coding: str, served: Served) -> Asking:
        names, known = self.draft.names, self.draft.effect_names
        group = max(map(len, served.groups), default=0)
        if coding == "outputs":
            yield from self._sum_of_outputs(at, sentence, served)
            return
        if coding == "ranges":
            context = Context(("effect",), names, known)
            yield from self._part("ranges", at, sentence, Addend(("effect",)), served,
                                  lambda text: ranges_of(text, context))  # fmt: skip
            return
        if coding == "one":
            addend: Addend = yield self._ask(
                "says",
                at,
                lambda text: term_of(text, names, known, group),
                likely_says(sentence.text),
            )
            formula = Formula((addend,))
        else:
            formula = yield self._ask(
                coding,
                at,
                lambda text: formula_of(text, names, known, group),
                likely_formula(sentence.text, names, known, group),
            )
        for row in sentence.rows:
            row |= {"offset": formula.offset} if formula.offset else {}
            row |= {"highest": formula.highest} if formula.highest is not None else {}
        for number, each in enumerate(formula.addends, start=1):
            if each.says == ("other",) and each.count:
                run = {"from": 0, "to": each.count - 1}
                sentence.rows = self.draft.with_part(sentence, each, served, run)
                continue
            place = at if len(formula.addends) == 1 else f"{at}, part {number}"
            yield from self._codes(place, sentence, each, served)

    def _codes(self, place: str, sentence: Sentence, addend: Addend, served: Served) -> Asking:
        context = Context(addend.says, self.draft.names, self.draft.effect_names)
        typed = ""

        def read(text: str) -> TomlTable:
            nonlocal typed
            typed = text
            return meaning_of(text, context)

        yield from self._part(
            "codes", place, sentence, addend, served, read, self._meanings.get(addend.says, "")
        )
        self._meanings[addend.says] = typed

    def _sum_of_outputs(self, at: str, sentence: Sentence, served: Served) -> Asking:
        known = self.draft.effect_names
        default = "lights" if served.keys or served.rules else ""
        said: TomlTable = yield self._ask(
            "in_sum", at, lambda text: told_in_sum(text, known), default
        )
        if said["says"] == "key":
            yield from self._sum_of_keys(at, sentence, served)
            return
        of = served.group or self.draft.names
        bits = ", ".join(str(1 << place) for place in range(min(len(of), 8)))
        addend = Addend((said["says"],))
        yield from self._part("shares", at, sentence, addend, served,
                              lambda text: {**said, "sum": sum_shares(text, of)}, bits)  # fmt: skip
        second = sentence.says_effect
        for before in self.draft.sentences:
            first = before.says_effect
            if second and first and before is not sentence and first != second:
                wins = yield self._ask(
                    "both", at, lambda text: _one_of(text, (first, second)), first,  # noqa: B023
                    first=first, second=second,
                )  # fmt: skip
                if wins == second:
                    self.draft.sentences.remove(sentence)
                    self.draft.sentences.insert(self.draft.sentences.index(before), sentence)
                return

    def _sum_of_keys(self, at: str, sentence: Sentence, served: Served) -> Asking:
        """A number that adds up the keys that light an output."""

        def rows_with(shares: dict[str, int]) -> list[TomlTable]:
            parts = [
                {**part_row(Addend(("key",), times)), "codes": {"0": [], "1": key}}
                for key, times in shares.items()
            ]
            return [row | {"parts": parts} for row in sentence.rows]

        def read(text: str) -> dict[str, int]:
            shares = key_shares(text)
            made = self.draft.trial(sentence, rows_with(shares))
            if isinstance(made, InputError):
                raise without_place(made)
            return shares

        sentence.rows = rows_with((yield self._ask("key_shares", at, read)))
        self._tell(sentence, served.titles)

    def _part(
        self,
        name: str,
        place: str,
        sentence: Sentence,
        addend: Addend,
        served: Served,
        meaning_in: Callable[[str], TomlTable],
        default: str = "",
    ) -> Asking:
        """Ask what a part means, put it into the rows, and ask for the effects it speaks of."""

        def read(text: str) -> TomlTable:
            found = meaning_in(text)
            self.draft.check_part(sentence, addend, served, found, _effects(addend, found))
            return found

        examples = self.examples if sentence.rows[0]["parts"] else ()
        ways = ways_to_say(addend.says) if name == "codes" else ()
        asked = self._ask(
            name, place, read, default, examples=examples, ways=ways, title=addend.title
        )
        if name == "codes":
            asked = replace(asked, may_be_unknown=may_be_silent(addend.says))
        meaning = yield asked
        sentence.rows = self.draft.with_part(sentence, addend, served, meaning)
        known = (*BUILT_IN, *self.draft.effects)
        new = [effect for effect in _effects(addend, meaning) if effect not in known]
        self.draft.effects |= {effect: {"kind": likely_kind(effect)} for effect in new}
        self._tell(sentence, served.titles)
        for effect in new:
            self.draft.effects[effect] = yield self._ask(
                "effect", effect, effect_row, likely_kind(effect), ways=kind_lines(), name=effect
            )

    def _tell(self, sentence: Sentence, titles: Sequence[str]) -> None:
        """Make worked examples of what is described."""
        made = self.draft.trial(sentence)
        if isinstance(made, InputError):
            self.examples = ()
            return
        cells = own_cells(made)
        own = titles if len(titles) == len(cells) else [""] * len(cells)
        self.examples = examples_of(made, cells, own)

    def _delivered(self, at: str, sentence: Sentence, cells: Sequence[tuple[int, str]]) -> Asking:
        """Values as delivered, from the sentence itself where it has them."""
        values: list[int | None] = []
        if printed := printed_as_delivered(sentence.text):
            with suppress(InputError):
                values = self._allowed(printed, sentence, cells)
        if not values:
            values = yield self._ask(
                "delivered",
                at,
                lambda text: self._allowed(text, sentence, cells),
                examples=self.examples,
            )
        words = ["not printed" if value is None else str(value) for value in values]
        told = ", ".join(words if len(set(words)) > 1 else words[:1])
        self.draft.deliver(sentence, values)
        self._tell(sentence, [label for _, label in cells])
        self.examples = (*self.examples, f"As delivered: {told}.")
        made = self.draft.so_far()
        self.leaflet = self.leaflet if isinstance(made, InputError) else made

    def _allowed(
        self, text: str, sentence: Sentence, cells: Sequence[tuple[int, str]]
    ) -> list[int | None]:
        values = delivered_values(text, cells)
        made = self.draft.trial(sentence)
        if isinstance(made, InputError):
            return values
        for cell, value in zip(own_cells(made), values, strict=True):
            if value is not None and value not in cell.table:
                problem = f"is no value of CV {cell.cv.number} as described"
                error = refused(str(value), runs_text(sorted(cell.table)), problem)
                error.remedy = f"type it again; or, if the leaflet has it, {CHANGE_IT}"
                raise error
        return values

    def _right(self, at: str, sentence: Sentence) -> Asking:
        examples = self.examples
        count = 1
        while True:
            place = at if count == 1 else f"{at}, {count}"
            more = yield self._ask(
                "right",
                place,
                lambda text: self._is_right(text, sentence),
                "yes",
                examples=examples,
            )
            if more is None:
                return
            examples = (*examples, more)
            count += 1

    def _is_right(self, text: str, sentence: Sentence) -> str | None:
        """None if it is so; or one more example, for a value that the leaflet prints."""
        typed = tidy(text)
        if typed.lower() in ("y", "yes", "it is", "right", "ok"):
            self._fitting(self.draft.so_far())
            return None
        if typed.lower() in ("n", "no"):
            raise InputError("then an answer to this sentence is another one", remedy=CHANGE_IT)
        total = re.fullmatch(
            r"(?:cv\s*(\d+)\s*=\s*)?(\d{1,9})\b\s*(?:=|is|for|means|:)?\s*(.*)", typed, re.I
        )
        made = self.draft.trial(sentence)
        if not total or isinstance(made, InputError):
            raise refused(text, "yes, no, or a value with or without what it means")
        value = int(total[2])
        own = own_cells(made)
        own = [cell for cell in own if total[1] in (None, str(cell.cv.number))]
        cell = next((cell for cell in own if value in cell.table), None)
        if cell is None:
            allowed = runs_text(sorted(own[0].table)) if own else "a CV of this sentence"
            raise InputError(
                f"{value} is no value of it as described", given=text, allowed=allowed,
                remedy=f"if the leaflet has it, {CHANGE_IT}",
            )  # fmt: skip
        told = example(made, cell, "", value)
        if others := words_not_said(total[3], value_words(made, cell, value)):
            raise InputError(
                f"{told.rstrip('.')}, and not {' '.join(others)}", given=text,
                remedy=f"if the leaflet is right, {CHANGE_IT}",
            )  # fmt: skip
        return told


def _effects(addend: Addend, meaning: TomlTable) -> list[str]:
    """The effects that a part speaks of, in order."""
    named_in = effects_in({"says": addend.says, **meaning})
    return list(dict.fromkeys((*named_in, *addend.effects)))


def _check_free(cv: tuple[int, Any], taken: set[tuple[int, Any]]) -> None:
    if cv in taken:
        allowed = "a CV that no sentence before was about; what one CV says is one sum"
        raise refused(str(cv[0]), allowed, f"CV {cv[0]} was described before")


def _cvs_text(places: CvPlaces) -> str:
    first, last = places.cvs[0], places.cvs[-1]
    return f"CV {first}" + (f" to {last}" if last != first else "")


def _filled(text: str, words: dict[str, str]) -> str:
    for name, word in words.items():
        text = text.replace(f"{{{name}}}", word)
    return text


def _own_key(key: str, travel: str) -> TomlTable:
    return {"key": key} | ({"travel": travel} if travel != "both" else {})


def _coding(text: str) -> str:
    typed = tidy(text).lower()
    names = list(CODINGS)
    if typed.isdecimal() and len(typed) == 1 and 1 <= int(typed) <= len(names):
        return names[int(typed) - 1]
    found = [name for name in names if len(typed) > 2 and name.startswith(typed)]
    if len(found) != 1:
        raise refused(text, ", ".join(names), "is not one of the choices")
    return found[0]


def _one_of(text: str, choices: Sequence[str]) -> str:
    found = named(text, choices)
    if found is None:
        raise refused(text, ", ".join(choices), "is not one of the choices")
    return found
