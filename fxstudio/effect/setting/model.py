"""The file of a photographed scene: `scene.toml` in a folder with its maps of light."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.documents.models import FileModel
from fxstudio.scenes.photograph.painting import SHAPES

MapFile = Annotated[str, Field(pattern=r"^[^/\\:]+\.tiff?$", max_length=80)]
Share = Annotated[float, Field(ge=0, le=1)]
Full = Annotated[float, Field(gt=0, le=1000)]
FULL_HELP = "Linear light of the brightest code of the map; 1 is the white of the photographs."


class DarkMap(FileModel):
    """The map of the dark scene."""

    map: MapFile = Field(..., description="Map of the light, a TIFF file in the scene's folder.")
    full: Full = Field(1.0, title="light of the brightest code", description=FULL_HELP)


class LampMap(FileModel):
    """The light of one lamp: a map from a photograph, or where it is painted."""

    map: MapFile | None = Field(
        None, description="Map of its light, a TIFF file in the scene's folder."
    )
    full: Full = Field(1.0, title="light of the brightest code", description=FULL_HELP)
    lit_at: Annotated[float, Field(gt=0, le=1)] = Field(
        1.0,
        title="brightness when it was photographed",
        json_schema_extra={"unit": "light"},
        description="How bright the lamp was when it was photographed; 1 is full brightness.",
    )
    recolour: bool = Field(
        False,
        description="Whether it is shown in the effect's colour; else in that of the photograph.",
    )
    at: Annotated[tuple[Share, Share], Field(strict=False)] | None = Field(
        None,
        title="middle of the painted light",
        description="Where its light is painted, if there is no photograph of it: shares of the "
        "picture from the left and from the top.",
    )
    reach: Annotated[float, Field(ge=0.005, le=1)] = Field(
        0.1,
        title="reach of the painted light",
        description="How far its painted light reaches, as a share of the picture's width.",
    )
    shape: Literal[tuple(SHAPES)] = Field(  # type: ignore[valid-type]
        "round",
        title="shape of the painted light",
        description="Shape of its painted light.",
    )

    @model_validator(mode="after")
    def _one_source(self) -> LampMap:
        if (self.map is None) == (self.at is None):
            raise PydanticCustomError(
                "source", "needs either a map, from a photograph, or at, where it is painted"
            )
        return self


class SceneFile(FileModel):
    """The file of a photographed scene."""

    title: Annotated[str, Field(min_length=1, max_length=80)] = Field(
        ..., description="What the scene is called."
    )
    dark: DarkMap = Field(..., description="What is seen with all lamps dark.")
    ambient: Annotated[float, Field(ge=0, le=10)] = Field(
        1.0,
        title="room light",
        description="How bright the room is, as a multiple of that of the dark photograph.",
    )
    exposure: Annotated[float, Field(gt=0, le=100)] = Field(
        1.0, description="How many times as bright as photographed everything is shown."
    )
    light: dict[Annotated[str, Field(min_length=1, max_length=40)], LampMap] = Field(
        ..., min_length=1, description="The light of each lamp by name."
    )
