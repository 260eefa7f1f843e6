"""A description as far as it is known: its tables, and what they say so far."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from fxstudio.dcc.cv import LARGEST_VALUE
from fxstudio.decoder.interview.typed.effects import likely_kind
from fxstudio.decoder.interview.typed.places import Served
from fxstudio.decoder.interview.typed.terms import Addend, part_row
from fxstudio.decoder.leaflet.looks import BUILT_IN
from fxstudio.decoder.leaflet.meanings import WrongRowError, codes_of
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.rows import PartRow
from fxstudio.decoder.leaflet.says import UNKNOWN
from fxstudio.documents.reading import parse
from fxstudio.effect.keys import ALWAYS
from fxstudio.errors import InputError

TomlTable = dict[str, Any]

SLOW_SAYS: Final = {"time up", "time down"}
"""What only a light that comes up and dies away slowly has."""


@dataclass
class Sentence:
    """One sentence of the leaflet with the rows of cells that it gives."""

    text: str
    rows: list[TomlTable] = field(default_factory=list)

    @property
    def says_effect(self) -> str:
        """The effect of the outputs in its sum; empty if it is another kind of sentence."""
        sums = (part for row in self.rows for part in row["parts"] if "sum" in part)
        return next((part.get("set", "") for part in sums if part["says"] == "effect"), "")


@dataclass
class Draft:
    """The tables of a description that is not finished.

    tables : all but its effects and cells
    effects : the effects that it names, with what is printed of them
    sentences : in the order of the file
    read : descriptions that were read before, by their tables
    """

    tables: TomlTable = field(default_factory=dict)
    effects: dict[str, TomlTable] = field(default_factory=dict)
    sentences: list[Sentence] = field(default_factory=list)
    read: dict[str, Leaflet | InputError] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its outputs."""
        return tuple(self.tables.get("outputs", ()))

    @property
    def effect_names(self) -> list[str]:
        """All effects so far, the built-in ones first."""
        return list(BUILT_IN | self.effects)

    def cvs(self) -> set[tuple[int, Any]]:
        """All CVs so far, each with its page."""
        return {cv for each in self.sentences for row in each.rows for cv in self.cvs_of(row)}

    def cvs_of(self, row: Mapping[str, Any]) -> Iterator[tuple[int, Any]]:
        """Every CV of a row of cells with its page."""
        page = (row["page"]["31"], row["page"]["32"]) if "page" in row else None
        if isinstance(row["cv"], dict):
            yield from ((cv, page) for cv in row["cv"].values())
        elif "each" in row:
            for at in range(len(row.get("of", self.names))):
                own = page and (page[0], page[1] + at * row.get("page_each", 0))
                yield row["cv"] + at * row["each"], own
        else:
            yield row["cv"], page

    def whole(self) -> TomlTable:
        """The tables as a file has them."""
        rows = [row for each in self.sentences for row in each.rows]
        cells = [self._bounded(row, self.effects) for row in rows]
        return {
            **self.tables,
            **({"effects": self.effects} if self.effects else {}),
            "cells": cells,
        }

    def parsed(self) -> Leaflet | InputError:
        """The description as it is, or what is wrong with it."""
        return self._parse(self.whole())

    def so_far(self) -> Leaflet | InputError:
        """The description of all sentences, with what is lacking stood in."""
        return self._standing_in([row for each in self.sentences for row in each.rows], {})

    def trial(
        self,
        sentence: Sentence,
        rows: Sequence[TomlTable] | None = None,
        effects: Mapping[str, TomlTable] | None = None,
    ) -> Leaflet | InputError:
        """A description of one sentence alone, or of it with other `rows`."""
        return self._standing_in(sentence.rows if rows is None else rows, effects or {})

    def _standing_in(
        self, rows: Sequence[TomlTable], effects: Mapping[str, TomlTable]
    ) -> Leaflet | InputError:
        known = {**effects, **self.effects}
        cells = []
        for row in rows:
            whole = self._bounded(row, known)
            whole.pop("resets", None)  # those CVs may come later
            cells.append(whole)
        outputs = {name: {"key": ALWAYS, **row} for name, row in self.tables["outputs"].items()}
        return self._parse({**self.tables, "outputs": outputs, "cells": cells, "effects": known})

    def with_part(
        self, sentence: Sentence, addend: Addend, served: Served, meaning: TomlTable
    ) -> list[TomlTable]:
        """The rows of a sentence with one more part."""
        groups = served.groups or ((),) * len(sentence.rows)
        return [
            row | {"parts": [*row["parts"], {**part_row(addend, group), **meaning}]}
            for row, group in zip(sentence.rows, groups, strict=True)
        ]

    def check_part(
        self,
        sentence: Sentence,
        addend: Addend,
        served: Served,
        meaning: TomlTable,
        new: Sequence[str],
    ) -> None:
        """Raise InputError if one more part does not fit; `new` are effects not yet described."""
        rows = self.with_part(sentence, addend, served, meaning)
        effects = {name: {"kind": likely_kind(name)} for name in new if name not in BUILT_IN}
        made = self.trial(sentence, rows, effects)
        if isinstance(made, InputError):
            raise without_place(made)

    def deliver(self, sentence: Sentence, values: Sequence[int | None]) -> None:
        """Give the cells of a sentence their values as delivered; None is not known."""
        left = [UNKNOWN if value is None else value for value in values]
        for row in sentence.rows:
            count = len(list(self.cvs_of(row)))
            own, left = left[:count], left[count:]
            same = len(set(own)) == 1
            if isinstance(row["cv"], dict) and not same:
                row["delivered"] = dict(zip(row["cv"], own, strict=True))
            else:
                row["delivered"] = own[0] if same else own

    def slow_lights(self, sentence: Sentence) -> None:
        """What comes up and dies away by a CV is a slow lamp, whatever it was called."""
        kinds = {"steady": {"kind": "steady"}} | self.effects
        for part in (part for row in sentence.rows for part in row["parts"]):
            says = {part["says"]} if isinstance(part["says"], str) else set(part["says"])
            if not SLOW_SAYS & says:
                continue
            of = part.get("of_effect", ())
            of = [of] if isinstance(of, str) else list(of)
            if any(kinds[name]["kind"] == "filament" for name in of or kinds if name in kinds):
                continue
            for name in of or kinds:
                if kinds.get(name, {}).get("kind") == "steady":
                    self.effects[name] = {**kinds[name], "kind": "filament"}

    def _bounded(self, row: TomlTable, effects: Mapping[str, TomlTable]) -> TomlTable:
        """A row; with `highest`, where some sums are more than a CV can hold."""
        bound = "highest" not in row and self._largest(row, effects) > LARGEST_VALUE
        return {**row, "highest": LARGEST_VALUE} if bound else dict(row)

    def _largest(self, row: TomlTable, effects: Mapping[str, TomlTable]) -> int:
        total: int = row.get("offset", 0)
        for part in row["parts"]:
            if "sum" in part:
                total += sum(part["sum"].values())
                continue
            try:
                codes = codes_of(PartRow.model_validate(part), self.names, [*BUILT_IN, *effects])
            except (ValueError, WrongRowError):
                return 0  # told where the description is read
            total += part.get("times", 1) * max(codes)
        return total

    def _parse(self, tables: TomlTable) -> Leaflet | InputError:
        key = json.dumps(tables)
        if key not in self.read:
            self.read[key] = _read(tables)
        return self.read[key]


def _read(tables: TomlTable) -> Leaflet | InputError:
    """A description, or why it is none."""
    try:
        return parse(Leaflet, tables)
    except InputError as error:
        return error


def without_place(error: InputError) -> InputError:
    """The error without the place in a file that nobody has written yet."""
    given = None if isinstance(error.given, dict | list) else error.given
    return InputError(error.problem, given=given, allowed=error.allowed, remedy="type it again")
