"""What a decoder must hold so that an effect is seen, given what it holds now."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.decode import Decoded, decode
from fxstudio.errors import InputError


def only_what_shows(
    compiled: Compiled, held: Mapping[CvAddress, int], description: Description
) -> dict[CvAddress, int]:
    """What a decoder that holds `held` must hold to show an effect, written as little as can be.

    Of the bits of the effect's lamps those without which something else would be seen; all
    others as they are.
    """
    target = _of_its_lamps(compiled, held, description)

    def seen(values: Mapping[CvAddress, int]) -> Decoded | None:
        known = {cv: values.get(cv, held[cv]) for cv in description.works}
        with suppress(InputError):  # what it holds now may mean nothing
            return decode(known, description, compiled.seen)
        return None

    goal, needed = seen(target), dict(target)
    for cv, value in target.items():
        if value != held[cv] and seen({**needed, cv: held[cv]}) == goal is not None:
            needed[cv] = held[cv]
    return needed


def _of_its_lamps(
    compiled: Compiled, held: Mapping[CvAddress, int], description: Description
) -> dict[CvAddress, int]:
    """Present values with the bits of the effect's own lamps, and no others, as compiled.

    In the function map all keys of these outputs count: one that was given by hand must go.
    """
    target: dict[CvAddress, int] = {}
    asked = compiled.by_cv
    places = [
        field.place(description.index[lamp.output])
        for lamp in compiled.seen.lamps.values()
        for field in description.fields.values()
    ]
    places += [description.rate.place] if description.rate.place else []
    places = [place for place in places if place.address in asked]
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
