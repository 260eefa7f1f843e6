"""What a decoder must hold so that an effect is seen, with all other bits as they are now."""

from __future__ import annotations

from collections.abc import Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.values.compile import Compiled


def of_its_lamps(compiled: Compiled, held: Mapping[CvAddress, int]) -> dict[CvAddress, int]:
    """Present values with the bits of the effect's own lamps, and no others, as compiled.

    A code of theirs that has no meaning goes back to the one as delivered, if the effect does not
    set it. In the function map all keys of these outputs count: one that was given by hand must go.
    """
    target: dict[CvAddress, int] = {}
    asked, description = compiled.by_cv, compiled.description
    fields = [
        (field, field.place(description.index[lamp.output]))
        for lamp in compiled.seen.lamps.values()
        for field in description.fields.values()
    ]
    places = [
        place
        for field, place in fields
        if place.address in asked or place.get(held[place.address]) not in field.meanings
    ]
    places += [place for place in [description.rate.place] if place and place.address in asked]
    places += [
        row.place(lamp.output)
        for lamp in compiled.seen.lamps.values()
        for row in description.map_rows
        if row.reaches(lamp.output)
    ]
    for place in places:
        code = place.get(asked.get(place.address, description.works[place.address]))
        target[place.address] = place.put(target.get(place.address, held[place.address]), code)
    return target
