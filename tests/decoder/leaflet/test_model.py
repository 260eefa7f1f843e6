"""Each mistake in a description by cells is told once, by field, with what is allowed."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path

import pytest

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import parse
from fxstudio.errors import InputError, counted

FILES = Path(__file__).parent / "files"
READ = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in FILES.glob("*.toml")}


def at(data, path):
    for name in path:
        data = data[name]
    return data


def changed(name: str, path: tuple, value: object):
    """A description with one field set anew."""
    data = copy.deepcopy(READ[name])
    at(data, path[:-1])[path[-1]] = value
    return data


# Places in marsh_hollow: effects of outputs, level of two outputs, on-time of the strobe.
EFFECTS, LEVEL, ON = ("cells", 0), ("cells", 1), ("cells", 4)
CODES = (*EFFECTS, "parts", 0, "codes")

MISTAKES = [
    # Sums.
    ((*EFFECTS, "parts", 1, "times"), 4, (*EFFECTS, "parts"), "4 is code 0 of", "all sums differ"),
    ((*EFFECTS, "parts", 1, "times"), 127, (*EFFECTS, "parts"), "no CV can hold it", "up to 255"),
    ((*EFFECTS, "parts", 1, "times"), 256, None, "is too large", "from 1 to 255"),
    ((*EFFECTS, "offset"), 250, (*EFFECTS, "parts"), "no CV can hold it", "up to 255"),
    # Values as delivered.
    ((*EFFECTS, "delivered"), 15, None, "is no sum of what its parts allow in CV114", "13, 14"),
    ((*EFFECTS, "delivered"), "6", None, "has the wrong type", '255, or "unknown", or a table'),
    ((*EFFECTS, "delivered"), [6, 11, 1, 1], None, "has too few entries", "5 in all"),
    ((*EFFECTS, "delivered"), [1] * 6, None, "has too many entries", "5 in all"),
    ((*EFFECTS, "delivered", "grey"), 1, None, "is no cell of this row", "white, yellow, green"),
    ((*EFFECTS, "delivered", "white"), 256, None, "is too large", "0 to 255"),
    ((*ON, "delivered"), 0, None, "is no sum of what its parts allow in CV142", "1 to 250"),
    # Names.
    ((*CODES, "3"), "strob", None, "is not an effect", "strobe"),
    ((*CODES, "256"), "dark", CODES, "gives a meaning to 256, which is no code", "0 to 255"),
    ((*CODES, "one"), "dark", CODES, "gives a meaning to one, which is no code", "0 to 255"),
    ((*ON, "parts", 0, "of_effect"), "strob", None, "is not an effect", "strobe"),
    ((*LEVEL, "of"), ["grey"], None, "is no output", "white, yellow, green, violet, brown"),
    ((*LEVEL, "parts", 0, "of"), "grey", None, "is no output", "white, yellow, green"),
    (("limits",), [{"of": "grey", "limit_ma": 9}], ("limits", 0, "of"), "is no output", "white"),
    (("outputs", "white", "like"), "yellow", None, "goes round in a circle", "not, by others"),
    (("outputs", "white", "like"), "white", None, "goes round in a circle", "not, by others"),
    (("outputs", "yellow", "like"), "grey", None, "is no other output", "white, green"),
    (("outputs", "yellow", "number"), 1, None, "is another output's too", "each number once"),
    (("effects", "strobe", "kind"), "flicker2", None, "is not one of the choices", '"flash"'),
    (("effects", "strobe", "style"), "hold", None, "is nothing that a flash has", "period_s"),
    (("effects", "strobe", "lowest"), "deep", None, "has the wrong type", 'or "unknown"'),
    (("effects", "strobe", "rate_hz"), -1.0, None, "is too small", "0.001 to 1000"),
    (("effects", "strobe", "rate_hz"), "fast", None, "has the wrong type", 'or "unknown"'),
    # CVs.
    ((*LEVEL, "cv"), 126, ("cells", 2, "cv"), "CV126 stands in another row too", "one row"),
    ((*LEVEL, "cv"), 29, None, "is not in a range left to makers", "112 to 256"),
    ((*LEVEL, "cv"), 8, None, "the maker's number", "112 to 256"),
    ((*LEVEL, "cv"), 300, None, "CV300", "257 to 512 with a page"),
    ((*LEVEL, "cv"), 1025, None, "is too large", "1 to 1024"),
    ((*LEVEL, "cv"), "125", None, "has the wrong type", "1 to 1024, or a table"),
    ((*LEVEL, "cv"), {"grey": 125}, (*LEVEL, "cv", "grey"), "is none of them", "an output, a key"),
    ((*LEVEL, "page"), {"31": 3, "32": 4}, None, "is no page for makers", "CV31 from 16 to 255"),
    ((*LEVEL, "cv"), {"white": 180, "yellow": 180}, None, "CV180 stands twice", "one row for"),
    ((*LEVEL, "page"), "16", None, "has the wrong type", "a list, or a table"),
    (
        (*LEVEL, "of"),
        3,
        None,
        "has the wrong type",
        'text in "quotes", at most 80 letters, or a list',
    ),
    ((*LEVEL, "parts", 0, "says"), "dim", None, "is not one of the choices", '"level", "lowest"'),
    ((*LEVEL, "parts", 0), {"even": {}}, (*LEVEL, "parts", 0, "says"), "is missing", '"level"'),
    ((*CODES, "3"), ["strobe"], None, "is not an effect", "strobe"),
    (
        (*EFFECTS, "parts", 1, "codes", "1"),
        {"x": []},
        (*EFFECTS, "parts", 1, "codes", "1", "x"),
        "is no property and no output",
        "level",
    ),
    (("effects", "strobe", "on_share"), 1.5, None, "is too large", "above 0 below 1"),
    (("before",), {"one": 3}, ("before", "one"), "is no CV", "1 to 1024"),
    # Meanings.
    ((*LEVEL, "parts", 0, "each_s"), 0.1, None, "stands beside even", "one meaning for each part"),
    ((*LEVEL, "parts", 0), {"says": "level"}, None, "does not say what its codes mean", "even"),
    ((*LEVEL, "parts", 0, "even"), 63, None, "has the wrong type", "a table with from, to"),
    ((*LEVEL, "parts", 0, "evn"), 63, None, "is not a known field", "from, to, says"),
    ((*LEVEL, "parts", 0, "while"), "F29", None, "is not a function key", "F0 to F28"),
    (
        (*LEVEL, "parts", 0),
        {"says": "level", "points": [[0], [63, 1.0]]},
        (*LEVEL, "parts", 0, "points", 0, 1),
        "is missing",
        "a number",
    ),
    (
        (*LEVEL, "parts", 0),
        {"says": "level", "points": [[0, 0.0], [63, "full"]]},
        (*LEVEL, "parts", 0, "points", 1, 1),
        "has the wrong type",
        "a number",
    ),
    (
        (*LEVEL, "parts", 0),
        {"says": "rate", "each_s": -0.5, "from": 1},
        (*LEVEL, "parts", 0, "each_s"),
        "gives code 1 a rate of -2",
        "a number from 0.001 to 1000",
    ),
    (
        (*ON, "parts", 0),
        {"says": "rate", "each_hz": 0.5, "from": 0},
        (*ON, "parts", 0, "from"),
        "would be a rate without end, or none",
        "from = 1",
    ),
]


@pytest.mark.parametrize(("path", "value", "field", "problem", "allowed"), MISTAKES)
def test_a_mistake_is_told_once_by_field_with_what_is_allowed(path, value, field, problem, allowed):
    with pytest.raises(InputError) as caught:
        parse(Leaflet, changed("marsh_hollow", path, value))
    error = caught.value
    written = (
        f'"{name}"' if str(name).isdigit() and isinstance(name, str) else str(name)
        for name in field or path
    )
    assert error.field == ".".join(written)
    assert problem in error.problem
    assert error.allowed is not None
    assert allowed in error.allowed
    assert not error.more
    assert str(error).startswith(f"field '{counted(error.field)}': ")


def test_a_row_of_which_no_cell_can_be_there_is_told_once():
    with pytest.raises(InputError) as caught:
        parse(Leaflet, changed("tarn_end", ("cells", 0, "page"), None))
    assert caught.value.field == "cells.0.cv"
    assert "CV257 needs a page" in caught.value.problem
    assert not caught.value.more


def test_sums_over_255_are_left_out_where_the_leaflet_has_a_highest_value():
    data = changed("heron_weir", ("cells", 0, "highest"), None)
    with pytest.raises(InputError, match="no CV can hold it"):
        parse(Leaflet, data)
    cell = parse(Leaflet, READ["heron_weir"]).cells[CvAddress(140)]
    assert max(cell.table) == 239
    assert not cell.is_free


def test_a_lock_of_the_whole_decoder_goes_round_that_of_a_cell():
    data = copy.deepcopy(READ["rook_lane"])
    data |= {"before": {"115": 7}, "after": {"115": 0}}
    data["cells"][0] |= {"before": {"116": 1}, "after": {"116": 0}}
    lock = parse(Leaflet, data).cells[CvAddress(120)].lock
    assert [cv.number for cv, _ in lock.before] == [115, 116]
    assert [cv.number for cv, _ in lock.after] == [116, 115]


def test_an_output_with_a_number_for_its_name_is_no_entry_of_a_list():
    data = changed("heron_weir", ("outputs", "3", "key"), "F99")
    with pytest.raises(InputError) as caught:
        parse(Leaflet, data)
    assert """field 'outputs."3".key'""" in str(caught.value)


def test_a_place_in_a_list_of_lists_is_told_in_words():
    assert counted("points.0.1") == "points, entry 1, entry 2"
