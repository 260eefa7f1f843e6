"""A lamp that would be dark where it shall shine must be accepted before values are shown."""

from __future__ import annotations

from decoders import GLIM

from fxstudio.decoder.description.model import Description
from fxstudio.documents.reading import parse
from fxstudio.editing.studio import Studio

DIM = {"kind": "steady", "level": 0.0}


def test_what_is_grave_is_accepted_once_and_anew_when_it_changes():
    data = GLIM.model_dump(exclude_unset=True, exclude={"level"})
    data["effect"] |= {"codes": [{"code": 0, "name": "none", "pattern": DIM}], "works": 0}
    studio = Studio()
    studio.decoder.description = parse(Description, data)
    studio.refresh()
    lamps = list(studio.effect.lamps)
    assert [row.lamp for row in studio.decoder.grave] == lamps
    studio.decoder.accept_grave()
    assert studio.decoder.grave == ()
    studio.decoder.description = parse(Description, data | {"title": "Another"})
    studio.refresh()
    assert [row.lamp for row in studio.decoder.grave] == lamps
