"""A decoder description: everything the project knows about a decoder, from one file.

`rows.py` says which rows a file may hold, each one sentence of a leaflet; `meanings.py` what codes
say; `layout.py` writes families and groups out as cells; `checks.py` what must fit together.
Reading and writing values is one walk over cells and needs no code per decoder.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import Field, PrivateAttr, ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticCustomError

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.description.checks import Problem
from fxstudio.decoder.leaflet.cells import Cell, CellPart, LightSwitch, Who
from fxstudio.decoder.leaflet.checks import problems_in
from fxstudio.decoder.leaflet.layout import Layout, LeafletOutput, layout_of, outputs_of
from fxstudio.decoder.leaflet.looks import LookOf, looks_of
from fxstudio.decoder.leaflet.meanings import WrongRowError
from fxstudio.decoder.leaflet.rows import (
    DARK,
    AlsoRow,
    CellRow,
    Dimming,
    EffectRow,
    LimitRow,
    Milliamps,
    Name,
    OutputRow,
    Writes,
)
from fxstudio.decoder.leaflet.says import NEVER, UNKNOWN
from fxstudio.documents.models import FileModel
from fxstudio.effect.keys import ALWAYS, sorted_keys


class Leaflet(FileModel):
    """One decoder description file."""

    title: Annotated[str, Field(min_length=1, max_length=80)] = Field(
        ..., description="What the decoder is called."
    )
    note: Annotated[str, Field(max_length=600)] = Field(
        "", description="What it can do and where the description comes from."
    )
    keys: Literal["fixed", "s-9.2.2"] = Field(
        "fixed",
        description="s-9.2.2: CVs 33 to 46 give keys to outputs; fixed: each output has its key, "
        "unless cells say which.",
    )
    rules: Annotated[tuple[Name, ...], Field(strict=False, max_length=64)] = Field(
        (), description="Names of rules, each with cells that say its key and its outputs."
    )
    output_rows: Annotated[dict[Name, OutputRow], Field(min_length=1, max_length=32)] = Field(
        ..., alias="outputs", description="Its outputs by name, in order."
    )
    limit_ma: Milliamps | None = Field(
        None, description="Largest current in mA of all its outputs together, if that is known."
    )
    limits: Annotated[tuple[LimitRow, ...], Field(strict=False)] = Field(
        (), description="What groups of outputs may switch together."
    )
    pwm: Dimming | None = Field(None, description="How it dims, if that is printed.")
    effects: dict[Name, EffectRow] = Field(
        {}, description="The effects that codes name; steady and dark need no row."
    )
    cell_rows: Annotated[tuple[CellRow, ...], Field(strict=False, max_length=256)] = Field(
        (), alias="cells", description="The numbers that the decoder keeps."
    )
    before: Writes = Field(
        {}, description="CVs and what must stand in them before any write: a lock."
    )
    after: Writes = Field({}, description="CVs to write after all writes: locked again.")
    also: Annotated[tuple[AlsoRow, ...], Field(strict=False)] = Field(
        (), description="CVs that are written for other reasons, only when asked for."
    )

    _outputs: tuple[LeafletOutput, ...] = PrivateAttr()
    _looks: dict[str, LookOf] = PrivateAttr()
    _layout: Layout = PrivateAttr()

    @model_validator(mode="after")
    def _fits_together(self) -> Leaflet:
        try:
            self._outputs = _under("outputs", lambda: outputs_of(self.output_rows))
            self._looks = _under("effects", lambda: looks_of(self.effects))
            style = None if self.keys == "fixed" else self.keys
            self._layout = layout_of(
                self.cell_rows,
                self._outputs,
                list(self._looks),
                style,
                self.rules,
                self.before,
                self.after,
            )
            problems = problems_in(self._layout.cells)
            _check_limits(self)
        except WrongRowError as wrong:
            problems = [Problem(wrong.at, wrong.text, wrong.given, wrong.allowed or None)]
        if problems:
            raise ValidationError.from_exception_data(
                "Leaflet",
                [
                    InitErrorDetails(
                        type=PydanticCustomError(
                            "description",
                            "{problem}",
                            {"problem": row.text, "allowed": row.allowed},
                        ),
                        loc=row.field,
                        input=row.given,
                    )
                    for row in problems
                ],
            )
        return self

    def __repr_args__(self) -> Iterator[tuple[str, object]]:
        """Its title; all its rows would fill a page."""
        yield "title", self.title

    @property
    def outputs(self) -> tuple[LeafletOutput, ...]:
        """Its outputs in order of the file."""
        return self._outputs

    @cached_property
    def output(self) -> Mapping[int, LeafletOutput]:
        """Its outputs by number."""
        return {output.number: output for output in self._outputs}

    @property
    def group_limits_ma(self) -> tuple[tuple[frozenset[int], float], ...]:
        """What groups of outputs, by number, may switch together in mA."""
        numbers = {output.name: output.number for output in self._outputs}
        return tuple(
            (frozenset(numbers[name] for name in row.of), row.limit_ma) for row in self.limits
        )

    @property
    def levels(self) -> int | None:
        """The number of levels to which it rounds its light; None if that is not printed."""
        return self.pwm.levels if self.pwm else None

    @property
    def looks(self) -> Mapping[str, LookOf]:
        """The effects that codes name, by name."""
        return self._looks

    @property
    def switches(self) -> tuple[LightSwitch, ...]:
        """What lights outputs."""
        return self._layout.switches

    @cached_property
    def cells(self) -> Mapping[CvAddress, Cell]:
        """Its cells by CV, in order of the file."""
        return {cell.cv: cell for cell in self._layout.cells}

    @cached_property
    def delivered(self) -> dict[CvAddress, int]:
        """The value as delivered of every CV of which it is printed, in order of CV."""
        found = {c.cv: c.delivered for c in self._layout.cells if c.delivered is not None}
        return dict(sorted(found.items(), key=lambda item: item[0].order))

    @cached_property
    def lit_by(self) -> Mapping[int, tuple[LightSwitch, ...]]:
        """The switches that can light each output, in order."""
        found: defaultdict[int, list[LightSwitch]] = defaultdict(list)
        said = self._lights_said
        for switch in self.switches:
            for number in switch.lights if switch.lights is not None else said[switch.name]:
                found[number].append(switch)
        return {number: tuple(found[number]) for number in self.output}

    @cached_property
    def _lights_said(self) -> Mapping[str, list[int]]:
        """The outputs that cells can let each switch light."""
        found: defaultdict[str, list[int]] = defaultdict(list)
        for cell in self._layout.cells:
            for part in cell.parts:
                for said in part.codes.values():
                    for each in said:
                        if each.name == "lights" and each.value not in found[str(each.who)]:
                            found[str(each.who)].append(each.value)  # type: ignore[arg-type]
        return found

    @cached_property
    def keys_by_switch(self) -> Mapping[str, frozenset[str]]:
        """The keys that each switch has, or that cells can give it, by its name."""
        found = {s.name: {s.key} if s.key else set[str]() for s in self.switches}
        names = {n: s.name for s in self.switches for n in s.lights or ()}
        for _, _, part in self.parts():
            for said in part.codes.values() if "key" in part.names else ():
                for each in said:
                    if each.name == "key" and each.value != NEVER:
                        name = names[each.who] if isinstance(each.who, int) else each.who
                        found[name].add(str(each.value))
        return {name: frozenset(keys - {UNKNOWN}) for name, keys in found.items()}

    def keys_reaching(self, number: int) -> tuple[str, ...]:
        """The keys that can light an output, in order, "always" last."""
        keys = {key for switch in self.lit_by[number] for key in self.keys_by_switch[switch.name]}
        return sorted_keys(keys - {ALWAYS}) + ((ALWAYS,) if ALWAYS in keys else ())

    @cached_property
    def told_elsewhere(self) -> frozenset[str]:
        """The effects of which another part says which they are: one for several outputs."""
        said = (e for _, _, part in self.parts() for told in part.codes.values() for e in told)
        return frozenset(name for e in said if e.name == "effect" for name in e.effects or ())

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of light that its outputs can have."""
        names = dict.fromkeys(
            str(each.value)
            for _, _, part in self.parts()
            for said in part.codes.values()
            for each in said
            if each.name == "effect"
        )
        found = dict.fromkeys(self.looks[name].kind for name in names or ("steady",))
        return tuple(kind for kind in found if kind not in (DARK, UNKNOWN))

    def rates(self, number: int) -> tuple[float, float] | None:
        """The slowest and the fastest rate that is known of an output; None if none is."""
        said = [
            each.value
            for _, _, part in self.parts()
            if "rate_hz" in part.names and number in part.who
            for row in part.codes.values()
            for each in row
            if each.name == "rate_hz" and each.who == number and isinstance(each.value, float)
        ]
        said += [look.rate_hz for look in self.looks.values() if look.rate_hz is not None]
        return (min(said), max(said)) if said else None

    def parts(self) -> Iterator[tuple[Cell, int, CellPart]]:
        """Every part with its cell and its place in it, what is others' left out."""
        for cell in self._layout.cells:
            for at, part in enumerate(cell.parts):
                if not part.others:
                    yield cell, at, part

    @cached_property
    def concerned(self) -> Mapping[int, tuple[Cell, ...]]:
        """The cells that each output depends on, in order of the file."""
        found = {}
        for number in self.output:
            who: set[Who] = {number, *(switch.name for switch in self.lit_by[number])}
            found[number] = tuple(
                cell
                for cell in self._layout.cells
                if any(_concerns(part, number, who) for part in cell.parts)
            )
        return found

    @property
    def outputs_text(self) -> str:
        """`outputs 1, 2, 3, 4`."""
        return "outputs " + ", ".join(str(output.number) for output in self._outputs)


def _concerns(part: CellPart, number: int, who: set[Who]) -> bool:
    if not part.who & who:
        return False
    if part.names == {"lights"}:
        return any(each.value == number for said in part.codes.values() for each in said)
    return True


def _under(field: str, work: Any) -> Any:
    """What `work` gives; what is wrong stands under `field`."""
    try:
        return work()
    except WrongRowError as wrong:
        raise WrongRowError((field, *wrong.at), wrong.text, wrong.given, wrong.allowed) from None


def _check_limits(leaflet: Leaflet) -> None:
    for index, row in enumerate(leaflet.limits):
        for name in row.of:
            if name not in leaflet.output_rows:
                allowed = ", ".join(leaflet.output_rows)
                raise WrongRowError(("limits", index, "of"), "is no output", name, allowed)
