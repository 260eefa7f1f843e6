"""Which values of a CV a description explains, and what is kept of one that it does not."""

from __future__ import annotations

from collections.abc import Iterator

from fxstudio.dcc.cv import LARGEST_VALUE, Bits, CvAddress
from fxstudio.decoder.description.fields import OutputField
from fxstudio.decoder.description.model import Description


def explains(description: Description, cv: CvAddress, value: int) -> bool:
    """Whether `value` is one that the manual allows in `cv`, as far as the description says it.

    Every code has a meaning, and a bit of which it says nothing is as delivered.
    """
    rate = description.rate
    if cv == rate.address:
        return rate.lowest <= value <= rate.highest
    return cv in description.works and value == explained_part(description, cv, value)


def foreign_bits(description: Description, cv: CvAddress, value: int) -> int:
    """The bits, as a mask, of which the description says nothing and that are not as delivered."""
    return (value ^ description.works[cv]) & description.unnamed[cv]


def explained_part(description: Description, cv: CvAddress, value: int) -> int:
    """`value` with all that has no meaning in it as delivered.

    What stays are codes with a meaning, bits that the description names as something else's,
    and bits of the function map.
    """
    works, known = description.works[cv], LARGEST_VALUE & ~description.unnamed[cv]
    value = value & known | works & ~known
    for field, bits in _fields(description, cv):
        if bits.get(value) not in field.meanings:
            value = bits.put(value, bits.get(works))
    return value


def _fields(description: Description, cv: CvAddress) -> Iterator[tuple[OutputField, Bits]]:
    for field in description.fields.values():
        for index in range(len(description.outputs)):
            bits = field.bits_of(index)
            if bits.address == cv:
                yield field, bits
