"""From an effect to the values a decoder must hold."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from fxstudio.dcc.cv import LARGEST_VALUE, Bits, CvAddress
from fxstudio.dcc.function_map import DIRECTIONS, MapRow, rows_for
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compromise import Compromise, compromises
from fxstudio.decoder.values.decode import decode_values, no_lamp_fits
from fxstudio.decoder.values.meaning import meaning
from fxstudio.decoder.values.nearest import nearest_gate, nearest_look
from fxstudio.documents.reading import changed
from fxstudio.effect.gate import Directed
from fxstudio.effect.model import Effect
from fxstudio.effect.patterns import Steady


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
    """What to write, what cannot be had, and what will be seen.

    values : every CV that the effect's lamps concern, in order of address
    compromises : all in which what will be seen differs from what was asked
    seen : the effect that the decoder will show with these values
    description : the decoder
    """

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

    Parameters
    ----------
    effect : what shall be seen
    description : the decoder

    The values are those of the CVs that the effect's lamps concern, in order of address; all
    other bits in them are as delivered. `seen` is decoded from these values, and the
    compromises are all its differences from `effect`.

    Raises InputError if no lamp is on an output of the decoder.
    """
    lamps = {n: lamp for n, lamp in effect.lamps.items() if lamp.output in description.index}
    if not lamps:
        raise no_lamp_fits(description)
    sheet = _Sheet(description)
    shared_hz = _shared_hz(effect, lamps)
    for name, lamp in lamps.items():
        index = description.index[lamp.output]
        # A lamp that never gives light asks for no more than that, whatever its pattern is called.
        wish = Steady(level=0.0) if lamp.pattern.is_dark else lamp.pattern
        look, dark = nearest_look(wish, effect.rate_of(name), shared_hz, index, description)
        shall_be_dark = lamp.pattern.is_dark and not dark
        travel = "both" if lamp.pattern.is_dark else lamp.travel  # a dark lamp has none to see
        shine = DIRECTIONS["none" if shall_be_dark else travel]
        rows = _rows(lamp.output, lamp.key, travel, description)
        gate, lit = nearest_gate(shine, rows, index, description)
        _write_keys(sheet, lamp.output, () if shall_be_dark and lit else rows)
        for part, code in (look | gate).items():
            sheet.put(description.fields[part].bits_of(index), code)
    seen = decode_values(sheet.values, description, effect)
    rate = description.rate
    if rate.bits and seen.flickering():
        code = rate.nearest(shared_hz)
        sheet.put(rate.bits, code)
        seen = changed(seen, rate_hz=rate.hz(code))
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


def _shared_hz(effect: Effect, lamps: Iterable[str]) -> float:
    """The one rate that suits most of `lamps` that flicker; among equals the shared one."""
    rates = [effect.rate_of(name) for name in lamps if effect.lamps[name].pattern.flickers]
    return max([effect.rate_hz, *rates], key=rates.count)


@dataclass
class _Sheet:
    """The CVs concerned so far, and which of their bits."""

    description: Description
    values: dict[CvAddress, int] = field(default_factory=dict)
    masks: dict[CvAddress, int] = field(default_factory=dict)

    def own(self, bits: Bits) -> None:
        """Count the bits as the effect's, whether or not they must change."""
        self.masks[bits.address] = self.masks.get(bits.address, 0) | bits.mask

    def put(self, bits: Bits, code: int) -> None:
        self.own(bits)
        before = self.values.get(bits.address, self.description.works[bits.address])
        self.values[bits.address] = bits.put(before, code)


def _rows(output: int, key: str, travel: Directed, description: Description) -> Sequence[MapRow]:
    """The rows of the function map that give an output a key.

    For a key that the map cannot give, those of the key the output has as delivered.
    """
    rows = description.map_rows
    delivered = description.outputs[description.index[output]].key
    return rows_for(rows, output, key, travel) or rows_for(rows, output, delivered, travel)


def _write_keys(sheet: _Sheet, output: int, chosen: Sequence[MapRow]) -> None:
    """Give an output its key and take all others away."""
    for row in sheet.description.map_rows:
        if row.reaches(output):
            bits = row.bits_of(output)
            sheet.own(bits)
            if row in chosen or bits.get(sheet.description.works[bits.address]):
                sheet.put(bits, int(row in chosen))
