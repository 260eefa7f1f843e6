"""What a model says of its fields, against the JSON Schema that pydantic makes of it."""

from __future__ import annotations

from typing import Annotated

import pytest
from pydantic import BaseModel, Field

import fxstudio.export.schema  # all models of files  # noqa: F401
from fxstudio.documents.models import FileModel, bare, field_facts


def below(model):
    for each in model.__subclasses__():
        yield each
        yield from below(each)


MODELS = sorted(
    {
        each
        for each in below(FileModel)
        if each.__module__.startswith("fxstudio.") and each.model_fields
    },
    key=lambda each: each.__name__,
)


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_limits_are_those_of_the_schema(model):
    schema = model.model_json_schema()
    properties = schema.get("properties") or schema["anyOf"][1]["properties"]
    for name, facts in field_facts(model).items():
        said = properties[model.model_fields[name].alias or name]
        ways = [way for way in said.get("anyOf", ()) if way != {"type": "null"}]
        if len(ways) > 1:  # a number or a list: each way has limits of its own
            continue
        said = ways[0] if ways else said
        wanted = dict.fromkeys(("minimum", "exclusiveMinimum", "maximum", "exclusiveMaximum"))
        wanted |= {key: said[key] for key in wanted if key in said}
        assert wanted == {
            "minimum": None if facts.above else facts.lowest,
            "exclusiveMinimum": facts.lowest if facts.above else None,
            "maximum": None if facts.below else facts.highest,
            "exclusiveMaximum": facts.highest if facts.below else None,
        }, name
        if facts.choices:
            assert said.get("enum", [said.get("const")]) == list(facts.choices)
        assert (facts.longest or 0) == said.get(
            "maxLength", said.get("propertyNames", {}).get("maxLength", 0)
        )


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_model_of_a_file_is_strict_frozen_and_knows_all_its_fields(model):
    kept = {"frozen": True, "extra": "forbid", "strict": True, "allow_inf_nan": False}
    assert kept.items() <= model.model_config.items()


class Glow(FileModel):
    share: Annotated[float, Field(gt=0, lt=1, json_schema_extra={"unit": "share"})] = Field(
        0.5, title="bright share"
    )
    pace: Annotated[float, Field(ge=0.1, json_schema_extra={"unit": "m"})] = 2.0
    note: Annotated[str, Field(max_length=9)] | None = None
    tags: tuple[str, ...] = ()
    inner: BaseModel | None = None


@pytest.mark.parametrize(
    ("name", "allowed", "value", "text"),
    [
        ("share", "a number above 0 below 1", 0.35, "35 %"),
        ("pace", "a number from 0.1", 1.4, "1.4 m"),
        ("pace", "a number from 0.1", 1904.0, "1900 m"),
        ("note", 'text in "quotes", at most 9 letters', "soft", "soft"),
        ("tags", "a list", 3, "3"),
    ],
)
def test_facts_in_words(name, allowed, value, text):
    facts = field_facts(Glow)[name]
    assert facts.allowed == allowed
    assert facts.text(value) == text


def test_facts_go_by_the_title_or_the_name():
    facts = field_facts(Glow)
    assert (facts["share"].words, facts["pace"].words) == ("bright share", "pace")
    assert bare(Annotated[int | None, "said of it"]) is int
