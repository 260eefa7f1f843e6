"""The tables of a description file, each a model, and what they say together."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated

import numpy as np
from pydantic import Field

from fxstudio.dcc.cv import LARGEST_VALUE, Bits, CvAddress
from fxstudio.dcc.function_map import FUNCTION_MAPS, MapRow, MapStyle, rows_for
from fxstudio.decoder.description.fields import (
    Byte,
    CvNumber,
    EffectField,
    FilePage,
    ForwardField,
    GateField,
    LevelField,
    LowestField,
    OutputField,
    ReverseField,
    ShareField,
    TravelField,
)
from fxstudio.documents.models import FileModel
from fxstudio.effect.gate import Directed
from fxstudio.effect.keys import KeyOrAlways
from fxstudio.effect.model import RATE_HIGHEST_HZ, RATE_LOWEST_HZ

RateHz = Annotated[float, Field(ge=RATE_LOWEST_HZ, le=RATE_HIGHEST_HZ)]


class Output(FileModel):
    """One switched wire of the decoder."""

    number: Annotated[int, Field(ge=1, le=32)] = Field(
        ..., description="Number of the output: 1 front light, 2 rear light, 3 onwards."
    )
    wire: str = Field("", max_length=40, description="Colour of its wire, or its solder pad.")
    key: KeyOrAlways = Field(
        ..., description='Key that switches it as delivered, or "always"; fixed without a map.'
    )
    travel: Directed = Field(
        "both", description="Directions in which that key switches it as delivered."
    )
    current_ma: Annotated[float, Field(gt=0, le=5000)] = Field(
        ..., description="Largest current in mA that it may switch."
    )


class CurvePoint(FileModel):
    """One point of the rate curve."""

    value: Byte = Field(..., description="Value of the rate CV.")
    hz: RateHz = Field(
        ..., description="Changes a second of every flickering output at this value."
    )


class Rate(FileModel):
    """The shared rate: one CV sets how fast every flickering output runs, or it is fixed.

    A fixed rate has no bits and no values.
    """

    fixed_hz: RateHz | None = Field(
        None,
        description="Changes a second where no CV sets them; then leave out all others here.",
    )
    cv: CvNumber | None = Field(None, description="CV that holds the shared rate.")
    page: FilePage | None = Field(
        None, description="Contents of CV31 and CV32 that select it, for CVs 257 to 512."
    )
    works: Byte | None = Field(None, description="Value as delivered.")
    curve: Annotated[tuple[CurvePoint, ...], Field(strict=False, min_length=2)] | None = Field(
        None,
        description="Values and their rates, from the smallest value allowed to the largest; "
        "straight lines in between.",
    )

    @property
    def bits(self) -> Bits | None:
        """The whole CV; None if the rate is fixed."""
        return None if self.cv is None else Bits(CvAddress(self.cv, self.page))

    @property
    def address(self) -> CvAddress | None:
        """Its CV; None if the rate is fixed."""
        return None if self.bits is None else self.bits.address

    @property
    def lowest(self) -> int:
        """Smallest value allowed."""
        return self.points[0].value

    @property
    def highest(self) -> int:
        """Largest value allowed."""
        return self.points[-1].value

    @property
    def points(self) -> tuple[CurvePoint, ...]:
        """The points of its curve; none if it is fixed."""
        return self.curve or ()

    def hz(self, value: int = 0) -> float:
        """Rate in Hz at `value`, which a fixed rate does not ask for."""
        return self._hz_by_value[value] if self.fixed_hz is None else self.fixed_hz

    def nearest(self, rate_hz: float) -> int:
        """The value whose rate is nearest to `rate_hz` as a ratio."""
        return min(
            self._hz_by_value, key=lambda value: abs(np.log(self._hz_by_value[value] / rate_hz))
        )

    @cached_property
    def _hz_by_value(self) -> dict[int, float]:
        values = range(self.lowest, self.highest + 1)
        given = [point.value for point in self.points], [point.hz for point in self.points]
        return dict(zip(values, np.interp(values, *given).tolist(), strict=True))


class Pwm(FileModel):
    """How the decoder dims: it switches the output on and off faster than the eye sees."""

    levels: Annotated[int, Field(ge=2, le=65536)] = Field(
        ..., description="Number of brightness levels it can make, dark and full counted."
    )
    refresh_ms: Annotated[float, Field(gt=0, le=100)] = Field(
        ..., description="Time of one on-and-off in ms."
    )


class Kept(FileModel):
    """Bits of one of its CVs that the manual gives to something else."""

    what: Annotated[str, Field(min_length=1, max_length=60)] = Field(
        ..., description="What the manual gives them to."
    )
    cv: CvNumber = Field(..., description="CV in which they are.")
    page: FilePage | None = Field(
        None, description="Contents of CV31 and CV32 that select it, for CVs 257 to 512."
    )
    bit: Annotated[int, Field(ge=0, le=7)] = Field(0, description="Lowest of the bits, 0 to 7.")
    bits: Annotated[int, Field(ge=1, le=8)] = Field(..., description="Number of bits.")
    works: Byte = Field(0, description="What the bits hold as delivered.")

    @property
    def kept_bits(self) -> Bits:
        """Its bits."""
        return Bits(CvAddress(self.cv, self.page), self.bit, self.bits)


class Tables(FileModel):
    """All tables of one description file, whether or not they fit together."""

    title: Annotated[str, Field(min_length=1, max_length=80)] = Field(
        ..., description="What the decoder is called."
    )
    note: Annotated[str, Field(max_length=600)] = Field(
        "", description="What it can do and where the description comes from."
    )
    function_map: MapStyle = Field(
        ..., description="s-9.2.2: CVs 33 to 46 give keys to outputs; none: keys are fixed."
    )
    outputs: Annotated[tuple[Output, ...], Field(strict=False, min_length=1, max_length=32)] = (
        Field(..., description="Its outputs in order of their numbers.")
    )
    limit_ma: Annotated[float, Field(gt=0, le=10000)] | None = Field(
        None, description="Largest current in mA of all its outputs together, if that is known."
    )
    pwm: Pwm = Field(..., description="How it dims.")
    rate: Rate = Field(..., description="The shared rate.")
    effect: EffectField = Field(..., description="Where each output's effect code is.")
    travel: TravelField | None = Field(None, description="Where each output's travel code is.")
    forward: ForwardField | None = Field(
        None, description="Where the bit is that lets each output shine forward."
    )
    reverse: ReverseField | None = Field(
        None, description="Where the bit is that lets each output shine in reverse."
    )
    level: LevelField | None = Field(None, description="Where each output's brightness is.")
    lowest: LowestField | None = Field(
        None, description="Where each output's darkest brightness is."
    )
    keep: Annotated[tuple[Kept, ...], Field(strict=False)] = Field(
        (), description="Bits in these CVs that the manual gives to something else: they are kept."
    )

    @cached_property
    def fields(self) -> dict[str, OutputField]:
        """The fields of its outputs by name, in order."""
        return {"effect": self.effect, **self.gates, **self.scales}

    @cached_property
    def gates(self) -> dict[str, GateField]:
        """Those of its fields that say in which directions an output may shine."""
        gates = {"travel": self.travel, "forward": self.forward, "reverse": self.reverse}
        return {name: field for name, field in gates.items() if field is not None}

    @cached_property
    def scales(self) -> dict[str, ShareField]:
        """Those of its fields that say how bright an output is."""
        scales = {"level": self.level, "lowest": self.lowest}
        return {name: field for name, field in scales.items() if field is not None}

    @property
    def map_rows(self) -> tuple[MapRow, ...]:
        """The CVs of its function map; empty without one."""
        return FUNCTION_MAPS[self.function_map]

    @cached_property
    def index(self) -> dict[int, int]:
        """Output number to its place in the list of outputs."""
        return {output.number: index for index, output in enumerate(self.outputs)}

    @cached_property
    def works(self) -> dict[CvAddress, int]:
        """Every CV that the description knows, with its value as delivered.

        Bits of the function map for outputs that the decoder lacks are as in the standard.
        """
        values: dict[CvAddress, int] = {}
        if self.rate.address is not None and self.rate.works is not None:
            values[self.rate.address] = self.rate.works

        def put(bits: Bits, code: int) -> None:
            values[bits.address] = bits.put(values.get(bits.address, 0), code)

        for field in self.fields.values():
            for index in range(len(self.outputs)):
                put(field.bits_of(index), field.works_code(index))
        for kept in self.keep:
            put(kept.kept_bits, kept.works)
        for row in self.map_rows:
            put(row.bits_of(row.works_output), int(row.works_output not in self.index))
        for output in self.outputs:
            for row in rows_for(self.map_rows, output.number, output.key, output.travel):
                put(row.bits_of(output.number), 1)
        return dict(sorted(values.items(), key=lambda item: item[0].order))

    @cached_property
    def unnamed(self) -> dict[CvAddress, int]:
        """The bits of each CV of which it says nothing, neither whose they are nor what they do.

        In the function map there are none: the standard says what each bit is.
        """
        masks = dict.fromkeys(self.works, LARGEST_VALUE)
        named = [
            field.bits_of(index)
            for field in self.fields.values()
            for index in range(len(self.outputs))
        ]
        named += [row.kept_bits for row in self.keep]
        named += [self.rate.bits] if self.rate.bits else []
        named += [Bits(CvAddress(row.cv)) for row in self.map_rows]
        for bits in named:
            masks[bits.address] &= ~bits.mask
        return masks

    @property
    def outputs_text(self) -> str:
        """`outputs 1, 2, 3, 4`."""
        return "outputs " + ", ".join(str(output.number) for output in self.outputs)
