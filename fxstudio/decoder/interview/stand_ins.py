"""Check a description that is not finished: what is still missing is stood in for."""

from __future__ import annotations

import copy
from typing import Final

from fxstudio.dcc.cv import MAKER_RANGES
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.interview.question import TomlTable
from fxstudio.documents.reading import parse
from fxstudio.errors import FxError

OUT_OF_THE_WAY: Final = MAKER_RANGES[-1]
"""Where the CVs lie that stand in for those not yet known."""


def misfit(data: TomlTable, finished: bool = False) -> FxError | None:
    """What does not fit together in the tables of a description so far; None if all does.

    `finished` says that no more rows come to the tables that are there.
    """
    if len(data.get("rate", {}).get("curve", (0, 0))) < 2:
        return None  # one point is no curve yet
    try:
        parse(Description, _with_stand_ins(copy.deepcopy(data), finished))
    except FxError as error:
        return error
    return None


def _with_stand_ins(data: TomlTable, finished: bool) -> TomlTable:
    data.setdefault("title", "?")
    data.setdefault("function_map", "none")
    data.setdefault("outputs", [{"number": 1, "key": "F1", "current_ma": 1.0}])
    data.setdefault("pwm", {"levels": 2, "refresh_ms": 1.0})
    rate = data.setdefault("rate", {"cv": OUT_OF_THE_WAY.last})
    if "cv" in rate:
        curve = rate.setdefault("curve", [{"value": 0, "hz": 1.0}, {"value": 255, "hz": 2.0}])
        rate.setdefault("works", curve[0]["value"])
    free = [n for n in range(OUT_OF_THE_WAY.first, OUT_OF_THE_WAY.last) if n != rate.get("cv")]
    effect = data.setdefault("effect", {"cv": free[: len(data["outputs"])]})
    codes = effect.setdefault("codes", [])
    unused = set(range(1 << effect.get("bits", 8))) - {row["code"] for row in codes}
    if unused and "works" not in effect and not (finished and codes):
        codes.append({"code": min(unused), "name": "?", "pattern": {"kind": "steady"}})
    travel = data.get("travel", {})
    if travel:
        travel.setdefault("codes", [{"code": 0, "travel": "both"}])
    for table, first in ((effect, codes), (travel, travel.get("codes"))):
        if table:
            table.setdefault("works", first[0]["code"])
    for name in ("forward", "reverse", "level", "lowest"):
        if name in data:
            data[name].setdefault("works", 0)
    return data
