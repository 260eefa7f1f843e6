"""A lamp that would be dark where it shall shine must be accepted before values are shown."""

from __future__ import annotations

from decoders import GLIM, said_as, said_of

from fxstudio.editing.studio import Studio

DIM = {"kind": "steady", "level": 0.0}


def test_what_is_grave_is_accepted_once_and_anew_when_it_changes():
    data = said_of(GLIM)
    del data["level"]
    data["effect"] |= {"codes": [{"code": 0, "name": "none", "pattern": DIM}], "works": 0}
    studio = Studio()
    studio.decoder.leaflet = said_as(data)
    studio.refresh()
    lamps = list(studio.effect.lamps)
    assert [row.lamp for row in studio.decoder.grave] == lamps
    studio.decoder.accept_grave()
    assert studio.decoder.grave == ()
    studio.decoder.leaflet = said_as(data | {"title": "Another"})
    studio.refresh()
    assert [row.lamp for row in studio.decoder.grave] == lamps
