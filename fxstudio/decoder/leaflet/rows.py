"""The rows of a description file, each one sentence of a leaflet in its words and figures.

A cell is a number that the decoder keeps: one CV, or a family of alike CVs. Its parts are shares
of that number: value = offset + sum of code x times. A part's meaning is what its codes say.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    WithJsonSchema,
    create_model,
    model_validator,
)
from pydantic_core import PydanticCustomError

from fxstudio.dcc.cv import FIRST_CV, LARGEST_VALUE, LAST_CV
from fxstudio.decoder.leaflet.says import PROPERTIES, SAYS, SPECIAL_SAYS, UNKNOWN, Property
from fxstudio.documents.models import Facts, FileModel, field_facts
from fxstudio.effect.gate import Directed
from fxstudio.effect.keys import KeyOrAlways
from fxstudio.effect.patterns import KINDS, PATTERNS

DARK = "dark"
"""The kind of an effect without any light."""

Byte = Annotated[int, Field(ge=0, le=LARGEST_VALUE)]
CvNumber = Annotated[int, Field(ge=FIRST_CV, le=LAST_CV)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Milliamps = Annotated[float, Field(gt=0, le=10000)]


def _page(data: object) -> object:
    """`{ 31 = 16, 32 = 4 }` is `[16, 4]`."""
    if isinstance(data, Mapping) and set(data) == {"31", "32"}:
        return data["31"], data["32"]
    return data


PageTable = WithJsonSchema(
    {
        "type": "object",
        "properties": {
            cv: {"type": "integer", "minimum": 0, "maximum": LARGEST_VALUE} for cv in ("31", "32")
        },
        "required": ["31", "32"],
        "additionalProperties": False,
    }
)
"""A page as a table, for the schema: `_page` reads it."""
FilePage = Annotated[
    tuple[Byte, Byte],
    Field(strict=False),
    BeforeValidator(
        _page, json_schema_input_type=tuple[Byte, Byte] | Annotated[dict[str, Any], PageTable]
    ),
]
"""Contents of CV31 and CV32 as a file holds them: `[16, 4]`, or `{ 31 = 16, 32 = 4 }`."""


def _names(data: object) -> object:
    return (data,) if isinstance(data, str) else data


NameList = Annotated[tuple[Name, ...], Field(strict=False, min_length=1, max_length=64)]
Names = Annotated[NameList, BeforeValidator(_names, json_schema_input_type=Name | NameList)]

Says = Literal[(*SAYS, *SPECIAL_SAYS)]  # type: ignore[valid-type]
SaysList = Annotated[tuple[Says, ...], Field(strict=False, min_length=1, max_length=4)]
Known = Literal["leaflet", "guess", "measured", "by eye"]
"""Where a figure comes from."""


def _code_keys(data: object) -> object:
    """TOML has text for names only: `{ 0 = "dark" }` has the name "0"."""
    if not isinstance(data, Mapping):
        return data
    codes: dict[object, object] = {}
    for key, value in data.items():
        text = str(key)
        if not (text.isascii() and text.isdigit() and int(text[:4]) <= LARGEST_VALUE):
            allowed = {"allowed": f"codes from 0 to {LARGEST_VALUE}"}
            raise PydanticCustomError(
                "code", f"gives a meaning to {text}, which is no code", allowed
            )
        codes[int(text)] = value
    return codes


CODE = "^0*([0-9]{1,2}|1[0-9]{2}|2[0-4][0-9]|25[0-5])$"
"""How a code from 0 to 255 is written as the name of an entry."""

Codes = Annotated[
    dict[Byte, Any],
    Field(min_length=1),
    BeforeValidator(
        _code_keys,
        json_schema_input_type=Annotated[
            dict[Annotated[str, Field(pattern=CODE)], Any], Field(min_length=1)
        ],
    ),
]


def _none_if_unknown(data: object) -> object:
    """Values as delivered, with nothing for those that are not printed."""
    if isinstance(data, Mapping):
        return {name: _none_if_unknown(value) for name, value in data.items()}
    if isinstance(data, list | tuple):
        return [_none_if_unknown(value) for value in data]
    return None if data == UNKNOWN else data


PrintedByte = Byte | Literal["unknown"]
Delivered = Annotated[
    Byte | dict[str, Byte | None] | Annotated[tuple[Byte | None, ...], Field(strict=False)] | None,
    BeforeValidator(
        _none_if_unknown,
        json_schema_input_type=PrintedByte | dict[str, PrintedByte] | tuple[PrintedByte, ...],
    ),
]
"""A value as delivered, or that of each of several cells; None for one that is not printed."""

Writes = dict[Annotated[str, WithJsonSchema({"pattern": "^[0-9]+$"})], Byte]
"""Values by the number of a CV, as text: TOML has no other names."""


class OutputRow(FileModel):
    """One switched wire of the decoder."""

    like: Name | None = Field(None, description="Another output whose entries hold here too.")
    number: Annotated[int, Field(ge=1, le=32)] | None = Field(
        None,
        description="Its number in effects: 1 front light, 2 rear light, 3 onwards. Without it, "
        "its place in the list.",
    )
    wire: str = Field("", max_length=40, description="Colour of its wire, or its solder pad.")
    key: KeyOrAlways | Literal["unknown"] | None = Field(
        None,
        description='Key that switches it as delivered, "always" or "unknown"; fixed if no cell '
        "says else.",
    )
    travel: Directed = Field(
        "both", description="Directions in which that key switches it as delivered."
    )
    limit_ma: Milliamps | None = Field(
        None, description="Largest current in mA that it may switch; leave it out if not printed."
    )


class CodeRun(FileModel):
    """Codes from one to another, as a file has them: `from` and `to`."""

    model_config = ConfigDict(populate_by_name=True)

    first_code: Byte = Field(0, alias="from", description="First code.")
    last_code: Byte = Field(LARGEST_VALUE, alias="to", description="Last code.")

    @model_validator(mode="after")
    def _rising(self) -> CodeRun:
        if self.first_code > self.last_code:
            raise PydanticCustomError(
                "steps",
                f"goes from {self.first_code} to {self.last_code}: swap them",
                {"allowed": "from a smaller code to a larger one"},
            )
        return self

    @property
    def codes(self) -> range:
        """All its codes."""
        return range(self.first_code, self.last_code + 1)


class CodeSteps(CodeRun):
    """Codes at even distances, or at one ratio from each to the next."""

    first: float | None = Field(None, description="What the first code says.")
    last: float | None = Field(None, description="What the last code says.")


class Silent(CodeRun):
    """Codes of which the leaflet does not say what they mean."""

    rising: bool | None = Field(
        None, description="Whether a larger code is more of it; leave it out if not printed."
    )


class KeyCodes(CodeRun):
    """Codes that are the numbers of keys."""

    first: KeyOrAlways = Field("F0", description="The key of the first code.")


class PartRow(CodeRun):
    """A share of a cell's number, and what its codes say.

    One of codes, even, ratio, points, each_s, each_hz, ranges, unknown, keys and sum gives the
    meaning; codes may stand beside another, for what single codes say instead.
    """

    says: Annotated[SaysList, BeforeValidator(_names, json_schema_input_type=Says | SaysList)] = (
        Field(..., description="What the codes say, or a list of what they say at once.")
    )
    times: Annotated[int, Field(ge=1, le=LARGEST_VALUE)] = Field(
        1, description="How much each step of the code adds to the value."
    )
    of: Names | None = Field(None, description="Outputs it serves; without it, those of the cell.")
    of_effect: Names | None = Field(
        None, description="Effects for which it counts; without it, all that have such a thing."
    )
    while_key: KeyOrAlways | None = Field(
        None, alias="while", description="A key: the level counts while it is on, in its place."
    )
    table: Codes | None = Field(
        None, alias="codes", description="Table of codes: { 0 = ..., 1 = ... }."
    )
    even: CodeSteps | None = Field(None, description="Even steps: { from = 0, to = 63 }.")
    ratio: CodeSteps | None = Field(None, description="Steps of one ratio, with first and last.")
    points: (
        Annotated[
            tuple[Annotated[tuple[Byte, float], Field(strict=False)], ...],
            Field(strict=False, min_length=2),
        ]
        | None
    ) = Field(None, description="[[code, what it says], ...], straight lines in between.")
    each_s: float | None = Field(None, description="Time in s that each step of the code is.")
    each_hz: float | None = Field(None, description="Changes a second that each step is.")
    plus: float = Field(0.0, description="What code 0 says, with each_s or each_hz.")
    ranges: Annotated[tuple[RangeRow, ...], Field(strict=False, min_length=1)] | None = Field(
        None, description="Runs of codes that mean different things."
    )
    unknown: Silent | None = Field(None, description="Codes whose meaning is not printed.")
    keys: KeyCodes | None = Field(None, description="Codes that are numbers of keys.")
    sum: dict[Name, Annotated[int, Field(ge=1, le=LARGEST_VALUE)]] | None = Field(
        None, description="What each output adds to the value: { A = 1, B = 2 }."
    )
    set: str | None = Field(
        None, description='What it says of the outputs in the sum; "yes" if it is left out.'
    )
    in_s: bool = Field(
        False, description="Whether even, ratio or points of a rate are times between changes."
    )
    what: Annotated[str, Field(max_length=60)] = Field(
        "", description='What the leaflet gives it to, for says = "other".'
    )
    known: Known = Field("leaflet", description="Where the figures come from.")
    within: Annotated[float, Field(gt=0, le=1)] | None = Field(
        None, description="How sure a measured figure is, as a share: 0.15 is 15 % up or down."
    )


class RangeBase(CodeRun):
    """A run of codes of one meaning: fixed properties, and some that go from one end to another."""

    effect: str | None = Field(None, description="The effect of these codes.")
    steps: Literal["even", "ratio"] = Field(
        "even", description="How what goes from one end to another does."
    )


def _as_said(row: Property) -> tuple[Any, Any]:
    """The field of a property in a run of codes: one thing, or for a number its two ends too."""
    if not row.is_number:
        choices = WithJsonSchema({"enum": list(row.choices)})
        return Annotated[Any, choices], Field(None, description=f"The {row.words} of these codes.")
    number = {"type": "number", "minimum": row.lowest, "maximum": row.highest}
    ends = {"type": "array", "items": number, "minItems": 2, "maxItems": 2}
    ways = WithJsonSchema({"anyOf": [number, ends, {"const": UNKNOWN}]})
    words = f"The {row.words}: {row.allowed}, or [first, last]."
    return Annotated[Any, ways], Field(None, description=words)


if TYPE_CHECKING:
    RangeRow = RangeBase
else:
    RangeRow = create_model(
        "RangeRow",
        __base__=RangeBase,
        __doc__=RangeBase.__doc__,
        **{
            name: _as_said(row)
            for name, row in PROPERTIES.items()
            if name not in ("effect", "lights")
        },
    )


def _pattern_fields() -> dict[str, Any]:
    """Every field that a pattern has, each of them perhaps unknown."""
    found: dict[str, Any] = {}
    for pattern in PATTERNS:
        for name, facts in field_facts(pattern).items():
            if name != "kind":
                kind = float | int if facts.type is float else facts.type
                found.setdefault(
                    name, (kind | Literal["unknown"] | None, Field(None, description=facts.help))
                )
    return found


Rate = Annotated[float, Field(ge=PROPERTIES["rate_hz"].lowest, le=PROPERTIES["rate_hz"].highest)]


def _of_each_kind(schema: dict[str, Any]) -> None:
    """Say of each kind which fields it has, and their limits."""
    common = {"kind", "rate_hz", "known", "within"}
    schema["allOf"] = [
        {
            "if": {"properties": {"kind": {"const": kind}}},
            "then": {
                "propertyNames": {"enum": sorted({*common, *field_facts(pattern)})},
                "properties": {
                    name: _limits(facts)
                    for name, facts in field_facts(pattern).items()
                    if facts.lowest is not None
                },
            },
        }
        for kind, pattern in KINDS.items()
    ]


def _limits(facts: Facts) -> dict[str, float | None]:
    return {
        "exclusiveMinimum" if facts.above else "minimum": facts.lowest,
        "exclusiveMaximum" if facts.below else "maximum": facts.highest,
    }


class EffectBase(FileModel):
    """One effect that codes name, with what the leaflet prints of it.

    What neither it nor a part of a cell says is unknown.
    """

    model_config = ConfigDict(json_schema_extra=_of_each_kind)

    kind: Literal[(*KINDS, DARK, UNKNOWN)] = Field(  # type: ignore[valid-type]
        ..., description='What the light does; "dark" if there is none, or "unknown".'
    )
    rate_hz: Rate | Literal["unknown"] | None = Field(
        None, description="Changes a second, where the leaflet prints one and no cell sets it."
    )
    known: Known = Field("leaflet", description="Where these figures come from.")
    within: Annotated[float, Field(gt=0, le=1)] | None = Field(
        None, description="How sure a measured figure is, as a share: 0.15 is 15 % up or down."
    )


if TYPE_CHECKING:
    EffectRow = EffectBase
else:
    EffectRow = create_model(
        "EffectRow", __base__=EffectBase, __doc__=EffectBase.__doc__, **_pattern_fields()
    )


class CellRow(FileModel):
    """A number that the decoder keeps, or a family of alike ones."""

    cv: CvNumber | dict[str, CvNumber] = Field(
        ...,
        description="Its CV; or a table with the CV of each output, of each key and direction "
        '("F0 forward"), or of each rule.',
    )
    each: Byte | None = Field(
        None, description="How many CVs further that of the next output is; one for each output."
    )
    of: Names | None = Field(None, description="Outputs it serves; without it, all.")
    page: FilePage | None = Field(
        None, description="Contents of CV31 and CV32 that select it: { 31 = 16, 32 = 4 }."
    )
    page_each: Byte = Field(0, description="How much higher CV32 is for the next output.")
    offset: Byte = Field(0, description="What is added to the sum of its parts.")
    highest: Byte | None = Field(
        None, description="No value above this one; leave it out if all sums are allowed."
    )
    parts: Annotated[tuple[PartRow, ...], Field(strict=False, min_length=1, max_length=16)] = Field(
        ..., description="What shares of the number say."
    )
    delivered: Delivered = Field(
        None,
        description="Value as delivered, or a table or list with that of each; unknown if it is "
        "not printed.",
    )
    before: Writes = Field(
        {}, description="CVs and what must stand in them before it is written: a lock."
    )
    after: Writes = Field({}, description="CVs to write after it, to lock again or to confirm.")
    resets: Annotated[tuple[CvNumber, ...], Field(strict=False)] = Field(
        (), description="CVs that go back to delivered when it is written, on its own page."
    )
    note: Annotated[str, Field(max_length=600)] = Field("", description="What else is printed.")


class Dimming(FileModel):
    """How the decoder dims: it switches the output on and off faster than the eye sees."""

    levels: Annotated[int, Field(ge=2, le=65536)] | None = Field(
        None, description="Number of brightness levels it can make, dark and full counted."
    )
    refresh_ms: Annotated[float, Field(gt=0, le=100)] | None = Field(
        None, description="Time of one on-and-off in ms."
    )


class LimitRow(FileModel):
    """What several outputs may switch together."""

    of: Names = Field(..., description="The outputs.")
    limit_ma: Milliamps = Field(..., description="Largest current in mA of all of them together.")


class AlsoRow(FileModel):
    """A CV that is written for another reason, and only when asked for."""

    name: Name = Field(..., description="What it is called when it is asked for.")
    cv: CvNumber = Field(..., description="The CV.")
    page: FilePage | None = Field(None, description="Contents of CV31 and CV32 that select it.")
    value: Byte = Field(..., description="What to write.")
    delivered: Byte | None = Field(None, description="Value as delivered, if it is printed.")
    why: Annotated[str, Field(min_length=1, max_length=200)] = Field(
        ..., description="What it is good for."
    )


PartRow.model_rebuild()
