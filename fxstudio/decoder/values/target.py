"""What a decoder must hold so that an effect is seen, with all other bits as they are now."""

from __future__ import annotations

from collections.abc import Mapping

from fxstudio.dcc.cv import CvAddress
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
    fields = [
        field.place(description.index[lamp.output])
        for lamp in compiled.seen.lamps.values()
        for field in description.fields.values()
    ]
    places = [
        place
        for place in fields
        if place.address in asked or not explains(description, place.address, held[place.address])
    ]
    places += [place for place in [description.rate.place] if place and place.address in asked]
    places += [
        row.place(lamp.output)
        for lamp in compiled.seen.lamps.values()
        for row in description.map_rows
        if row.reaches(lamp.output)
    ]
    for place in places:
        cv = place.address
        kept = target.get(cv, explained_part(description, cv, held[cv]))
        target[cv] = place.put(kept, place.get(asked[cv])) if cv in asked else kept
    return target
