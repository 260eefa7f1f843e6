"""The effect: the lamps of a locomotive and how each behaves.

The models are the one place that says which fields a file may hold, in which unit and
range and what they mean; errors, help and documentation are derived from them.
"""

from __future__ import annotations

from functools import lru_cache
from html import escape
from math import floor
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Self, Union

import numpy as np
from pydantic import (
    AfterValidator,
    ConfigDict,
    Field,
    PrivateAttr,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
    model_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from fxstudio import colour as light
from fxstudio.arrays import Floats
from fxstudio.documents.models import FileModel
from fxstudio.effect.dims import Dims
from fxstudio.effect.drive import DEFAULT_SPEED_KMH, Drive, Moment, constant_drive
from fxstudio.effect.gate import Directed, Gate, Motion, Way
from fxstudio.effect.keys import ALWAYS, KEYS, Key, KeyOrAlways, sorted_keys
from fxstudio.effect.patterns import PATTERNS, Pattern
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import SceneRow, find_scene, no_place
from fxstudio.units import percent

RATE_LOWEST_HZ, RATE_HIGHEST_HZ = 0.2, 25.0

MOST_WAYS, MOST_KEYS = 8, 8
"""Ways that light one lamp, and keys that make a difference to it, at most."""

BRIGHTEST_TIMES = 20.0
"""How many times as bright a key may make a lamp, at most."""

SLACK = 1e-9
"""What a product of two decimal fractions may be beside the mark."""

if TYPE_CHECKING:
    AnyPattern = Pattern
else:  # all of them, whichever there are
    AnyPattern = Annotated[Union[PATTERNS], Field(discriminator="kind")]  # noqa: UP007


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


def _refusal(error: InputError) -> PydanticCustomError:
    """An error as a validator raises it, so that `reading.parse` tells it in the same words."""
    told = {"problem": error.problem, "allowed": error.allowed, "remedy": error.remedy}
    return PydanticCustomError("refusal", "{problem}", told)


OtherKeys = Annotated[tuple[Key, ...], Field(strict=False, max_length=MOST_KEYS - 1)]
Rate = Annotated[float, Field(ge=RATE_LOWEST_HZ, le=RATE_HIGHEST_HZ)]


class Conditions(FileModel):
    """What has to hold for a lamp to shine, all of it."""

    key: KeyOrAlways = Field("F0", description='Function key F0 to F28, or "always".')
    while_off: bool = Field(
        False,
        title="shining while its key is off",
        description="Whether it shines while its key is off, and is dark while it is on.",
    )
    travel: Directed = Field("both", description="Directions of travel in which it may shine.")
    motion: Motion = Field("both", description="Whether it may shine standing, moving, or both.")
    together: OtherKeys = Field(
        (),
        title="other keys that must be on",
        description='Other keys that have to be on too, such as ["F5"].',
    )
    unless: OtherKeys = Field(
        (),
        title="keys that must be off",
        description='Keys that have to be off: it is dark while any of them is on, such as ["F6"].',
    )

    @model_validator(mode="after")
    def _a_key_to_be_off(self) -> Self:
        if self.while_off and self.key == ALWAYS:
            raise PydanticCustomError(
                "key", "a lamp that shines while its key is off needs a key, F0 to F28"
            )
        return self

    @model_validator(mode="after")
    def _each_key_once(self) -> Self:
        for key in self.together:
            if key in self.unless:
                raise PydanticCustomError(
                    "key",
                    f"{key} cannot be on and off at once: name it in together or in unless, "
                    "not in both",
                )
        named = [self.key, *self.together, *self.unless]
        twice = next((key for key in named if named.count(key) > 1), None)
        if twice:
            raise PydanticCustomError(
                "key", f"{twice} is named twice: name each key once in key, together and unless"
            )
        return self

    @property
    def way(self) -> Way:
        """The keys, direction and motion that let it shine."""
        return Way(self.key, self.travel, self.motion, self.while_off, self.together, self.unless)


class OnOutput(FileModel):
    """What is wired to one decoder output."""

    output: Annotated[int, Field(ge=1, le=32)] = Field(
        ..., description="Number of the decoder output: 1 front light, 2 rear light, 3 onwards."
    )


class Lamp(Conditions, OnOutput):
    """One LED, or a group of LEDs that share a wire, on one decoder output."""

    colour: Colour = Field(..., description="Colour of its light.")
    pattern: AnyPattern = Field(..., description="How bright it is over time.")
    place: str | None = Field(
        None, description="Where in the scene it shines; without it, the lamp's own name."
    )
    also: Annotated[tuple[Conditions, ...], Field(strict=False, max_length=MOST_WAYS - 1)] = Field(
        (),
        title="further ways that light it",
        description="Further ways that light it, each with key, while_off, travel, motion, "
        "together and unless; any of them does.",
    )
    dim: dict[Key, Annotated[float, Field(ge=0, le=BRIGHTEST_TIMES)]] = Field(
        {},
        title="times as bright",
        description="While a key is on the lamp is this many times as bright, such as "
        "{ F6 = 0.3 }; of several keys that are on the smallest counts.",
    )
    rate_hz: Rate | None = Field(
        None,
        title="own rate",
        json_schema_extra={"unit": "Hz"},
        description="Changes a second of this lamp if it flickers; without it, the shared rate.",
    )
    current_ma: Annotated[float, Field(gt=0, le=2000)] | None = Field(
        None,
        title="current",
        json_schema_extra={"unit": "mA"},
        description="Current of its LEDs together in mA, as its resistor sets it; "
        "`fxstudio currents` adds it up.",
    )

    @model_validator(mode="after")
    def _few_keys(self) -> Self:
        if len(self.keys) > MOST_KEYS:
            raise PydanticCustomError(
                "key",
                f"{len(self.keys)} keys make a difference to it ({', '.join(self.keys)}); "
                f"a lamp may have {MOST_KEYS}",
            )
        return self

    @model_validator(mode="after")
    def _not_above_full_light(self) -> Self:
        for key, times in self.dim.items():
            brightest = self.pattern.brightest * times
            if brightest > 1 + SLACK:
                most = floor(1000 / self.pattern.brightest) / 1000
                raise PydanticCustomError(
                    "dim",
                    f"{times:g} times as bright on {key} would be {percent(brightest)}, more "
                    f"than full light: make it {most:g} at most, or its pattern darker",
                )
        return self

    @property
    def ways(self) -> tuple[Way, ...]:
        """Each of the ways that light it, its dimming left aside."""
        return tuple(each.way for each in (self, *self.also))

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that make a difference to it, in order."""
        return sorted_keys({key for way in self.ways for key in way.keys} | set(self.dim))

    @property
    def gate(self) -> Gate:
        """When keys, direction and motion let it shine; a key that dims it to 0 puts it out."""
        return Gate(self.ways).unless_any([key for key, times in self.dim.items() if times == 0])

    @property
    def shining(self) -> Gate:
        """When it gives light: by its gate, but never if its pattern is dark."""
        return Gate() if self.pattern.is_dark else self.gate

    @property
    def dims(self) -> Dims:
        """How many times as bright it is while keys are on, where it shines at all."""
        return Dims({key: times for key, times in self.dim.items() if times > 0})


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
    scene: str = Field("cab", description="Where it is drawn.")
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
    _source: Path | None = PrivateAttr(None)

    def __eq__(self, other: object) -> bool:
        """Whether their files would say the same, wherever they lie."""
        return isinstance(other, Effect) and self.__dict__ == other.__dict__

    @field_validator("scene")
    @classmethod
    def _known_scene(cls, scene: str) -> str:
        try:
            find_scene(scene)
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
        """Check it against the catalogue of scenes, once, and keep what was found there."""
        self._setting = find_scene(self.scene)
        self._source = (info.context or {}).get("source")
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
        """The scene it is drawn in, as found in the catalogue."""
        return self._setting

    @property
    def source(self) -> Path | None:
        """The file it was read from, also once it is edited; None if it was in none."""
        return self._source

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


__all__ = ["KEYS", "Colour", "Effect", "Lamp", "Pattern"]
