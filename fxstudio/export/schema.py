"""JSON Schema of the files people write, so that editors complete and check them.

Derived from the models: what a schema allows, says and defaults stands there once. A schema
knows each field by itself; what must fit together only `fxstudio check` finds.
"""

from __future__ import annotations

import json
from typing import Any, Final

from pydantic import BaseModel

from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.lists import Listed
from fxstudio.effect.drive import Drive
from fxstudio.effect.model import Effect
from fxstudio.effect.setting.model import SceneFile
from fxstudio.scenes.catalogue import SCENES

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
"""The edition of JSON Schema in which pydantic writes."""

MODELS: Final[dict[str, type[BaseModel]]] = {
    "effect": Effect,
    "decoder": Description,
    "cells": Leaflet,
    "drive": Drive,
    "values": Listed,
    "scene": SceneFile,
}
"""Kind of file to the model that says what it may hold."""


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema, draft 2020-12, of a kind of file in `MODELS`."""
    found = MODELS[kind].model_json_schema()
    for table in [found, *found.get("$defs", {}).values()]:
        _tidy(table)
    if kind == "effect":
        # A drawn scene by name, with which an editor completes, or any folder.
        scene = found["properties"]["scene"]
        scene["anyOf"] = [{"enum": list(SCENES)}, {"type": scene.pop("type")}]
    return {"$schema": DIALECT, **found}


def schema_text(kind: str) -> str:
    """The JSON Schema of a kind of file as text."""
    return json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n"


def _tidy(table: dict[str, Any]) -> None:
    """Leave out what means nothing in a TOML file; a pattern must say its kind."""
    for way in table.get("anyOf", ()):
        _tidy(way)
    for name, field in table.get("properties", {}).items():
        field.pop("title", None)  # for people who see no file
        field.pop("unit", None)  # the description says it
        field.pop("discriminator", None)  # of another standard
        if field.get("default", "") is None:
            del field["default"]
        ways = [way for way in field.get("anyOf", ()) if way != {"type": "null"}]
        if {"type": "number"} in ways and {"type": "integer"} in ways:
            ways.remove({"type": "integer"})  # it is a number
        if len(ways) == 1:
            del field["anyOf"]
            field |= ways[0]
        elif ways:
            field["anyOf"] = ways
        if "patternProperties" in field:
            field["additionalProperties"] = False
        if name == "kind" and "const" in field:
            field.pop("default", None)
            table["required"] = ["kind", *table.get("required", [])]
