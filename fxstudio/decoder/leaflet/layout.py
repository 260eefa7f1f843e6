"""A description written out: its rows of cells become cells, each with its own CV."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fxstudio.dcc.addressing import ADDRESS_CVS
from fxstudio.dcc.cv import PAGE_CVS, PAGED_RANGE, READ_ONLY, CvAddress, CvPage
from fxstudio.dcc.function_map import FUNCTION_MAPS, MapRow, MapStyle, rows_for
from fxstudio.decoder.leaflet.cells import Cell, CellPart, LightSwitch, Lock, Statement, Who
from fxstudio.decoder.leaflet.meanings import Said, WrongRowError, codes_in_sum, codes_of
from fxstudio.decoder.leaflet.rows import CellRow, OutputRow, PartRow
from fxstudio.effect.gate import Directed
from fxstudio.effect.keys import KEYS

KEY_AND_DIRECTION: Final = re.compile(r"(?P<key>F\d+)(?: (?P<travel>forward|reverse))?")
"""A name of a cell of a key and a direction: `F0 forward`, `F3`."""

TRAVELS: Final[Mapping[str | None, Directed]] = {
    None: "both",
    "forward": "forward",
    "reverse": "reverse",
}

MOST_SAID: Final = 500_000
"""More than all codes of all cells say in any leaflet: so much takes a second to read."""

OUTPUTS_IT_LACKS: Final = "outputs that the decoder does not have"


@dataclass(frozen=True)
class LeafletOutput:
    """One switched wire of the decoder, with its number and all it takes from another."""

    name: str
    number: int
    wire: str
    key: str | None
    travel: Directed
    limit_ma: float | None

    @property
    def title(self) -> str:
        """`output 3`, or `green (output 3)` where the leaflet has a name for it."""
        if self.name in (str(self.number), f"output {self.number}"):
            return f"output {self.number}"
        return f"{self.name} (output {self.number})"


def outputs_of(rows: Mapping[str, OutputRow]) -> tuple[LeafletOutput, ...]:
    """The outputs in order of the file; raises WrongRowError."""
    found: list[LeafletOutput] = []
    for at, (name, row) in enumerate(rows.items(), start=1):
        whole = _liked(name, rows)
        number = row.number or at
        if any(each.number == number for each in found):
            raise WrongRowError(
                (name, "number"), "is another output's too", number, "each number once"
            )
        known = {key: getattr(whole, key) for key in ("wire", "key", "travel", "limit_ma")}
        found.append(LeafletOutput(name, number, **known))
    return tuple(found)


def _liked(name: str, rows: Mapping[str, OutputRow]) -> OutputRow:
    """A row with what it takes from the one that it is like."""
    seen, row, given = {name}, rows[name], dict[str, Any]()
    while True:
        given = {key: getattr(row, key) for key in row.model_fields_set} | given
        if row.like is None:
            return OutputRow.model_validate({k: v for k, v in given.items() if k != "like"})
        if row.like in seen or row.like not in rows:
            if row.like in rows:
                allowed = "an output that is not, by others, like this one"
                raise WrongRowError(
                    (name, "like"), "goes round in a circle", rows[name].like, allowed
                )
            others = ", ".join(other for other in rows if other != name)
            raise WrongRowError((name, "like"), "is no other output", row.like, others)
        seen.add(row.like)
        row = rows[row.like]


@dataclass(frozen=True)
class Layout:
    """All cells and switches of a decoder."""

    cells: tuple[Cell, ...]
    switches: tuple[LightSwitch, ...]


def layout_of(
    rows: Sequence[CellRow],
    outputs: Sequence[LeafletOutput],
    effects: Sequence[str],
    style: MapStyle | None,
    rules: Sequence[str],
    before: Mapping[str, int],
    after: Mapping[str, int],
) -> Layout:
    """The cells of all rows and the switches that they speak of; raises WrongRowError."""
    lock = Lock(tuple(_writes(before, "before")), tuple(_writes(after, "after")))
    cells: list[Cell] = []
    said = 0
    switches: dict[str, LightSwitch] = {rule: LightSwitch(rule) for rule in rules}
    for index, row in enumerate(rows):
        try:
            for cell, switch in _cells(row, index, outputs, effects, rules, lock):
                cells.append(cell)
                said += sum(len(told) for part in cell.parts for told in part.codes.values())
                if said > MOST_SAID:
                    raise WrongRowError(
                        (),
                        f"makes this more than a leaflet can be: over {MOST_SAID:,} sentences",
                        None,
                        "fewer cells, or cells of which each serves fewer outputs",
                    )
                if switch:
                    switches.setdefault(switch.name, switch)
        except WrongRowError as wrong:
            raise WrongRowError(
                ("cells", index, *wrong.at), wrong.text, wrong.given, wrong.allowed
            ) from None
    if style is not None:
        cells += _function_map(FUNCTION_MAPS[style], outputs)
        switches |= {
            row.name: LightSwitch(row.name, row.key, row.travel) for row in FUNCTION_MAPS[style]
        }
    keyed = {
        who for cell in cells for part in cell.parts if "key" in part.names for who in part.who
    }
    lit = {
        each.value
        for cell in cells
        for part in cell.parts
        for said in part.codes.values()
        for each in said
        if each.name == "lights"
    }
    for output in outputs:
        if output.number in keyed:
            name = own_switch(output.number)
            switches[name] = LightSwitch(name, None, lights=frozenset([output.number]))
        elif output.number not in lit:
            name = own_switch(output.number)
            key = output.key
            if key is None:
                raise WrongRowError(
                    ("outputs", output.name, "key"),
                    "is missing, and no cell says which key lights this output",
                    None,
                    'a key such as "F1", or "always"',
                )
            switches[name] = LightSwitch(name, key, output.travel, frozenset([output.number]))
    return Layout(tuple(cells), tuple(switches.values()))


def own_switch(number: int) -> str:
    """The name of the switch that is an output's own key."""
    return f"key of output {number}"


def _cells(
    row: CellRow,
    index: int,
    outputs: Sequence[LeafletOutput],
    effects: Sequence[str],
    rules: Sequence[str],
    around: Lock,
) -> Iterator[tuple[Cell, LightSwitch | None]]:
    """The cells of one row, each with the switch that it is about, if it is about one."""
    names = {output.name: output for output in outputs}
    for name in row.of or ():
        if name not in names:
            raise WrongRowError(("of",), "is no output", name, ", ".join(names))
    served = [names[name] for name in row.of] if row.of else list(outputs)
    lock = Lock(
        (*around.before, *_writes(row.before, "before")),
        (*_writes(row.after, "after"), *around.after),
    )
    family = list(_family(row, names, served, rules))
    _check_delivered(row, [label for label, *_ in family])
    for at, (label, number, page, who, switch) in enumerate(family):
        parts = tuple(
            part
            for place, part_row in enumerate(row.parts)
            for part in _parts(part_row, ("parts", place), who, names, effects, switch)
        )
        yield (
            Cell(
                CvAddress(number, page),
                parts,
                _delivered(row, label, at),
                row.offset,
                row.highest,
                lock,
                tuple(_reset(cv, page) for cv in row.resets),
                ("cells", index),
            ),
            switch,
        )


def _reset(number: int, page: CvPage | None) -> CvAddress:
    """A CV that a cell resets; one that pages select is on the page of the cell itself."""
    return CvAddress(number, page if number in PAGED_RANGE else None)


def _writes(given: Mapping[str, int], field: str) -> Iterator[tuple[CvAddress, int]]:
    for number, value in given.items():
        if not (number.isascii() and number.isdigit() and 1 <= int(number) <= 1024):
            raise WrongRowError(
                (field, number), "is no CV", number, "the number of a CV, 1 to 1024"
            )
        if refused := _no_lock(int(number)):
            raise WrongRowError((field, number), refused, value, "another CV")
        yield CvAddress(int(number)), value


def _no_lock(number: int) -> str | None:
    """Why a CV can be no lock."""
    if number in READ_ONLY:
        return f"CV{number} holds {READ_ONLY[number]}"
    if number in ADDRESS_CVS:
        return f"CV{number} is part of the address"
    if number in PAGE_CVS:
        return f"CV{number} selects a page, which page = {{ 31 = 16, 32 = 0 }} says of a cell"
    if number in PAGED_RANGE:
        return f"CV{number} is another one on each page"
    return None


_Member = tuple[str, int, CvPage | None, list[LeafletOutput], LightSwitch | None]


def _family(
    row: CellRow,
    names: Mapping[str, LeafletOutput],
    served: list[LeafletOutput],
    rules: Sequence[str],
) -> Iterator[_Member]:
    """Every cell of a row: its name, CV, page, outputs, and the switch it is about."""
    if isinstance(row.cv, int):
        if row.each is None and not row.page_each:
            yield "", row.cv, row.page, served, None
            return
        for at, output in enumerate(served):
            page = row.page and (row.page[0], row.page[1] + at * row.page_each)
            yield output.name, row.cv + at * (row.each or 0), page, [output], None
        return
    for field in ("each", "page_each"):
        if getattr(row, field):
            raise WrongRowError((field,), "has no use where cv is a table", getattr(row, field))
    for label, number in row.cv.items():
        match = KEY_AND_DIRECTION.fullmatch(label)
        if label in names:
            yield label, number, row.page, [names[label]], None
        elif label in rules:
            yield label, number, row.page, served, LightSwitch(label)
        elif match and match["key"] in KEYS:
            switch = LightSwitch(label, match["key"], TRAVELS[match["travel"]])
            yield label, number, row.page, served, switch
        else:
            allowed = "an output, a key with or without a direction (F0 forward), or a rule"
            raise WrongRowError(("cv", label), "is none of them", label, allowed)


def _check_delivered(row: CellRow, labels: Sequence[str]) -> None:
    """Raise WrongRowError where a table or a list has not one value for each cell of a row."""
    given = row.delivered
    if isinstance(given, tuple) and len(given) != len(labels):
        many = "few" if len(given) < len(labels) else "many"
        allowed = f"one value for each cell, {len(labels)} in all"
        raise WrongRowError(("delivered",), f"has too {many} entries", list(given), allowed)
    if isinstance(given, dict):
        for label in labels:
            if label not in given:
                allowed = 'a value from 0 to 255, or "unknown"'
                raise WrongRowError(("delivered", label), "is missing", None, allowed)
        for label in given:
            if label not in labels:
                allowed = ", ".join(labels)
                raise WrongRowError(("delivered", label), "is no cell of this row", label, allowed)


def _delivered(row: CellRow, label: str, at: int) -> int | None:
    given = row.delivered
    if isinstance(given, tuple | dict):
        given = given[at] if isinstance(given, tuple) else given[label]
    return given


def _parts(
    row: PartRow,
    at: tuple[str | int, ...],
    served: list[LeafletOutput],
    names: Mapping[str, LeafletOutput],
    effects: Sequence[str],
    switch: LightSwitch | None,
) -> Iterator[CellPart]:
    """The parts of one row: one, or of a sum one for each output in it."""
    try:
        for name in (*(row.of or ()), *(row.sum or ())):
            if name not in names:
                field = "of" if name in (row.of or ()) else "sum"
                raise WrongRowError((field,), "is no output", name, ", ".join(names))
        for name in row.of_effect or ():
            if name not in effects:
                raise WrongRowError(("of_effect",), "is not an effect", name, ", ".join(effects))
        if row.while_key and row.says != ("level",):
            raise WrongRowError(
                ("while",), "is of use only for a level", row.while_key, 'says = "level"'
            )
        served = [names[name] for name in row.of] if row.of else served
        known: dict[str, Any] = {"known": row.known, "within": row.within, "row": at}
        says = " and ".join(row.says)
        if row.sum is not None:
            if len(row.says) > 1:
                raise WrongRowError(
                    ("says",), "says several things in a sum", list(row.says), "one thing"
                )
            for name, times in row.sum.items():
                yield CellPart(
                    f"{_sum_title(row, switch)}: {names[name].title}",
                    times,
                    {
                        code: tuple(_statements(said, [names[name]], names, row, switch))
                        for code, said in codes_in_sum(row, name, effects).items()
                    },
                    in_sum=True,
                    **known,
                )
            return
        codes = codes_of(row, list(names), effects)
        others = row.says == ("other",)
        yield CellPart(
            row.what or says if others else _title(row, served, list(names.values()), switch),
            row.times,
            {
                code: tuple(_statements(said, served, names, row, switch))
                for code, said in codes.items()
            },
            others=others,
            **known,
        )
    except WrongRowError as wrong:
        raise WrongRowError((*at, *wrong.at), wrong.text, wrong.given, wrong.allowed) from None


def _sum_title(row: PartRow, switch: LightSwitch | None) -> str:
    if switch:
        return f"{switch.name} lights"
    if row.set and row.says == ("effect",):
        return row.set
    return row.says[0] if row.set in (None, "yes") else f"{row.says[0]} {row.set}"


def _title(
    row: PartRow,
    served: list[LeafletOutput],
    outputs: list[LeafletOutput],
    switch: LightSwitch | None,
) -> str:
    says = " and ".join(row.says) + (f" while {row.while_key} is on" if row.while_key else "")
    if switch:
        return f"{says} of {switch.name}"
    if row.of_effect:
        says += f" for {', '.join(row.of_effect)}"
    if len(served) == len(outputs) > 1:
        return f"shared {says}"
    return f"{says} of {', '.join(output.title for output in served)}"


def _statements(
    said: Sequence[Said],
    served: list[LeafletOutput],
    names: Mapping[str, LeafletOutput],
    row: PartRow,
    switch: LightSwitch | None,
) -> Iterator[Statement]:
    effects = frozenset(row.of_effect) if row.of_effect else None
    for each in said:
        if each.name == "lights":
            if switch is None:
                raise WrongRowError(("says",), "lights is said of a key or a rule only", "lights")
            assert each.of is not None
            yield Statement(switch.name, "lights", names[each.of].number)
        elif switch and each.of is None:
            if each.name not in ("key", "travel", "motion", "inverted"):
                raise WrongRowError(("says",), f"{each.name} cannot be said of a key or a rule")
            yield Statement(switch.name, each.name, each.value)
        else:
            for output in [names[each.of]] if each.of else served:
                who: Who = output.number
                yield Statement(who, each.name, each.value, effects, row.while_key)


def _function_map(rows: Sequence[MapRow], outputs: Sequence[LeafletOutput]) -> Iterator[Cell]:
    """The cells of the standard's function map, and what they hold as delivered."""
    numbers = {output.number: output for output in outputs}
    for row in rows:
        parts, delivered = [], 0
        for bit in range(8):
            number = row.lowest_output + bit
            output = numbers.get(number)
            says = (Statement(row.name, "lights", number),) if output else ()
            title = f"{row.name} lights: {output.title}" if output else OUTPUTS_IT_LACKS
            parts.append(CellPart(title, 1 << bit, {0: (), 1: says}, others=output is None))
            if _lit_as_delivered(row, number, output, rows):
                delivered |= 1 << bit
        yield Cell(CvAddress(row.cv), tuple(parts), delivered, standard=True)


def _lit_as_delivered(
    row: MapRow, number: int, output: LeafletOutput | None, rows: Sequence[MapRow]
) -> bool:
    if output is None or output.key is None:
        return row.works_output == number
    return row in rows_for(tuple(rows), number, output.key, output.travel)
