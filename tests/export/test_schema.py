"""JSON Schema of the files: an independent validator agrees with fxstudio's own checks.

The reference is the library `jsonschema`, which implements JSON Schema draft 2020-12.
"""

from __future__ import annotations

import copy
import json
import tomllib
from pathlib import Path

import pytest
from decoders import DECODERS, EARLIER
from earlier_files import EARLIER_FILES
from hypothesis import given, settings
from jsonschema import Draft202012Validator
from strategies import effects

from fxstudio.decoder.leaflet.files import shipped
from fxstudio.decoder.renewal.renew import renewal_of
from fxstudio.decoder.values.lists import values_text
from fxstudio.documents.reading import parse
from fxstudio.effect.files import shipped_effects as effect_files
from fxstudio.effect.writing import to_text
from fxstudio.errors import InputError
from fxstudio.export.schema import MODELS, schema_of, schema_text
from fxstudio.scenes.catalogue import SCENES

VALIDATORS = {kind: Draft202012Validator(schema_of(kind)) for kind in MODELS}


def refused(kind: str, data: object) -> list[str]:
    """Paths of all that the schema refuses."""
    return [error.json_path for error in VALIDATORS[kind].iter_errors(data)]


@pytest.mark.parametrize("kind", MODELS)
def test_each_is_a_schema_and_says_what_every_field_means(kind):
    text = json.loads(schema_text(kind))
    Draft202012Validator.check_schema(text)
    assert text["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    for table in [text, *text.get("$defs", {}).values()]:
        for name, field in table.get("properties", {}).items():
            assert field.get("description") or name == "kind", name
            assert "null" not in str(field), name


@pytest.mark.parametrize("name", effect_files())
def test_shipped_effects_pass(name):
    assert refused("effect", tomllib.loads(effect_files()[name].read_text("utf-8"))) == []


@pytest.mark.parametrize("name", EARLIER_FILES)
def test_decoders_of_the_earlier_form_pass(name):
    assert refused("decoder", tomllib.loads(EARLIER_FILES[name].read_text("utf-8"))) == []


LEAFLETS = [
    *shipped().values(),
    Path(__file__).parents[1] / "benchmarks" / "bramble_tor.toml",
    *sorted((Path(__file__).parents[1] / "decoder" / "leaflet" / "files").glob("*.toml")),
]


@pytest.mark.parametrize("path", LEAFLETS, ids=lambda path: path.stem)
def test_descriptions_in_cells_pass(path):
    assert refused("cells", tomllib.loads(path.read_text("utf-8"))) == []


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
def test_what_is_renewed_passes(decoder):
    assert refused("cells", tomllib.loads(renewal_of("", EARLIER[id(decoder)]).text)) == []


@pytest.mark.parametrize("decoder", DECODERS.values(), ids=DECODERS)
def test_written_values_pass(decoder):
    assert refused("values", tomllib.loads(values_text(decoder.delivered))) == []


@settings(max_examples=40, deadline=None)
@given(effects)
def test_whatever_the_program_writes_passes(effect):
    assert refused("effect", tomllib.loads(to_text(effect))) == []


EFFECT = tomllib.loads(effect_files()["banked_fire"].read_text("utf-8"))
GLIM = tomllib.loads(EARLIER_FILES["withybank_glim"].read_text("utf-8"))
CELLS = tomllib.loads(shipped()["carrow_lantern"].read_text("utf-8"))
PART = ["cells", 0, "parts", 0]
DRIVE = {"length_s": 5.0, "steps": [{"at_s": 0.0, "travel": "forward", "keys": ["F1"]}]}
VALUES = {"values": [{"cv": 143, "value": 5}, {"cv": 260, "page": [40, 0], "value": 1}]}
GOOD = {"effect": EFFECT, "decoder": GLIM, "cells": CELLS, "drive": DRIVE, "values": VALUES}
GOOD["scene"] = {
    "title": "Heron",
    "dark": {"map": "dark.tif"},
    "light": {"bed": {"map": "bed.tif", "lit_at": 0.8}, "tail": {"at": [0.1, 0.5]}},
}

# (kind, where, what is put there): each field by itself, so a schema can know it
WRONG = [
    ("effect", ["title"], 5),
    ("effect", ["titel"], "x"),
    ("effect", ["scene"], 5),
    ("effect", ["rate_hz"], 0.1),
    ("scene", ["dark", "map"], "../dark.tif"),
    ("scene", ["dark", "map"], "dark.png"),
    ("scene", ["light"], {}),
    ("scene", ["light", "bed", "lit_at"], 0),
    ("scene", ["light", "tail", "at"], [0.1, 1.5]),
    ("scene", ["light", "tail", "shape"], "star"),
    ("scene", ["ambient"], -1),
    ("effect", ["rate_hz"], "4"),
    ("effect", ["lamps"], {}),
    ("effect", ["lamps", "bed", "output"], 0),
    ("effect", ["lamps", "bed", "output"], 33),
    ("effect", ["lamps", "bed", "key"], "F29"),
    ("effect", ["lamps", "bed", "travel"], "up"),
    ("effect", ["lamps", "bed", "colour"], "orange"),
    ("effect", ["lamps", "bed", "colour"], {}),
    ("effect", ["lamps", "bed", "colour"], {"temperature_k": 2000, "wavelength_nm": 600}),
    ("effect", ["lamps", "bed", "colour"], {"wavelength_nm": 100}),
    ("effect", ["lamps", "bed", "pattern"], {"level": 0.5}),
    ("effect", ["lamps", "bed", "pattern"], {"style": "hold"}),
    ("effect", ["lamps", "bed", "pattern"], {"kind": "glow"}),
    ("effect", ["lamps", "bed", "pattern"], {"kind": "steady", "level": 1.5}),
    ("effect", ["lamps", "bed", "pattern"], {"kind": "steady", "lowest": 0.5}),
    ("decoder", ["function_map"], "own"),
    ("decoder", ["outputs"], []),
    ("decoder", ["outputs", 0, "key"], "F99"),
    ("decoder", ["outputs", 0, "current_ma"], 0),
    ("decoder", ["effect", "cv"], 1025),
    ("decoder", ["effect", "cv"], [141, 0]),
    ("decoder", ["effect", "cv"], "141"),
    ("decoder", ["effect", "bits"], 9),
    ("decoder", ["effect", "page"], [40]),
    ("decoder", ["effect", "codes", 0, "pattern"], {"kind": "glow"}),
    ("decoder", ["rate", "curve", 0, "hz"], 30.0),
    ("decoder", ["pwm", "levels"], 1),
    ("cells", ["keys"], "own"),
    ("cells", ["outputs"], {}),
    ("cells", ["outputs", "1", "key"], "F99"),
    ("cells", ["outputs", "1", "limit_ma"], 0),
    ("cells", ["effects", "hearth", "kind"], "glow"),
    ("cells", ["effects", "hearth", "lowest"], 1.5),
    ("cells", ["effects", "hearth", "lowest"], "deep"),
    ("cells", ["effects", "hearth", "period_s"], 1.0),
    ("cells", ["effects", "hearth", "rate_hz"], 0),
    ("cells", ["effects", "beacon", "on_share"], 1),
    ("cells", ["cells", 0, "cv"], 1025),
    ("cells", ["cells", 0, "cv"], "131"),
    ("cells", ["cells", 0, "page"], [40]),
    ("cells", ["cells", 0, "page"], {"31": 40}),
    ("cells", ["cells", 0, "parts"], []),
    ("cells", ["cells", 0, "delivered"], 256),
    ("cells", ["cells", 0, "before"], {"one": 1}),
    ("cells", [*PART, "says"], "efect"),
    ("cells", [*PART, "says"], []),
    ("cells", [*PART, "says"], ["level"] * 5),
    ("cells", [*PART, "of"], []),
    ("cells", [*PART, "times"], 0),
    ("cells", [*PART, "codes"], {"256": "steady"}),
    ("cells", [*PART, "codes"], {"one": "steady"}),
    ("cells", [*PART, "codes"], {}),
    ("cells", [*PART, "evn"], {"to": 3}),
    ("cells", ["cells", 4, "parts", 0, "even", "to"], 256),
    ("cells", ["cells", 3, "parts", 0, "points"], [[0, 1.0]]),
    ("cells", [*PART], {"says": "effect", "ranges": [{"level": 1.1}]}),
    ("cells", [*PART], {"says": "effect", "ranges": [{"level": [0.1]}]}),
    ("cells", [*PART], {"says": "effect", "ranges": [{"travel": "up"}]}),
    ("drive", ["steps", 0, "travel"], "up"),
    ("drive", ["steps", 0, "keys"], ["F29"]),
    ("values", ["values", 0, "value"], 256),
    ("values", ["values", 0, "value"], 1.5),
    ("values", ["values", 0, "cv"], 0),
    ("values", ["values", 0, "cv"], 1025),
    ("values", ["values", 1, "page"], [40, 256]),
    ("values", ["values"], []),
]


def changed(data, path, value):
    data = copy.deepcopy(data)
    here = data
    for part in path[:-1]:
        here = here[part]
    here[path[-1]] = value
    return data


@pytest.mark.parametrize(("kind", "path", "value"), WRONG, ids=str)
def test_schema_and_program_refuse_the_same_wrong_fields(kind, path, value):
    data = changed(GOOD[kind], path, value)
    assert refused(kind, data)
    with pytest.raises(InputError):
        parse(MODELS[kind], data)


RIGHT = [
    ("effect", ["lamps", "bed", "colour"], "#ff8000"),
    ("effect", ["lamps", "bed", "key"], "always"),
    ("effect", ["rate_hz"], 4),
    ("decoder", ["effect", "works"], [0, 0, 1, 1]),
    ("decoder", ["effect", "cv"], [141, 142, 143, 144]),
    ("cells", ["effects", "hearth", "lowest"], "unknown"),
    ("cells", ["effects", "hearth", "rate_hz"], "unknown"),
    ("cells", ["effects", "hearth", "rate_hz"], 4),
    ("cells", ["cells", 0, "of"], "1"),
    ("cells", ["cells", 0, "delivered"], [0, 0, 10, 0, 0, 0]),
    ("cells", ["before"], {"64": 7}),
    ("cells", [*PART, "codes", "007"], "bulb"),
    ("cells", [*PART], {"says": "effect", "ranges": [{"level": [0.1, 1.0], "rate_hz": "unknown"}]}),
    ("scene", ["light", "tail", "reach"], 0.3),
    ("scene", ["ambient"], 0),
    *(("effect", ["scene"], name) for name in (*SCENES, "my_engine")),
]


@pytest.mark.parametrize(("kind", "path", "value"), RIGHT, ids=str)
def test_all_ways_of_writing_a_field_pass(kind, path, value):
    data = changed(GOOD[kind], path, value)
    assert refused(kind, data) == []
    if kind == "cells":
        parse(MODELS[kind], data)


@pytest.mark.parametrize("kind", MODELS)
def test_examples_are_good_to_begin_with(kind):
    assert refused(kind, GOOD[kind]) == []
    parse(MODELS[kind], GOOD[kind])


def test_the_command_writes_one_file_for_each_kind(run):
    code, out, _ = run("schema", "--into", "for_my_editor")
    assert code == 0
    for kind in MODELS:
        path = Path("for_my_editor") / f"{kind}.schema.json"
        assert str(path) in out
        assert path.read_text("utf-8") == schema_text(kind)


def test_the_command_says_where_it_cannot_write(run, tmp_path):
    (tmp_path / "taken").write_text("mine")
    code, _, err = run("schema", "--into", "taken/here")
    assert code == 2
    assert "cannot be made" in err
