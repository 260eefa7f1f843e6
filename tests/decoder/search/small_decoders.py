"""Small random decoders of every coding that a description can say, with effects and held values.

Each has so few values that all can be tried.
"""

from __future__ import annotations

from itertools import product
from typing import Any

from decoders import effect
from hypothesis import strategies as st

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import parse
from fxstudio.effect.keys import ALWAYS
from fxstudio.errors import InputError

KEYS = ("F0", "F1", "F2")
SHARES = (0.0, 0.1, 0.25, 0.4, 0.5, 0.8, 1.0)
RATES = (1.0, 2.0, 4.0, 5.0, 10.0)
TIMES = (0.25, 0.5, 1.0, 2.0)
UNKNOWN = "unknown"

Row = dict[str, Any]


def one_of(draw, *values):
    return draw(st.sampled_from(values))


def some(draw, values, least=1, most=3):
    return draw(st.lists(st.sampled_from(values), min_size=least, max_size=most, unique_by=str))


def of_range(draw):
    low, high = sorted(some(draw, SHARES, 2, 2))
    return {"lowest": low, "highest": high}


@st.composite
def effect_rows(draw) -> dict[str, Row]:
    """The effects of a decoder: what is printed of each differs, down to nothing."""
    flicker: Row = {"kind": "flicker"}
    if draw(st.booleans()):
        flicker |= {"style": one_of(draw, "hold", "smooth"), **of_range(draw)}
    if draw(st.booleans()):
        flicker["rate_hz"] = one_of(draw, *RATES)
    flash: Row = {"kind": "flash"}
    if draw(st.booleans()):
        flash |= {"period_s": one_of(draw, *TIMES), "on_share": one_of(draw, 0.1, 0.5)}
    if draw(st.booleans()):
        flash |= of_range(draw)
    soft: Row = {"kind": "filament"}
    if draw(st.booleans()):
        soft |= {"rise_s": one_of(draw, *TIMES), "fall_s": one_of(draw, *TIMES)}
    return {"fire": flicker, "blink": flash, "soft": soft}


EFFECTS = ("steady", "dark", "fire", "blink", "soft")


def codes_for(draw, values) -> dict[int, Any]:
    """Each value with a code, in any order and with gaps."""
    codes = draw(
        st.lists(st.integers(0, 4), min_size=len(values), max_size=len(values), unique=True)
    )
    return dict(zip(codes, values, strict=True))


def table(draw, says, values, most=3) -> Row:
    return {"says": says, "codes": codes_for(draw, some(draw, values, 1, most))}


def effect_part(draw) -> Row:
    return table(draw, "effect", EFFECTS)


def level_part(draw) -> Row:
    if draw(st.booleans()):
        return {"says": "level", "even": {"to": one_of(draw, 1, 2, 3)}}
    return table(draw, "level", (*SHARES, UNKNOWN))


def rate_part(draw) -> Row:
    return one_of(
        draw,
        {"says": "rate", "each_hz": 2.0, "from": 1, "to": 3},
        {"says": "rate", "each_s": 0.1, "from": 1, "to": 5},
        {"says": "rate", "each_hz": 1.0, "from": 1, "to": 4, "codes": {0: UNKNOWN}},
        {"says": "rate", "points": [[0, 1.0], [3, 8.0]]},
        {"says": "rate", "ratio": {"to": 3, "first": 1.0, "last": 10.0}},
        {"says": "rate", "unknown": {"from": 0, "to": 3, "rising": True}},
    )


def lowest_part(draw) -> Row:
    return table(draw, "lowest", (*SHARES[:-1], UNKNOWN))


def time_part(draw) -> Row:
    says = one_of(draw, "period", "time on", "time off", "time up", "time down")
    both: Row = {"says": ["time on", "time off"], "each_s": 0.25, "from": 1, "to": 3}
    alone = {"says": says, "each_s": 0.25, "from": 1, "to": 4}
    return one_of(draw, both, alone, table(draw, "share on", (0.1, 0.5, 0.9)))


def direction_part(draw) -> Row:
    return table(draw, "directions", ("both", "forward", "reverse", "none"))


def when_part(draw) -> Row:
    return table(draw, "when", ("always", "forward", "standing", "moving", "reverse moving"))


def inverted_part(draw) -> Row:
    return {"says": "inverted", "codes": {0: "no", 1: "yes"}}


def key_part(draw) -> Row:
    row = table(draw, "key", (*KEYS, "never", ALWAYS))
    if draw(st.booleans()):
        row["codes"] |= {6: some(draw, KEYS, 2, 2)}
    return row


def other_part(draw) -> Row:
    return {"says": "other", "what": "the motor", "from": 0, "to": one_of(draw, 1, 3)}


def run_part(draw) -> Row:
    """Runs of one number that mean different things."""
    steady = {"from": 1, "to": 3, "effect": "steady", "level": [0.3, 1.0]}
    fire = {"from": 5, "to": 7, "effect": "fire", "rate_hz": [2.0, 8.0]}
    return {"says": "effect", "ranges": some(draw, (steady, fire), 1, 2), "codes": {0: "dark"}}


def codes_in(row: Row) -> list[int]:
    """The codes of a part; of a sum, what its outputs add."""
    if "sum" in row:
        worth = list(row["sum"].values())
        return [sum(each) for each in product(*((0, one) for one in worth))]
    codes = {*row.get("codes", ())}
    runs = [row[way] for way in ("even", "ratio", "unknown", "keys") if way in row]
    runs += [*row.get("ranges", ())] + ([row] if "to" in row else [])
    if "points" in row:
        runs.append({"from": row["points"][0][0], "to": row["points"][-1][0]})
    return sorted(codes.union(*(range(run.get("from", 0), run["to"] + 1) for run in runs)))


def highest_code(row: Row) -> int:
    return max(codes_in(row))


def packed(draw, parts: list[Row]) -> Row:
    """Parts as shares of one number: bits, figures, or as tight as they go."""
    times, placed = 1, []
    way = one_of(draw, "tight", "bits", "figures")
    for part in parts:
        while way == "bits" and times & (times - 1):
            times += 1
        placed.append(part | ({"times": times} if times > 1 and "sum" not in part else {}))
        times *= max(highest_code(part) + 1, 10 if way == "figures" else 1)
    offset = one_of(draw, 0, 0, 0, 1, 7)
    largest = offset + sum(highest_code(each) * each.get("times", 1) for each in placed)
    cut = draw(st.integers(0, largest // 3)) if draw(st.integers(0, 5)) == 0 else 0
    row: Row = {"parts": placed, "highest": min(255, largest - cut)}
    return row | ({"offset": offset} if offset else {})


def with_delivered(draw, row: Row, count: int) -> Row:
    """Any value of it, once for each of `count` cells; one above 255 is refused afterwards."""
    values = [
        row.get("offset", 0)
        + sum(part.get("times", 1) * one_of(draw, *codes_in(part)) for part in row["parts"])
        for _ in range(count)
    ]
    highest = max(row["highest"], *values)
    return row | {"highest": highest, "delivered": values if count > 1 else values[0]}


LOOKS = (level_part, rate_part, lowest_part, time_part)
GATES = (direction_part, when_part, inverted_part)


def sum_of(draw, says: str, names: list[str], **more) -> Row:
    return {"says": says, "sum": {name: 1 << at for at, name in enumerate(names)}, **more}


@st.composite
def rows_of_decoder(draw) -> Row:
    """The rows of a file, by chance."""
    names = ["a", "b", "c"][: draw(st.integers(1, 3))]
    cells: list[tuple[Row, int]] = []
    own = [one_of(draw, effect_part, effect_part, run_part)] if draw(st.booleans()) else []
    own += some(draw, LOOKS + GATES, 0, 2)
    if draw(st.integers(0, 4)) == 0:
        own.append(other_part)
    keying = one_of(draw, "fixed", "fixed", "table", "own", "rules")
    if keying == "own":
        own.append(key_part)
    if own:
        row = packed(draw, [make(draw) for make in own])
        cells.append((row | {"each": 1, "cv": 120}, len(names)))
    if effect_part not in own and run_part not in own:
        way = one_of(draw, "sums", "modes", "none")
        if way == "sums":
            for kind in some(draw, ("fire", "blink"), 1, 2):
                cells.append((packed(draw, [sum_of(draw, "effect", names, set=kind)]), 1))
        elif way == "modes":
            each = dict.fromkeys(names, EFFECTS)
            modes = [{name: one_of(draw, *each[name]) for name in names} for _ in range(3)]
            cells.append((packed(draw, [{"says": "effect", "codes": codes_for(draw, modes)}]), 1))
    for make in some(draw, LOOKS, 0, 2):
        row = packed(draw, [make(draw)])
        if draw(st.booleans()):
            row["of"] = some(draw, names, 1, len(names))
        cells.append((row, 1))
    if draw(st.integers(0, 3)) == 0:
        cells.append((packed(draw, [level_part(draw) | {"while": "F2"}]), 1))
    if draw(st.integers(0, 3)) == 0:
        for says in some(draw, ("dark forward", "dark reverse"), 1, 2):
            cells.append((packed(draw, [sum_of(draw, says, names)]), 1))
    rules: list[str] = []
    if keying == "table":
        travels = one_of(draw, ("",), (" forward", " reverse"))
        at = {
            f"{key}{travel}": 150 + place
            for place, (key, travel) in enumerate(
                (key, travel) for key in KEYS[: one_of(draw, 1, 2)] for travel in travels
            )
        }
        cells.append((packed(draw, [sum_of(draw, "lights", names)]) | {"cv": at}, len(at)))
    elif keying == "rules":
        rules = ["rule 1", "rule 2"][: one_of(draw, 1, 2)]
        parts = [
            sum_of(draw, "lights", names),
            {"says": "key", "codes": {0: "never", 1: "F0", 2: "F1"}},
        ]
        width = 1 << len(names)
        parts[1]["times"] = width
        if draw(st.booleans()):
            parts.append(direction_part(draw) | {"times": 3 * width})
        highest = sum(highest_code(part) * part.get("times", 1) for part in parts)
        row = {"parts": parts, "highest": min(255, highest)}
        cells.append((row | {"cv": {rule: 150 + at for at, rule in enumerate(rules)}}, len(rules)))
    written = []
    for place, (row, count) in enumerate(cells):
        written.append(with_delivered(draw, {"cv": 160 + place} | row, count))
    return {
        "title": "Small",
        "rules": rules,
        "outputs": {name: {"key": one_of(draw, *KEYS, ALWAYS)} for name in names},
        "effects": draw(effect_rows()),
        "cells": written,
    } | ({"pwm": {"levels": one_of(draw, 3, 256)}} if draw(st.booleans()) else {})


MOST_VALUES = 4000
"""Values of all cells together that are all tried."""


def leaflet_of(rows: Row) -> Leaflet | None:
    try:
        return parse(Leaflet, rows)
    except InputError:
        return None


def product_of(leaflet: Leaflet) -> int:
    count = 1
    for cell in leaflet.cells.values():
        count *= len(cell.table)
    return count


small_leaflets = rows_of_decoder().map(leaflet_of).filter(lambda leaflet: leaflet is not None)


@st.composite
def patterns(draw) -> Row:
    kind = one_of(draw, "steady", "steady", "flicker", "flicker", "flash", "filament", "dark")
    if kind == "dark":
        return {"kind": "steady", "level": 0.0}
    if kind == "steady":
        return {"kind": kind, "level": one_of(draw, *SHARES[1:])}
    if kind == "filament":
        times = {"rise_s": one_of(draw, *TIMES), "fall_s": one_of(draw, 0.0, *TIMES)}
        return {"kind": kind, "level": one_of(draw, *SHARES[1:]), **times}
    low, high = sorted(some(draw, SHARES, 2, 2))
    if kind == "flicker":
        style = one_of(draw, "hold", "smooth")
        return {"kind": kind, "style": style, "lowest": low, "highest": high}
    times = {"period_s": one_of(draw, *TIMES), "on_share": one_of(draw, 0.1, 0.5)}
    return {"kind": kind, "lowest": low, "highest": high, **times}


@st.composite
def effects_on(draw, leaflet: Leaflet):
    """One or more lamps on outputs of a decoder."""
    lamps = {}
    for output in some(draw, leaflet.outputs, 1, 3):
        key = one_of(draw, *KEYS, "F9", ALWAYS)
        lamps[output.name] = {
            "output": output.number,
            "key": key,
            "travel": one_of(draw, "both", "both", "forward", "reverse"),
            "motion": one_of(draw, "both", "both", "both", "moving", "standing"),
            "while_off": key != ALWAYS and draw(st.integers(0, 4)) == 0,
            "pattern": draw(patterns()),
        }
        if draw(st.integers(0, 5)) == 0:
            lamps[output.name]["dim"] = {"F2": one_of(draw, 0.0, 0.5)}
    return effect(one_of(draw, *RATES), **lamps)


@st.composite
def held_by(draw, leaflet: Leaflet):
    """What a decoder holds: values that it allows, now and then one that it does not."""
    held = {}
    for cv, cell in leaflet.cells.items():
        allowed = st.sampled_from(sorted(cell.table))
        held[cv] = draw(st.integers(0, 255) if draw(st.integers(0, 9)) == 0 else allowed)
    return held


@st.composite
def cases(draw, most: int | None = None):
    """A decoder, an effect and what is held."""
    leaflets = small_leaflets
    if most is not None:
        leaflets = leaflets.filter(lambda leaflet: product_of(leaflet) <= most)
    leaflet = draw(leaflets)
    return leaflet, draw(effects_on(leaflet)), draw(held_by(leaflet))
