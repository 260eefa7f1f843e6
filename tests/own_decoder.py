"""A decoder model of the tests' own: light by key and direction, from the rows of a description.

It shares no code with `decode`: it reads bits, tables and the function map by itself.
"""

from __future__ import annotations

import numpy as np
from decoders import EARLIER

from fxstudio.dcc.cv import CvAddress

DIRECTIONS = {
    "both": {"forward", "reverse"},
    "forward": {"forward"},
    "reverse": {"reverse"},
    "none": set(),
}

# NMRA S-9.2.2 (2012): CV, key, direction and the output of bit 0, read in a public retyped copy.
FUNCTION_MAP = [
    (33, "F0", "forward", 1),
    (34, "F0", "reverse", 1),
    *((34 + n, f"F{n}", "both", 1) for n in (1, 2, 3)),
    *((34 + n, f"F{n}", "both", 4) for n in (4, 5, 6, 7, 8)),
    *((34 + n, f"F{n}", "both", 7) for n in (9, 10, 11, 12)),
]


class UnknownError(Exception):
    """The description has no meaning for what a CV holds."""


def _where(field, index):
    bit = field.bit + index * field.bit_step
    number = field.cv[index] if len(field.cv) > 1 else field.cv[0] + index * field.cv_step
    page = field.page and (field.page[0], field.page[1] + index * field.page_step)
    return CvAddress(number + bit // 8, page), bit % 8


def _code(field, index, held):
    cv, bit = _where(field, index)
    return held[cv] // 2**bit % 2**field.bits


def _check_bits(decoder, index, held, asked):
    """A bit of which the description says nothing is as delivered, which it takes to be 0.

    Of the CVs that hold a field of `asked`: what makes no difference may be any value.
    """
    names = ("effect", "travel", "forward", "reverse", "level", "lowest")
    fields = [getattr(decoder, name) for name in names if getattr(decoder, name)]
    minded = [getattr(decoder, name) for name in asked if getattr(decoder, name)]
    said, mine = {}, set()
    for at in range(len(decoder.outputs)):
        for field in fields:
            cv, bit = _where(field, at)
            said[cv] = said.get(cv, 0) | (2**field.bits - 1) << bit
            mine |= {cv} if at == index and field in minded else set()
    for kept in decoder.keep:
        cv = CvAddress(kept.cv, kept.page)
        said[cv] |= (2**kept.bits - 1) << kept.bit
    if any(held[cv] & ~said[cv] for cv in mine):
        raise UnknownError


def _share(field, index, held):
    if field is None:
        return None
    code = _code(field, index, held)
    table = field.shares or [n / (field.full or 2**field.bits - 1) for n in range(256)]
    highest = len(field.shares) - 1 if field.shares else field.full or 2**field.bits - 1
    if code > highest:
        raise UnknownError
    return table[code]


def light(decoder, number, held):
    """{(key, direction): (darkest, brightest, how it changes, rate)} of one output; {} if dark."""
    decoder = EARLIER[id(decoder)]
    index = [output.number for output in decoder.outputs].index(number)
    _check_bits(decoder, index, held, ("travel", "forward", "reverse"))
    permitted = {"forward", "reverse"}
    if decoder.travel:
        codes = {row.code: row.travel for row in decoder.travel.codes}
        if _code(decoder.travel, index, held) not in codes:
            raise UnknownError
        permitted &= DIRECTIONS[codes[_code(decoder.travel, index, held)]]
    for direction in ("forward", "reverse"):
        switch = getattr(decoder, direction)
        if switch and _code(switch, index, held) != switch.on:
            permitted -= {direction}
    output = decoder.outputs[index]
    keys = [(output.key, output.travel)]
    if decoder.function_map == "s-9.2.2":
        keys = [
            (key, travel)
            for cv, key, travel, first in FUNCTION_MAP
            if first <= number < first + 8 and held[CvAddress(cv)] >> (number - first) & 1
        ]
    lit = {(key, way) for key, travel in keys for way in DIRECTIONS[travel] & permitted}
    if not lit:
        return {}
    _check_bits(decoder, index, held, ("effect",))
    rows = {row.code: row.pattern for row in decoder.effect.codes}
    code = _code(decoder.effect, index, held)
    if code not in rows:
        raise UnknownError
    pattern = rows[code].model_dump()
    if pattern["kind"] == "dark":
        return {}
    varies = "lowest" in type(rows[code]).model_fields
    _check_bits(decoder, index, held, ("level", "lowest") if varies else ("level",))
    level, lowest = (
        _share(field, index, held) for field in (decoder.level, decoder.lowest if varies else None)
    )
    level = 1.0 if level is None else level
    top = pattern.pop("highest", None) or pattern.pop("level", 0.0)
    bottom = pattern.pop("lowest", top)
    if varies and lowest is not None:
        bottom = top * lowest
    steps = decoder.pwm.levels - 1
    ends = tuple(float(np.rint(level * end * steps) / steps) for end in (bottom, top))
    flat = ends[0] == ends[1] and pattern["kind"] != "filament"
    how = "steady" if flat else tuple(sorted(pattern.items()))
    rate = None
    if pattern["kind"] == "flicker":
        rate = decoder.rate.fixed_hz
        if rate is None:
            value = held[CvAddress(decoder.rate.cv, decoder.rate.page)]
            values, hz = zip(*((p.value, p.hz) for p in decoder.rate.curve), strict=True)
            if not values[0] <= value <= values[-1]:
                raise UnknownError
            rate = float(np.interp(value, values, hz))
    if ends[1] == 0:
        return {}
    return dict.fromkeys(lit, (*ends, how, None if flat else rate))


def shown(decoder, numbers, held):
    """Light of several outputs by number; None where it is not known."""
    found = {}
    for number in numbers:
        try:
            found[number] = light(decoder, number, held)
        except UnknownError:
            found[number] = None
    return found
