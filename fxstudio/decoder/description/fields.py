"""Fields: where a decoder keeps one property of each output, and what its codes mean.

All styles of coding come down to this: a property of an output is a code in some bits of
some CV. A field says which bits for the first output and how far on they are for the next,
and what each code means. Nothing else in the project knows how a decoder codes.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Any, Literal, Union

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV, Bits, CvAddress
from fxstudio.dcc.function_map import DIRECTIONS, Directions
from fxstudio.documents.models import FileModel
from fxstudio.effect.gate import DIRECTED_WORDS
from fxstudio.effect.patterns import PATTERNS, Level, Pattern, Steady
from fxstudio.units import percent


def _one_or_each(data: object) -> object:
    """A number becomes a tuple of one; a list becomes a tuple."""
    rows = data if isinstance(data, list | tuple) else [data]
    if not rows or any(type(row) is not int for row in rows):
        raise PydanticCustomError(
            "one_or_each",
            "is neither a whole number nor a list of them",
            {"allowed": "a whole number, or a list with one for each output"},
        )
    return tuple(rows)


def _one_or_each_of(number: Any) -> BeforeValidator:
    return BeforeValidator(_one_or_each, json_schema_input_type=number | tuple[number, ...])


Byte = Annotated[int, Field(ge=0, le=LARGEST_VALUE)]
CvNumber = Annotated[int, Field(ge=FIRST_CV, le=LAST_CV)]
FilePage = Annotated[tuple[Byte, Byte], Field(strict=False)]
"""A `CvPage` as a file holds it."""


class OutputField(FileModel, ABC):
    """Where one property of every output is kept. Subclasses say what the codes mean."""

    cv: Annotated[tuple[CvNumber, ...], _one_or_each_of(CvNumber)] = Field(
        ..., description="CV of the first output, or a list with the CV of each output."
    )
    cv_step: Byte = Field(0, description="How many CVs further the next output is.")
    page: FilePage | None = Field(
        None, description="Contents of CV31 and CV32 for the first output, for CVs 257 to 512."
    )
    page_step: Byte = Field(0, description="How much higher CV32 is for the next output.")
    bit: Annotated[int, Field(ge=0, le=7)] = Field(
        0, description="Lowest bit it uses for the first output, 0 to 7."
    )
    bits: Annotated[int, Field(ge=1, le=8)] = Field(8, description="Number of bits it uses.")
    bit_step: Annotated[int, Field(ge=0, le=8)] = Field(
        0, description="How many bits further the next output is; after bit 7 comes the next CV."
    )
    works: Annotated[tuple[Byte, ...], _one_or_each_of(Byte)] = Field(
        ..., description="Code as delivered, or a list with the code of each output."
    )

    def bits_of(self, index: int) -> Bits:
        """The bits of the output at `index` in the description's list of outputs."""
        carry, bit = divmod(self.bit + index * self.bit_step, 8)
        number = self.cv[index] if len(self.cv) > 1 else self.cv[0] + index * self.cv_step
        page = self.page and (self.page[0], self.page[1] + index * self.page_step)
        return Bits(CvAddress(number + carry, page), bit, self.bits)

    def works_code(self, index: int) -> int:
        """The code as delivered of the output at `index`."""
        return self.works[index] if len(self.works) > 1 else self.works[0]

    @cached_property
    @abstractmethod
    def meanings(self) -> Mapping[int, object]:
        """What each code means; a code that is not in it is not allowed."""

    @abstractmethod
    def words(self, code: int) -> str:
        """The meaning of a code for a person."""

    @property
    def largest_code(self) -> int:
        """The largest number its bits can hold."""
        return (1 << self.bits) - 1

    def codes_works_first(self, index: int) -> list[int]:
        """All codes of the output at `index`, the one as delivered before the others."""
        works = self.works_code(index)
        return [works, *(code for code in sorted(self.meanings) if code != works)]


class Dark(FileModel):
    """No light: the output never lights, whatever its key."""

    kind: Literal["dark"] = "dark"


CODE_PATTERNS: tuple[type[FileModel], ...] = (*PATTERNS, Dark)
if TYPE_CHECKING:
    CodePattern = Pattern | Dark
else:  # all of them, whichever there are
    CodePattern = Annotated[Union[CODE_PATTERNS], Field(discriminator="kind")]  # noqa: UP007
CODE_KINDS: dict[str, type[FileModel]] = {
    row.model_fields["kind"].default: row for row in CODE_PATTERNS
}
"""What an effect code may do: a pattern of an effect, or nothing."""


class EffectCode(FileModel):
    """One row of a table of effect codes."""

    code: Byte = Field(..., description="The number in the decoder's manual.")
    name: str = Field(..., min_length=1, max_length=60, description="What the manual calls it.")
    pattern: CodePattern = Field(
        ..., description='What the decoder does, at its full level; kind = "dark" if nothing.'
    )


class EffectField(OutputField):
    """The effect code of each output."""

    codes: Annotated[tuple[EffectCode, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="The table of effect codes."
    )

    @cached_property
    def meanings(self) -> Mapping[int, Pattern]:
        """Code to pattern at full level; of one that is dark a steady light of level 0."""
        return {
            row.code: Steady(level=0.0) if isinstance(row.pattern, Dark) else row.pattern
            for row in self.codes
        }

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of light that its codes give, each once, in order of the table."""
        lit = (pattern.kind for pattern in self.meanings.values() if not pattern.is_dark)
        return tuple(dict.fromkeys(lit))

    def words(self, code: int) -> str:
        """`soft flicker`."""
        return next(row.name for row in self.codes if row.code == code)


class TravelCode(FileModel):
    """One row of a table of travel codes."""

    code: Byte = Field(..., description="The number in the decoder's manual.")
    travel: Literal["forward", "reverse", "both", "none"] = Field(
        ..., description="Directions in which the output may shine."
    )


class GateField(OutputField):
    """In which directions each output may shine."""

    @cached_property
    @abstractmethod
    def meanings(self) -> Mapping[int, Directions]:
        """Code to the directions that it permits."""


class TravelField(GateField):
    """The travel code of each output."""

    codes: Annotated[tuple[TravelCode, ...], Field(strict=False, min_length=1)] = Field(
        ..., description="The table of travel codes."
    )

    @cached_property
    def meanings(self) -> Mapping[int, Directions]:
        """Code to the directions in which the output may shine."""
        return {row.code: DIRECTIONS[row.travel] for row in self.codes}

    def words(self, code: int) -> str:
        """`both directions`, `forward only`."""
        travel = next(row.travel for row in self.codes if row.code == code)
        return "in neither direction" if travel == "none" else DIRECTED_WORDS[travel]


class SwitchField(GateField):
    """One bit of each output: whether it may shine in one direction."""

    bits: Annotated[int, Field(ge=1, le=1)] = Field(1, description="A switch uses one bit.")
    on: Literal[0, 1] = Field(1, description="The bit that lets the output shine.")

    def permits(self, code: int) -> bool:
        """Whether the code lets the output shine in the field's direction."""
        return code == self.on

    def words(self, code: int) -> str:
        """`yes` or `no`."""
        return "yes" if self.permits(code) else "no"


class ForwardField(SwitchField):
    """Whether each output may shine when travelling forward."""

    @cached_property
    def meanings(self) -> Mapping[int, Directions]:
        """Code to the directions it leaves."""
        return {self.on: DIRECTIONS["both"], 1 - self.on: DIRECTIONS["reverse"]}

    def words(self, code: int) -> str:
        """`shines forward`."""
        return "shines forward" if self.permits(code) else "dark forward"


class ReverseField(SwitchField):
    """Whether each output may shine when travelling in reverse."""

    @cached_property
    def meanings(self) -> Mapping[int, Directions]:
        """Code to the directions it leaves."""
        return {self.on: DIRECTIONS["both"], 1 - self.on: DIRECTIONS["forward"]}

    def words(self, code: int) -> str:
        """`shines in reverse`."""
        return "shines in reverse" if self.permits(code) else "dark in reverse"


class ShareField(OutputField):
    """A share of one for each output, in even steps or from a list."""

    full: Annotated[int, Field(ge=1, le=LARGEST_VALUE)] | None = Field(
        None, description="Code of 100 %; smaller codes are that share of it."
    )
    shares: Annotated[tuple[Level, ...], Field(strict=False, min_length=2)] | None = Field(
        None, description="Instead of full: the shares of codes 0, 1, 2 ..., each 0 to 1."
    )

    @cached_property
    def meanings(self) -> Mapping[int, float]:
        """Code to share, 0..1 in linear light."""
        if self.shares is not None:
            return dict(enumerate(self.shares))
        full = self.full or self.largest_code
        return {code: code / full for code in range(full + 1)}


class LevelField(ShareField):
    """How bright each output is: it scales the whole pattern."""

    def words(self, code: int) -> str:
        """`level 35 %`."""
        return f"level {percent(self.meanings[code])}"


class LowestField(ShareField):
    """How dark each output gets, as a share of its own brightest moment."""

    def words(self, code: int) -> str:
        """`down to 20 % of its brightest`."""
        return f"down to {percent(self.meanings[code])} of its brightest"
