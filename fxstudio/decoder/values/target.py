"""What a decoder must hold so that an effect is seen, with all other bits as they are now."""

from __future__ import annotations

from collections.abc import Mapping

from fxstudio.dcc.cv import Bits, CvAddress
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.explain import explained_part, explains


def of_its_lamps(compiled: Compiled, held: Mapping[CvAddress, int]) -> dict[CvAddress, int]:
    """Present values with the bits of the effect's own lamps, and no others, as compiled.

    A value that is none of the manual's is replaced whole: what has no meaning in it goes back to
    what it is as delivered, but for bits that the description names as something else's. In the
    function map all keys of these outputs count: one that was given by hand must go.
    """
    target: dict[CvAddress, int] = {}
    asked, description = compiled.by_cv, compiled.description

    def put(bits: Bits, otherwise: int) -> None:
        cv = bits.address
        kept = target.get(cv, explained_part(description, cv, held[cv]))
        target[cv] = bits.put(kept, bits.get(asked.get(cv, otherwise)))

    for lamp in compiled.seen.lamps.values():
        for field in description.fields.values():
            bits = field.bits_of(description.index[lamp.output])
            cv = bits.address
            if cv in asked or not explains(description, cv, held[cv]):
                put(bits, explained_part(description, cv, held[cv]))
        for row in description.map_rows:
            if row.reaches(lamp.output):
                bits = row.bits_of(lamp.output)
                put(bits, description.works[bits.address])
    rate = description.rate.bits
    if rate and rate.address in asked:
        put(rate, description.works[rate.address])
    return target
