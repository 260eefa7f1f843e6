"""Currents added up, for each output and for the whole decoder, against what they may be."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from fxstudio.errors import InputError


class OutputLoad(NamedTuple):
    """What is connected to one output, in mA; `limit_ma` None if not known."""

    output: int
    current_ma: float
    limit_ma: float | None

    @property
    def is_over(self) -> bool:
        """Whether it is more than the output may switch."""
        return self.limit_ma is not None and self.current_ma > self.limit_ma


class GroupLoad(NamedTuple):
    """The most that can be on at once of several outputs with a limit of their own, in mA."""

    outputs: tuple[int, ...]
    current_ma: float
    limit_ma: float

    @property
    def is_over(self) -> bool:
        """Whether it is more than they may switch together."""
        return self.current_ma > self.limit_ma


class Loads(NamedTuple):
    """All outputs, and the most that can be on at once against the decoder's limit in mA.

    limit_ma : what all outputs may give together; None if not known
    together : the outputs of which that most is made up
    groups : outputs that have a limit together
    """

    outputs: tuple[OutputLoad, ...]
    limit_ma: float | None
    together: tuple[int, ...]
    groups: tuple[GroupLoad, ...] = ()

    @property
    def current_ma(self) -> float:
        """The most that can be on at once."""
        return math.fsum(load.current_ma for load in self.outputs if load.output in self.together)

    @property
    def is_over(self) -> bool:
        """Whether that is more than the decoder may give."""
        return self.limit_ma is not None and self.current_ma > self.limit_ma

    @property
    def words(self) -> str:
        """The most that can be lit at once, its outputs, and the limit."""
        limit = "" if self.limit_ma is None else f" of {self.limit_ma:g} mA"
        return (
            f"{round(self.current_ma, 1):g} mA{limit} at most at once, with outputs "
            f"{', '.join(map(str, self.together)) or 'none'} on"
        )

    def warnings(self) -> list[str]:
        """What is too much, in plain words."""
        said = [
            f"Output {load.output} carries {round(load.current_ma, 1):g} mA but may switch only "
            f"{load.limit_ma:g} mA: use fewer lamps on it, or larger resistors."
            for load in self.outputs
            if load.is_over
        ]
        said += [
            f"Outputs {', '.join(map(str, group.outputs))} carry {round(group.current_ma, 1):g} mA "
            f"at once but may switch only {group.limit_ma:g} mA together: use fewer lamps on them, "
            "or larger resistors."
            for group in self.groups
            if group.is_over
        ]
        if self.is_over:
            said.append(
                f"Outputs {', '.join(map(str, self.together))} together carry "
                f"{round(self.current_ma, 1):g} mA but the decoder gives only "
                f"{self.limit_ma:g} mA: the motor counts too, see the maker's manual."
            )
        return said


def add_up(
    chains_ma: Mapping[int, Sequence[float]],
    output_limits_ma: Mapping[int, float] | float | None = None,
    decoder_limit_ma: float | None = None,
    lit_together: Iterable[Collection[int]] | None = None,
    group_limits_ma: Iterable[tuple[Collection[int], float]] = (),
) -> Loads:
    """The loads of a decoder.

    chains_ma : for each output the current of each chain of LEDs on it (chains are parallel)
    output_limits_ma : what each output may switch, or one number for all
    lit_together : sets of outputs that can be on at once; None if all can
    group_limits_ma : outputs that have a limit together, and what it is

    Raises InputError for a current or a limit that cannot be.
    """
    limits = (
        output_limits_ma
        if isinstance(output_limits_ma, Mapping)
        else dict.fromkeys(chains_ma, output_limits_ma)
    )
    for output, chains in chains_ma.items():
        for current in chains:
            _check(f"output {output}", current)
    for limit in (decoder_limit_ma, *limits.values()):
        if limit is not None:
            _check("limit", limit)
    loads = tuple(
        OutputLoad(output, math.fsum(chains_ma[output]), limits.get(output))
        for output in sorted(chains_ma)
    )
    sets = [set(chains_ma)] if lit_together is None else [set(each) for each in lit_together]
    groups = tuple(_group(loads, sets, set(of), limit) for of, limit in group_limits_ma)
    found = [
        Loads(loads, decoder_limit_ma, tuple(sorted(s & set(chains_ma))), groups) for s in sets
    ]
    return max(found, key=lambda each: each.current_ma)


def _group(
    loads: Iterable[OutputLoad], sets: Iterable[set[int]], of: set[int], limit_ma: float
) -> GroupLoad:
    own = {load.output: load.current_ma for load in loads if load.output in of}
    currents = [(math.fsum(own[n] for n in s & own.keys()), sorted(s & own.keys())) for s in sets]
    current_ma, outputs = max(currents, key=lambda each: each[0], default=(0.0, []))
    return GroupLoad(tuple(outputs), current_ma, limit_ma)


def _check(field: str, current_ma: float) -> None:
    if not 0 < current_ma <= 10_000:
        raise InputError("is not a current", field=field, given=current_ma).allowing(
            "above 0, to 10000 mA", remedy="give it in milliamperes, such as 5"
        )
