"""The colour of a lamp, as files give it."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any

import numpy as np
from pydantic import AfterValidator, ConfigDict, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from fxstudio import colour as light
from fxstudio.arrays import Floats
from fxstudio.documents.models import FileModel

COLOUR_WAYS = '"#rrggbb" such as "#ff8000", { wavelength_nm = 605 } or { temperature_k = 1900 }'


def _known_hex(text: str) -> str:
    try:
        light.hex_to_rgb(text)
    except ValueError as error:
        raise PydanticCustomError("colour", "is not a colour", {"allowed": COLOUR_WAYS}) from error
    return text


HexText = Annotated[
    str,
    AfterValidator(_known_hex),
    WithJsonSchema({"type": "string", "pattern": light.HEX_COLOUR}),
]


def _short_or_one_way(schema: dict[str, Any]) -> None:
    """JSON Schema of a colour: text, or a table with one entry."""
    text = schema["properties"]["hex"]["anyOf"][0]
    table = {**schema, "minProperties": 1, "maxProperties": 1}
    schema.clear()
    schema["anyOf"] = [text, table]


class Colour(FileModel):
    """The colour of a lamp: one of hex, wavelength or temperature."""

    model_config = ConfigDict(json_schema_extra=_short_or_one_way)

    hex: HexText | None = Field(
        None, title="colour", description='Screen colour written like "#ff8000".'
    )
    wavelength_nm: Annotated[float, Field(ge=light.SHORTEST_NM, le=light.LONGEST_NM)] | None = (
        Field(
            None,
            title="wavelength",
            json_schema_extra={"unit": "nm"},
            description="Dominant wavelength from the LED's data sheet in nm.",
        )
    )
    temperature_k: Annotated[float, Field(ge=light.COOLEST_K, le=light.HOTTEST_K)] | None = Field(
        None,
        title="colour temperature",
        json_schema_extra={"unit": "K"},
        description="Colour temperature in K: a coal fire 1200 to 2000, warm white 2700.",
    )

    @model_validator(mode="before")
    @classmethod
    def _short_form(cls, data: object) -> object:
        return {"hex": data} if isinstance(data, str) else data

    @model_validator(mode="after")
    def _one_way(self) -> Colour:
        if len(self.model_fields_set) != 1:
            raise PydanticCustomError(
                "colour",
                "needs exactly one way to give the colour",
                {"allowed": "one of hex, wavelength_nm, temperature_k"},
            )
        return self

    @property
    def rgb(self) -> Floats:
        """Linear sRGB [3] of the lamp at full brightness; the largest channel is 1."""
        return np.array(_colour_rgb(self))

    def __str__(self) -> str:
        if self.hex is not None:
            return self.hex
        if self.wavelength_nm is not None:
            return f"{self.wavelength_nm:g} nm"
        return f"{self.temperature_k:g} K"


@lru_cache(maxsize=256)
def _colour_rgb(colour: Colour) -> tuple[float, ...]:
    if colour.hex is not None:
        return tuple(light.hex_to_rgb(colour.hex))
    if colour.wavelength_nm is not None:
        return tuple(light.lamp_rgb(light.wavelength_to_xyz(colour.wavelength_nm)))
    assert colour.temperature_k is not None  # one of the three is given
    return tuple(light.lamp_rgb(light.temperature_to_xyz(colour.temperature_k)))
