"""A drive that shows what is worth showing of an effect, with words for each part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from fxstudio.effect.drive import DEFAULT_SPEED_KMH, Drive, Moment, Step
from fxstudio.effect.keys import sorted_keys
from fxstudio.effect.model import Effect
from fxstudio.light.truth_table import TruthTable, table_of, truth_table

LONGEST_TOUR_S = 20.0
PART_S = (2.0, 3.0)
"""Each part stands so long at least and at most."""
MOST_PARTS = int(LONGEST_TOUR_S / PART_S[0])


@dataclass(frozen=True)
class Tour:
    """A drive through the states worth showing.

    drive : travel, speed and keys
    words : the moment in s at which each part begins, and what it shows
    left_out : how many states more would look different, for which there was no time
    """

    drive: Drive
    words: tuple[tuple[float, str], ...]
    left_out: int = 0


def tour(effect: Effect) -> Tour:
    """What is worth showing of an effect, each look once: at most `LONGEST_TOUR_S`.

    All off, each lamp alone where keys allow it, all its keys on, then in each travel in which
    something differs, and then what else single keys and several of them do, such as dim or put
    out a lamp.
    """
    states = list(dict.fromkeys(_candidates(effect)))
    table = table_of(effect, states)
    looks: dict[object, int] = {}
    for row in range(len(states)):
        lit, times = table.lit[row], table.times[row]
        looks.setdefault(tuple((lit * times).tolist()), row)
    rows = sorted(_foremost(effect, states, list(looks.values())))
    part_s = min(PART_S[1], max(PART_S[0], int(10 * LONGEST_TOUR_S / len(rows)) / 10))
    starts = [round(number * part_s, 2) for number in range(len(rows))]
    steps = [_step(at_s, states[row]) for at_s, row in zip(starts, rows, strict=True)]
    drive = Drive(length_s=round(len(rows) * part_s, 2), steps=tuple(steps))
    words = [look_words(table, row) for row in rows]
    return Tour(drive, tuple(zip(starts, words, strict=True)), len(looks) - len(rows))


def _foremost(effect: Effect, states: list[Moment], rows: list[int]) -> list[int]:
    """Those of `rows` for which there is time: the first and with all keys on before others."""
    all_on = frozenset(effect.own_keys)
    return sorted(rows, key=lambda row: row > 0 and states[row].keys != all_on)[:MOST_PARTS]


def _candidates(effect: Effect) -> Iterator[Moment]:
    """States in the order in which they are shown; those that look alike are left out later."""
    table = truth_table(effect)
    in_order = sorted(table.rows(), key=lambda row: (not row[0].forward, row[0].moving))
    yield from (state for state, lit in in_order if not lit)
    for name in effect.lamps:
        yield from (state for state, lit in in_order if lit == (name,))
    all_on = Moment(frozenset(effect.own_keys))
    for forward in (True, False):
        for moving in (False, True):
            yield replace(all_on, forward=forward, moving=moving)
    yield from table.states


def _step(at_s: float, state: Moment) -> Step:
    speed = DEFAULT_SPEED_KMH if state.moving else 0.0
    return Step(at_s=at_s, travel=state.travel, speed_kmh=speed, keys=sorted_keys(state.keys))


def look_words(table: TruthTable, row: int) -> str:
    """The lamps of a row in words: `all off`, `bed alone`, `bed, flames (0.3 times as bright)`."""
    lit = table.lit_in(row)
    if not lit:
        return "all off"
    times = dict(zip(table.lamps, table.times[row].tolist(), strict=True))
    if all(times[name] == 1 for name in lit):
        if len(lit) == len(table.lamps) > 1:
            return "all lamps"
        if len(lit) == 1 < len(table.lamps):
            return f"{lit[0]} alone"
    return ", ".join(
        name if times[name] == 1 else f"{name} {times[name]:g} times as bright" for name in lit
    )
