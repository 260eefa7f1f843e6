"""Whatever differs between two descriptions is found, and told in words."""

from __future__ import annotations

import copy
import tomllib

import pytest

from fxstudio.decoder.leaflet.files import shipped
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.renewal.alike import difference
from fxstudio.documents.reading import parse

CARROW = tomllib.loads(shipped()["carrow_lantern"].read_text("utf-8"))


def changed(*path_and_value):
    *path, last, value = path_and_value
    data = copy.deepcopy(CARROW)
    here = data
    for name in path:
        here = here[name]
    here[last] = value
    return parse(Leaflet, data)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("cells", 0, "delivered", 10), "the values as delivered"),
        (("cells", 1, "cv", 140), "the values as delivered"),
        (("outputs", "5", "limit_ma", 60), "the limit_ma of output 5"),
        (("pwm", "levels", 255), "how it dims"),
        (("cells", 4, "parts", 0, "even", "to", 101), "the values that CV121 may hold"),
        (("outputs", "3", "key", "F2"), "what output 3 does with"),
        (("effects", "hearth", "lowest", 0.36), "what output 1 does with CV131 = 11"),
        (("effects", "bulb", {"kind": "filament"}), "what output 1 does with CV131 = 30"),
        (("cells", 1, "parts", 0, "says", "dark forward"), "what output 1 does with"),
        (("cells", 3, "parts", 0, "points", 0, [5, 19.9]), "does with CV1"),
    ],
)
def test_a_change_is_found(change, told):
    assert told in difference(parse(Leaflet, CARROW), changed(*change))


def test_a_sentence_in_other_words_is_no_change():
    lit = {"says": "lit reverse"} | {"sum": {str(n + 1): 1 << n for n in range(6)}}
    dark = {"says": "dark reverse", "set": "no"} | {"sum": lit["sum"]}
    assert difference(parse(Leaflet, CARROW), changed("cells", 2, "parts", [dark])) is None
    assert CARROW["cells"][2]["parts"] == [lit]
