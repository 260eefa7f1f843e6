"""The values that serve an effect best: a search over all codes that may, judged by their costs."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import Cell, CellPart, Statement
from fxstudio.decoder.leaflet.evaluator import Does, Held, does
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.search import costs
from fxstudio.decoder.search.choices import Choices, Variable, Wish, choices_for, held_codes
from fxstudio.decoder.search.gate_costs import few_enough, gate_table
from fxstudio.decoder.search.lamp_costs import hang_together, lamp_table
from fxstudio.decoder.search.least_sum import CostTable, least_sum
from fxstudio.decoder.search.look_costs import LookTable, few_lights
from fxstudio.decoder.search.rules import with_rules
from fxstudio.decoder.search.shared import SharedChoice
from fxstudio.decoder.search.while_costs import while_tables

Codes = Mapping[CvAddress, tuple[int, ...]]


@dataclass(frozen=True)
class Found:
    """What the search gives.

    values : what each cell that may serve the effect shall hold
    proved : whether no other values can be better
    shared : the settings of several lamps of which these want different things
    """

    values: Mapping[CvAddress, int]
    proved: bool
    shared: tuple[SharedChoice, ...] = ()


def best_values(leaflet: Leaflet, wishes: Sequence[Wish], held: Held) -> Found:
    """The values that come nearest to what is wished, from those that the decoder holds.

    A value that the leaflet does not allow is taken as what the nearest allowed one says, see
    `Cell.mended`, and is always written.
    """
    codes = held_codes(leaflet, held)
    choices: Mapping[Variable, Choices] = choices_for(leaflet, wishes, codes)
    choices, proposed = with_rules(leaflet, wishes, choices, codes)
    choices = few_lights(leaflet, wishes, choices, codes)
    for wish in wishes:
        choices = few_enough(leaflet, wish, choices, codes)
    exact = all(row.exact for row in choices.values())
    own: dict[str, list[CostTable]] = {}
    for wish in wishes:
        own[wish.name], whole = _tables_of(leaflet, wish, choices, codes)
        exact &= whole
    tables = [table for rows in own.values() for table in rows]
    tables += _unnamed(leaflet, wishes, choices, codes)
    cells = {row.cell.cv: row.cell for row in choices.values()}
    tables += [_cell_table(cell, choices, codes, held) for cell in cells.values()]
    delivered = {cv: cell.table[cell.supposed] for cv, cell in cells.items()}
    starts = [
        {variable: _place(row, wanted[row.cell.cv][row.at]) for variable, row in choices.items()}
        for wanted in (codes, delivered, proposed)
    ]
    choice, proved = least_sum(tables, starts)
    values: dict[CvAddress, int] = {}
    for cv, cell in cells.items():
        chosen = list(codes[cv])
        for at in range(len(chosen)):
            if (cv, at) in choices:
                chosen[at] = choices[cv, at].codes[choice[cv, at]]
        values[cv] = cell.value(chosen)
    # A lamp that stays dark whatever is written is not compared any further.
    given = [table.given(choice, ()) for table in tables]
    exact &= sum(int(table.first) for table in given) < costs.OUT
    shared = tuple(_shared(own, choices, choice, values))
    _leave_alone(values, leaflet, wishes, held)
    return Found(values, proved and exact, shared)


def _shared(
    own: Mapping[str, Sequence[CostTable]],
    choices: Mapping[Variable, Choices],
    choice: Mapping[Hashable, int],
    values: Mapping[CvAddress, int],
) -> Iterator[SharedChoice]:
    """The parts of which lamps want different things, all other parts as chosen."""
    for variable, row in choices.items():
        best: dict[str, int] = {}
        for name, tables in own.items():
            given = [t.given(choice, [variable]) for t in tables if variable in t.axes]
            if given:
                first = np.asarray(sum(table.first for table in given))
                then = np.asarray(sum(table.then for table in given))
                place = int(np.lexsort((then, first))[0])
                if first[place] == first[choice[variable]]:
                    place = choice[variable]
                if first[place] < first.max():
                    best[name] = row.codes[place]
        now = row.codes[choice[variable]]
        if len({now, *best.values()}) > 1 and len(best) > 1:
            at = {
                name: values[row.cell.cv] + (code - now) * row.part.times
                for name, code in best.items()
            }
            yield SharedChoice(row.cell.cv, row.part, values[row.cell.cv], at)


def _tables_of(
    leaflet: Leaflet, wish: Wish, choices: Mapping[Variable, Choices], codes: Codes
) -> tuple[list[CostTable], bool]:
    """Costs of one output's light and of its conditions, and whether they are exact."""
    together = hang_together(leaflet, wish)
    if together and (whole := lamp_table(leaflet, wish, choices, codes)):
        return [whole], True
    light = [LookTable.of(leaflet, wish, choices, codes).table()]
    dims = list(while_tables(leaflet, wish, choices, codes))
    gate = gate_table(leaflet, wish, choices, codes)
    if not wish.pattern.is_dark:
        return [*light, *dims, gate], not together
    values = {cv: cell.value(codes[cv]) for cv, cell in leaflet.cells.items()}
    never = not does(leaflet, wish.number, values).ever_lit
    return [gate] if never or light[0].first.min() >= costs.WRONG else [*light, *dims], False


def _leave_alone(
    values: dict[CvAddress, int], leaflet: Leaflet, wishes: Sequence[Wish], held: Held
) -> None:
    """Take out values that are written only because what is held is not allowed, where that
    makes no difference to any of the outputs.
    """
    odd = [
        cv
        for cv in values
        if held.get(cv, leaflet.cells[cv].supposed) not in leaflet.cells[cv].table
    ]
    its = {wish.number: does(leaflet, wish.number, {**held, **values}) for wish in wishes if odd}
    for cv in odd:
        cell = leaflet.cells[cv]
        if not any(it.minds(leaflet, number, cell) for number, it in its.items()):
            del values[cv]


def _place(row: Choices, code: int) -> int:
    """Where a code stands among those that are tried; the first if it is none of them."""
    said = row.said(code)
    return next((at for at, each in enumerate(row.codes) if row.said(each) == said), 0)


def _cell_table(
    cell: Cell, choices: Mapping[Variable, Choices], codes: Codes, held: Held
) -> CostTable:
    """Costs of a write, and of sums that are not allowed."""
    rows = [choices[cell.cv, at] for at in range(len(cell.parts)) if (cell.cv, at) in choices]
    shape = [len(row.codes) for row in rows]
    fixed = cell.offset + sum(
        part.times * codes[cell.cv][at]
        for at, part in enumerate(cell.parts)
        if (cell.cv, at) not in choices
    )
    values = np.full(shape, fixed, np.int64)
    for axis, row in enumerate(rows):
        steps = np.array(row.codes, np.int64) * row.part.times
        values = values + steps.reshape([-1 if at == axis else 1 for at in range(len(rows))])
    allowed = np.isin(values, list(cell.table))
    now = held.get(cell.cv, cell.supposed)
    then = (values != now) * costs.WRITE + (values != cell.supposed) * costs.DELIVERED
    variables = tuple(row.variable for row in rows)
    return CostTable(variables, ~allowed * np.int64(costs.FORBIDDEN), then.astype(np.int64))


def _unnamed(
    leaflet: Leaflet,
    wishes: Sequence[Wish],
    choices: Mapping[Variable, Choices],
    codes: Codes,
) -> Iterator[CostTable]:
    """Costs of changes to outputs that nobody named, one table for each part that they share."""
    values = {cv: cell.value(codes[cv]) for cv, cell in leaflet.cells.items()}
    named = {wish.number for wish in wishes}
    others = {
        number: does(leaflet, number, values) for number in leaflet.output if number not in named
    }

    def counting(part: CellPart, code: int, number: int, it: Does) -> list[Statement]:
        return [each for each in part.codes[code] if it.counts(leaflet, number, each)]

    for row in choices.values():
        changes = np.zeros(len(row.codes), np.int64)
        now = codes[row.cell.cv][row.at]
        for number, it in others.items():
            if row.cell in leaflet.concerned[number]:
                was = counting(row.part, now, number, it)
                changes += [counting(row.part, code, number, it) != was for code in row.codes]
        if changes.any():
            yield CostTable((row.variable,), *costs.unnamed(changes))
