"""The effect: the lamps of a locomotive and how each behaves.

The models are the one place that says which fields a file may hold, in which unit and
range and what they mean; errors, help and documentation are derived from them.
"""

from __future__ import annotations

from html import escape
from typing import Annotated

from pydantic import (
    Field,
    PrivateAttr,
    ValidationError,
    ValidationInfo,
    field_validator,
    model_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from fxstudio.documents.models import FileModel
from fxstudio.effect.colour import Colour
from fxstudio.effect.drive import DEFAULT_SPEED_KMH, Drive, Moment, constant_drive
from fxstudio.effect.keys import ALWAYS, sorted_keys
from fxstudio.effect.lamp import RATE_HIGHEST_HZ, RATE_LOWEST_HZ, Lamp, Rate
from fxstudio.effect.patterns import Pattern
from fxstudio.effect.setting.files import setting_of
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import SceneRow, no_place


class Effect(FileModel):
    """One effect file."""

    title: Annotated[str, Field(min_length=1, max_length=80)] = Field(
        ..., description="What the effect is called."
    )
    locomotive: Annotated[str, Field(max_length=80)] = Field(
        "", description="The locomotive it is meant for."
    )
    note: Annotated[str, Field(max_length=600)] = Field(
        "", description="What it shows and why, for people who choose among effects."
    )
    scene: str = Field(
        "cab",
        description="Where it is drawn: a scene by name, or the folder of a photographed one "
        "beside this file.",
    )
    rate_hz: Rate = Field(
        4.0,
        title="shared rate",
        json_schema_extra={"unit": "Hz"},
        description="Changes a second of every lamp that flickers; one rate for all.",
    )
    lamps: dict[Annotated[str, Field(min_length=1, max_length=40)], Lamp] = Field(
        ..., min_length=1, description="The lamps by name."
    )
    drive: Drive | None = Field(
        None,
        description="How to show it; without it, forward, all its keys on, moving if that lights "
        "more lamps.",
    )

    _setting: SceneRow = PrivateAttr()

    def __eq__(self, other: object) -> bool:
        """Whether their files would say the same, wherever they lie."""
        return isinstance(other, Effect) and self.__dict__ == other.__dict__

    @field_validator("scene")
    @classmethod
    def _known_scene(cls, scene: str, info: ValidationInfo) -> str:
        try:
            setting_of(scene, (info.context or {}).get("source"))
        except InputError as error:
            raise _refusal(error) from error
        return scene

    @model_validator(mode="after")
    def _one_lamp_an_output(self) -> Effect:
        taken: dict[int, str] = {}
        for name, lamp in self.lamps.items():
            if lamp.output in taken:
                raise PydanticCustomError(
                    "output",
                    f"lamps '{taken[lamp.output]}' and '{name}' are both on output "
                    f"{lamp.output}; an output carries one lamp or one group of LEDs",
                )
            taken[lamp.output] = name
        return self

    @model_validator(mode="after")
    def _placed(self, info: ValidationInfo) -> Effect:
        """Check it against its scene, once, and keep what was found there."""
        self._source = (info.context or {}).get("source")
        self._setting = setting_of(self.scene, self._source)
        places = self._setting.places
        wrong: list[InitErrorDetails] = [
            {
                "type": _refusal(no_place(self.scene, places, self.place(name))),
                "loc": ("lamps", name, "place"),
                "input": lamp.place,
            }
            for name, lamp in self.lamps.items()
            if self.place(name) not in places
        ]
        if wrong:
            raise ValidationError.from_exception_data("Effect", wrong)
        return self

    @property
    def setting(self) -> SceneRow:
        """The scene it is drawn in, or that was photographed for it."""
        return self._setting

    def place(self, name: str) -> str:
        """Where in the scene the lamp `name` shines."""
        return self.lamps[name].place or name

    @property
    def keys(self) -> tuple[str, ...]:
        """The function keys its lamps use, in order."""
        return sorted_keys({key for lamp in self.lamps.values() for key in lamp.keys})

    @property
    def own_keys(self) -> tuple[str, ...]:
        """The keys that its lamps name as their own, and those that have to be on with them."""
        lamps = self.lamps.values()
        return sorted_keys({key for lamp in lamps for key in (lamp.key, *lamp.together)} - {ALWAYS})

    @property
    def shown_by(self) -> Drive:
        """Its own drive, or forward with every key on that shows one of its lamps.

        It stands, unless more lamps shine while it moves.
        """
        if self.drive is not None:
            return self.drive
        gates = [lamp.shining for lamp in self.lamps.values()]
        keys = sorted_keys(
            {key for lamp in self.lamps.values() for key in lamp.gate.keys_that_show()}
        )
        standing, moving = (
            sum(gate.lit_at(Moment(frozenset(keys), moving=moves)) for gate in gates)
            for moves in (False, True)
        )
        return constant_drive(speed_kmh=DEFAULT_SPEED_KMH * (moving > standing), keys=keys)

    def _repr_html_(self) -> str:
        """Its lamps in a table, as a notebook shows it; what a person typed stays text."""
        heads = ("lamp", "output", "shines", "colour", "pattern")
        lines = ["".join(f"<th>{head}</th>" for head in heads)]
        for name, lamp in self.lamps.items():
            shines = ", ".join((lamp.gate.words(), *lamp.dims.words()))
            row = (name, str(lamp.output), shines, str(lamp.colour), lamp.pattern.summary())
            lines.append("".join(f"<td>{escape(cell)}</td>" for cell in row))
        rows = "".join(f"<tr>{line}</tr>" for line in lines)
        return f"<table><caption>{escape(self.title)}</caption>{rows}</table>"

    def flickering(self) -> tuple[str, ...]:
        """Names of the lamps that follow the shared rate."""
        return tuple(
            name
            for name, lamp in self.lamps.items()
            if lamp.pattern.flickers and lamp.rate_hz is None
        )

    def rate_of(self, name: str) -> float:
        """Changes a second of the lamp `name` if it flickers: its own rate, or the shared one."""
        own = self.lamps[name].rate_hz
        return self.rate_hz if own is None else own


def _refusal(error: InputError) -> PydanticCustomError:
    """An error as a validator raises it, so that `reading.parse` tells it in the same words."""
    told = {"problem": error.problem, "allowed": error.allowed, "remedy": error.remedy}
    return PydanticCustomError("refusal", "{problem}", told)


__all__ = ["RATE_HIGHEST_HZ", "RATE_LOWEST_HZ", "Colour", "Effect", "Lamp", "Pattern"]
