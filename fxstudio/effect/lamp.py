"""A lamp: what is wired to one output, when it shines and how."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, Annotated, Self, Union

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from fxstudio.documents.models import FileModel
from fxstudio.effect.colour import Colour
from fxstudio.effect.dims import Dims
from fxstudio.effect.gate import Directed, Gate, Motion, Way
from fxstudio.effect.keys import ALWAYS, Key, KeyOrAlways, sorted_keys
from fxstudio.effect.patterns import PATTERNS, Pattern
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
