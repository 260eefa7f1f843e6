"""Descriptions in cells with something changed at random: a person's slips, and nonsense."""

from __future__ import annotations

import copy
import random
import tomllib
from pathlib import Path

from fxstudio.decoder.leaflet.files import shipped
from fxstudio.decoder.leaflet.rows import AlsoRow, CellRow, EffectRow, OutputRow, PartRow, RangeRow
from fxstudio.decoder.leaflet.says import PROPERTIES, SAYS, SPECIAL_SAYS, WHEN
from fxstudio.documents.models import file_fields

LARGE = Path(__file__).parents[2] / "benchmarks" / "bramble_tor.toml"
FILES = [*sorted((Path(__file__).parent / "files").glob("*.toml")), LARGE]
READ = [tomllib.loads(path.read_text("utf-8")) for path in (*FILES, *shipped().values())]
FIELDS = sorted(
    {
        name
        for model in (AlsoRow, CellRow, EffectRow, OutputRow, PartRow, RangeRow)
        for name in file_fields(model)
    }
    | {"title", "keys", "rules", "limits", "pwm", "effects", "cells", "outputs", "first", "last"}
)
WORDS = [*PROPERTIES, *SAYS, *SPECIAL_SAYS, *WHEN, *FIELDS, "F0", "F3", "F28", "F29", "dark"]
WORDS += ["unknown", "not allowed", "never", "always", "1", "2", "A", "steady", "F0 forward", ""]
WORDS += ["٣", "x" * 90, "31", "-1", "1e3", "[bold]", "{0}", "ü", "a.b", "0x1"]
NUMBERS = [0, 1, 2, 3, 5, 8, 15, 16, 64, 127, 200, 254, 255, 256, 1024, 1025, -1, 10**9, 10**400]
NUMBERS += [0.0, 0.5, 1.0, 1.5, -0.5, 1e-9, 1e9, 1e308, float("inf"), float("nan"), -0.0]


def anything(draw: random.Random, depth: int = 2) -> object:
    """Any value that TOML has, or one that a file is likely to have there."""
    kinds = ["number", "word", "word", "bool", "date"] + ["list", "table", "part"] * (depth > 0)
    kind = draw.choice(kinds)
    if kind == "number":
        return draw.choice(NUMBERS)
    if kind == "word":
        return draw.choice(WORDS)
    if kind == "bool":
        return draw.random() < 0.5
    if kind == "date":
        return tomllib.loads("x = 2026-01-01")["x"]
    many = range(draw.choice([0, 1, 2, 2, 3, 9]))
    if kind == "list":
        return [anything(draw, depth - 1) for _ in many]
    if kind == "table":
        return {draw.choice(WORDS): anything(draw, depth - 1) for _ in many}
    return part(draw)


def alike(draw: random.Random, value: object) -> object:
    """Another value of the same type."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return draw.choice([each for each in NUMBERS if type(each) is type(value)])
    if isinstance(value, str):
        return draw.choice(WORDS)
    if isinstance(value, list):
        return [alike(draw, each) if draw.random() < 0.3 else each for each in value]
    if isinstance(value, dict):
        return part(draw) if "says" in value else dict(draw.sample(list(value.items()), len(value)))
    return anything(draw)


def part(draw: random.Random) -> dict[str, object]:
    """A part with one meaning or several, its figures at random."""
    codes = {"from": draw.choice(NUMBERS[:7]), "to": draw.choice(NUMBERS[4:14])}
    ends = {"first": draw.choice(NUMBERS), "last": draw.choice(NUMBERS)}
    ways = {
        "codes": {str(draw.choice(NUMBERS[:13])): anything(draw, 1) for _ in range(3)},
        "even": draw.choice([{}, codes, codes | ends]),
        "ratio": codes | ends,
        "points": [[draw.choice(NUMBERS[:13]), draw.choice(NUMBERS)] for _ in range(3)],
        "each_s": draw.choice(NUMBERS),
        "each_hz": draw.choice(NUMBERS),
        "ranges": [
            codes | {draw.choice(list(PROPERTIES)): anything(draw, 1) for _ in range(2)}
            for _ in range(2)
        ],
        "unknown": codes | draw.choice([{}, {"rising": True}]),
        "keys": codes | draw.choice([{}, {"first": "F3"}]),
        "sum": {draw.choice(WORDS): draw.choice(NUMBERS) for _ in range(3)},
    }
    chosen = draw.sample(list(ways), draw.choice([0, 1, 1, 1, 1, 2]))
    more = draw.sample(["times", "of", "of_effect", "while", "set", "plus", "in_s", "within"], 1)
    says = draw.choice([*SAYS, *SPECIAL_SAYS, ["level", "lowest"], ["time on", "time off"]])
    row: dict[str, object] = {"says": says} | {way: ways[way] for way in chosen}
    return row | ({name: anything(draw, 1) for name in more} if draw.random() < 0.4 else {})


def spoiled(seed: int) -> dict[str, object]:
    """A description with one to four changes; the same for the same seed."""
    draw = random.Random(seed)
    data = copy.deepcopy(draw.choice(READ))
    for _ in range(draw.choice([1, 1, 2, 4])):
        places = list(_places(data))
        table, name = draw.choice(places)
        how = draw.random()
        if how < 0.2:
            table[name] = anything(draw)
        elif how < 0.45:
            table[name] = alike(draw, table[name])
        elif how < 0.55:
            del table[name]
        elif how < 0.65 and isinstance(table[name], int | float):
            table[name] = table[name] * draw.choice([2, 3, 10]) + draw.choice([-1, 0, 1])
        elif how < 0.8 and isinstance(table, list):
            table.append(copy.deepcopy(draw.choice([table[name], part(draw)])))
        elif how < 0.9 and isinstance(table, dict):
            table[draw.choice(FIELDS)] = anything(draw)
        else:
            other, there = draw.choice(places)
            table[name] = copy.deepcopy(other[there]) if _has(other, there) else 0
    return data


def _has(table: object, name: object) -> bool:
    return name in table if isinstance(table, dict) else name < len(table)  # type: ignore[operator]


def _places(data: object):
    """Every table or list with each name or place in it."""
    inside = data.items() if isinstance(data, dict) else enumerate(data)  # type: ignore[arg-type]
    for name, value in list(inside):
        yield data, name
        if isinstance(value, dict | list):
            yield from _places(value)
