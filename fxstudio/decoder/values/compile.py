"""From an effect to the values a decoder must hold."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from typing import Final

import numpy as np

from fxstudio.dcc.cv import LARGEST_VALUE, CvAddress, Place
from fxstudio.dcc.function_map import DIRECTIONS, Directions, rows_for
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compromise import Compromise, compromises
from fxstudio.decoder.values.decode import brightness, decode_values, ends, no_lamp_fits
from fxstudio.decoder.values.meaning import meaning
from fxstudio.effect.model import Effect, Lamp, Pattern

STAND_INS: Final[dict[str, tuple[str, ...]]] = {"beat": ("flicker", "steady")}
"""Kinds that may stand for a kind the decoder lacks, the best first. For a kind that is not
in the table a steady light stands in, which every decoder has."""


def _kinds_for(kind: str) -> tuple[str, ...]:
    return (kind, *STAND_INS.get(kind, ("steady",)))


@dataclass(frozen=True)
class Value:
    """One CV that the effect's lamps concern, whether or not it must be written.

    cv : its address
    value : what it must hold, 0..255
    meaning : what that says, in words
    works : what it holds as delivered
    mask : the bits that the effect's lamps set; all others are as delivered
    """

    cv: CvAddress
    value: int
    meaning: str
    works: int
    mask: int = LARGEST_VALUE

    @property
    def binary(self) -> str:
        """The value's bits, bit 7 first: `00100001`."""
        return f"{self.value:08b}"

    @property
    def shared(self) -> bool:
        """Whether some of its bits are not the effect's."""
        return self.mask != LARGEST_VALUE


@dataclass(frozen=True)
class Compiled:
    """What to write, what cannot be had, and what will be seen."""

    values: tuple[Value, ...]
    compromises: tuple[Compromise, ...]
    seen: Effect
    description: Description

    @property
    def by_cv(self) -> dict[CvAddress, int]:
        """The values by address, as `decode` takes them."""
        return {value.cv: value.value for value in self.values}


def compile_effect(effect: Effect, description: Description) -> Compiled:
    """The values for `effect` on a decoder, with every compromise named.

    Values are those of the CVs that the effect's lamps concern, in order of address; all
    other bits in them are as delivered. `seen` is decoded from these values, and the
    compromises are all its differences from `effect`.

    Raises InputError if no lamp is on an output of the decoder.
    """
    lamps = {n: lamp for n, lamp in effect.lamps.items() if lamp.output in description.index}
    if not lamps:
        raise no_lamp_fits(description)
    sheet = _Sheet(description)
    for lamp in lamps.values():
        index = description.index[lamp.output]
        switched = _write_keys(sheet, lamp, description)
        codes = {
            **_nearest_look(lamp.pattern, index, description),
            **_nearest_gate(DIRECTIONS[lamp.travel], switched, index, description),
        }
        for name, code in codes.items():
            sheet.put(description.fields[name].place(index), code)
    rate = description.rate
    if rate.place and decode_values(sheet.values, description, effect).flickering():
        sheet.put(rate.place, rate.nearest(effect.rate_hz))
    seen = decode_values(sheet.values, description, effect)
    names = {lamp.output: name for name, lamp in lamps.items()}
    values = tuple(
        Value(
            cv,
            value,
            meaning(cv, value, description, names),
            description.works[cv],
            sheet.masks[cv],
        )
        for cv, value in sorted(sheet.values.items(), key=lambda item: item[0].order)
    )
    return Compiled(values, compromises(effect, seen, description), seen, description)


@dataclass
class _Sheet:
    """The CVs concerned so far, and which of their bits."""

    description: Description
    values: dict[CvAddress, int] = field(default_factory=dict)
    masks: dict[CvAddress, int] = field(default_factory=dict)

    def own(self, place: Place) -> None:
        """Count the bits as the effect's, whether or not they must change."""
        self.masks[place.address] = self.masks.get(place.address, 0) | place.mask

    def put(self, place: Place, code: int) -> None:
        self.own(place)
        before = self.values.get(place.address, self.description.works[place.address])
        self.values[place.address] = place.put(before, code)


def _write_keys(sheet: _Sheet, lamp: Lamp, description: Description) -> Directions:
    """Give the output its key and take all others away; the directions it is switched in.

    A key that the map cannot give leaves the key the output has as delivered.
    """
    rows, output = description.map_rows, description.outputs[description.index[lamp.output]]
    if not rows:
        return DIRECTIONS[output.travel]
    chosen = rows_for(rows, lamp.output, lamp.key, lamp.travel) or rows_for(
        rows, lamp.output, output.key, lamp.travel
    )
    for row in rows:
        if row.reaches(lamp.output):
            place = row.place(lamp.output)
            sheet.own(place)
            if row in chosen or place.get(description.works[place.address]):
                sheet.put(place, int(row in chosen))
    return frozenset[str]().union(*(DIRECTIONS[row.travel] for row in chosen))


def _nearest_gate(
    asked: Directions, switched: Directions, index: int, description: Description
) -> dict[str, int]:
    """Codes of the fields that gate by travel, by name of the field.

    The lamp must shine in some direction, then in as few wrong ones as can be had; among
    equals the fields say just what is seen, and change as little as possible.
    """
    gates = {n: f for n, f in description.fields.items() if n in ("travel", "forward", "reverse")}

    def misfit(codes: tuple[int, ...]) -> tuple[bool, int, int]:
        permitted = DIRECTIONS["both"]
        for code, gate in zip(codes, gates.values(), strict=True):
            permitted &= gate.meanings[code]
        seen = switched & permitted
        return not seen, len(seen ^ asked), len(permitted ^ seen)

    choices = product(*(gate.codes_works_first(index) for gate in gates.values()))
    return dict(zip(gates, min(choices, key=misfit), strict=True))


def _nearest_look(asked: Pattern, index: int, description: Description) -> dict[str, int]:
    """Codes of effect, level and lowest that look most like `asked`, by name of the field.

    A light of one brightness is as bright as `asked` is in the mean.
    """
    scales = {n: description.fields[n] for n in ("level", "lowest") if n in description.fields}
    codes = {name: scale.codes_works_first(index) for name, scale in scales.items()}
    shares = {n: np.array([scales[n].meanings[code] for code in codes[n]]) for n in scales}
    wish_highest, wish_lowest = ends(asked)
    best: tuple[tuple[float, ...], dict[str, int]] | None = None
    for effect_code in description.effect.codes_works_first(index):
        pattern = description.effect.meanings[effect_code]
        if pattern.kind not in _kinds_for(asked.kind):
            continue
        highest, lowest = brightness(
            pattern, shares.get("level", np.ones(1))[:, None], shares.get("lowest"),
            description.pwm.levels,
        )  # fmt: skip
        misfit = abs(highest - (asked.mean if lowest is None else wish_highest))
        if lowest is not None and wish_lowest is not None:
            misfit = misfit + abs(lowest - wish_lowest)
        nearest = np.unravel_index(np.argmin(misfit), misfit.shape)
        rank = (*_kinship(asked, pattern), float(misfit[nearest]))
        if best is None or rank < best[0]:
            chosen = dict(zip(("level", "lowest"), nearest, strict=True))
            used = [n for n in scales if n != "lowest" or lowest is not None]
            best = rank, {"effect": effect_code} | {n: codes[n][chosen[n]] for n in used}
    return best[1]


def _kinship(asked: Pattern, pattern: Pattern) -> tuple[float, ...]:
    """How far a pattern is from `asked` in kind, style and times; brightness left aside."""
    rank = _kinds_for(asked.kind).index(pattern.kind)
    if rank:
        return (rank, 0.0)
    distance = 0.0
    for name in type(asked).model_fields:
        if name in ("kind", "level", "lowest", "highest"):
            continue
        wish, has = getattr(asked, name), getattr(pattern, name)
        if isinstance(wish, str):
            distance += wish != has
        elif wish != has:
            distance += abs(wish - has) / max(abs(wish), abs(has))
    return (rank, distance)
