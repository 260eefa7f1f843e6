"""What must fit together in a decoder description.

Each check is one generator in `CHECKS`. They run in order, and the first one that finds
something ends the run, as later ones rely on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Final, NamedTuple

from fxstudio.dcc import cv
from fxstudio.dcc.cv import Bits, CvAddress
from fxstudio.dcc.function_map import DIRECTIONS, keys_reaching, rows_for
from fxstudio.decoder.description.fields import EffectField, ShareField, TravelField
from fxstudio.decoder.description.tables import Tables

ONE_FOR_EACH: Final = (
    "bits of its own for each output: see cv_step, bit_step, page_step, bit and bits. If the "
    "manual says that one code serves them all, fxstudio cannot work with it yet, and leaving it "
    "out of the file would make what is said of it wrong"
)


class Problem(NamedTuple):
    """Something that does not fit, and where."""

    field: tuple[str | int, ...]
    text: str
    given: Any = None
    allowed: str | None = None


def first_problems(description: Tables) -> list[Problem]:
    """What the first check that finds something finds; empty if all fits together."""
    for check in CHECKS:
        if problems := list(check(description)):
            return problems
    return []


def output_numbers(description: Tables) -> Iterator[Problem]:
    """Outputs stand in order, each once."""
    for index, (before, after) in enumerate(pairwise(description.outputs), start=1):
        if after.number <= before.number:
            yield Problem(
                ("outputs", index, "number"),
                f"comes after output {before.number}",
                after.number,
                "each output once, in order of their numbers",
            )


def lists(description: Tables) -> Iterator[Problem]:
    """A list that gives something for each output has one entry for each."""
    count = len(description.outputs)
    for name, field in description.fields.items():
        for part in ("cv", "works"):
            entries = getattr(field, part)
            if len(entries) not in (1, count):
                yield Problem(
                    (name, part),
                    f"has {len(entries)} entries for {count} outputs",
                    list(entries),
                    "a whole number, or a list with one for each output",
                )
        if len(field.cv) == count > 1 and field.cv_step:
            yield Problem(
                (name, "cv_step"), "has no use where cv is a list", field.cv_step, "leave it out"
            )


def codes(description: Tables) -> Iterator[Problem]:
    """Codes fit their bits, each stands once, and the code as delivered is one of them."""
    for name, field in description.fields.items():
        fits = f"0 to {field.largest_code}, as it has {field.bits} bits"
        if isinstance(field, EffectField | TravelField):
            listed = [row.code for row in field.codes]
            for index, code in enumerate(listed):
                at = (name, "codes", index, "code")
                if code > field.largest_code:
                    yield Problem(at, "does not fit its bits", code, fits)
                if code in listed[:index]:
                    yield Problem(at, "stands twice", code, "each code once")
        if isinstance(field, ShareField):
            if field.full is not None and field.shares is not None:
                yield Problem((name, "shares"), "stands beside full", None, "one of full, shares")
            if max(field.meanings) > field.largest_code:
                part = "full" if field.shares is None else "shares"
                yield Problem((name, part), "has codes that do not fit its bits", None, fits)
        known = ", ".join(map(str, sorted(field.meanings)))
        for code in field.works:
            if code not in field.meanings:
                yield Problem((name, "works"), "is not one of its codes", code, known)


def steady_light(description: Tables) -> Iterator[Problem]:
    """There is a steady light: what every other pattern can fall back to."""
    if all(row.pattern.kind != "steady" for row in description.effect.codes):
        yield Problem(
            ("effect", "codes"),
            "has no steady light",
            None,
            'one row at least with pattern = { kind = "steady" }',
        )


def rate_parts(description: Tables) -> Iterator[Problem]:
    """The shared rate is a CV with its values, or fixed."""
    rate = description.rate
    parts = ("cv", "works", "curve")
    given = [part for part in (*parts, "page") if getattr(rate, part) is not None]
    allowed = "cv, works and curve; or fixed_hz alone, where no CV sets the rate"
    if rate.fixed_hz is not None and given:
        yield Problem(("rate", "fixed_hz"), f"stands beside {given[0]}", rate.fixed_hz, allowed)
    lacking = [part for part in parts if part not in given]
    if rate.fixed_hz is None and lacking:
        yield Problem(("rate",), f"lacks {' and '.join(lacking)}", None, allowed)


def cv_numbers(description: Tables) -> Iterator[Problem]:
    """Every CV is one that a maker may use, and bits stay inside their CV."""
    found = [
        (name, output.number, field.bits_of(index))
        for name, field in description.fields.items()
        for index, output in enumerate(description.outputs)
    ]
    if description.rate.bits:
        found.append(("rate", 0, description.rate.bits))
    told: set[tuple[str | int, ...]] = set()
    for name, output, bits in found:
        problem = _misplaced(name, f"output {output}: " if output else "", bits)
        if problem and problem.field not in told:
            told.add(problem.field)
            yield problem


def _misplaced(name: str, at: str, bits: Bits) -> Problem | None:
    """Why nothing may be kept in `bits`; `at` begins the sentence."""
    number, page = bits.address.number, bits.address.page
    if page is not None and (page[0] not in cv.CV31_RANGE or page[1] not in cv.CV32_RANGE):
        words = f"{at}CV31 = {page[0]}, CV32 = {page[1]} is no page for makers"
        allowed = "CV31 from 16 to 255, CV32 from 0 to 255"
        return Problem((name, "page"), words, list(page), allowed)
    if refused := cv.refusal(bits.address):
        return Problem((name, "cv"), at + refused, number, cv.ALLOWED_TEXT)
    if bits.bit + bits.count > 8:
        words = f"{at}goes past bit 7: {bits.count} bits from bit {bits.bit}"
        return Problem((name, "bits"), words, number, "bits that all lie in one CV")
    return None


def overlaps(description: Tables) -> Iterator[Problem]:
    """No two things are kept in the same bits. Each thing that is in the way is told once."""
    rate = description.rate.address
    owners: dict[tuple[CvAddress, int], tuple[str, str]] = (
        {(rate, bit): ("rate", "the shared rate") for bit in range(8)} if rate else {}
    )
    told: set[str] = set()
    for name, field in description.fields.items():
        for index, output in enumerate(description.outputs):
            bits = field.bits_of(index)
            for bit in range(bits.bit, bits.bit + bits.count):
                mine = (name, f"the {name} of output {output.number}")
                owner = owners.setdefault((bits.address, bit), mine)
                if owner is not mine and owner[0] not in told:
                    told.add(owner[0])
                    if together := _served_together(description, name, index):
                        yield Problem((name, "cv"), together, None, ONE_FOR_EACH)
                        continue
                    yield Problem(
                        (name, "cv"),
                        f"{owner[1]} and {mine[1]} both use bit {bit} of {bits.address}",
                        None,
                        "bits of its own for each output and field: see cv_step, bit_step, "
                        "page_step, bit and bits",
                    )


def _served_together(description: Tables, name: str, index: int) -> str | None:
    """The words for a code that several outputs share, the output at `index` among them."""
    field = description.fields[name]
    bits = field.bits_of(index)
    numbers = [
        output.number
        for other, output in enumerate(description.outputs)
        if field.bits_of(other) == bits
    ]
    if len(numbers) == 1:
        return None
    *first, last = map(str, numbers)
    return (
        f"one {name} for several outputs cannot be described: {bits} would serve outputs "
        f"{', '.join(first)} and {last} at once"
    )


def kept_bits(description: Tables) -> Iterator[Problem]:
    """Bits that are kept lie in a CV of the description, fit, and are nobody else's."""
    taken: defaultdict[CvAddress, int] = defaultdict(int)
    for field in description.fields.values():
        for index in range(len(description.outputs)):
            bits = field.bits_of(index)
            taken[bits.address] |= bits.mask
    for index, row in enumerate(description.keep):
        bits, at = row.kept_bits, ("keep", index)
        if row.bit + row.bits > 8:
            yield Problem(
                (*at, "bits"),
                f"goes past bit 7: {row.bits} bits from bit {row.bit}",
                row.bits,
                "bits that all lie in one CV",
            )
        elif bits.address == description.rate.address:
            yield Problem((*at, "cv"), f"{bits.address} holds the shared rate", row.cv)
        elif bits.address not in taken:
            yield Problem(
                (*at, "cv"),
                "is no CV in which an output keeps anything",
                row.cv,
                ", ".join(map(str, taken)) + "; of all other CVs nothing is written",
            )
        elif taken[bits.address] & bits.mask:
            yield Problem(
                (*at, "bit"),
                f"{bits} is in use by an output, or kept already",
                row.bit,
                "bits that nothing else uses",
            )
        elif row.works >= 1 << row.bits:
            yield Problem(
                (*at, "works"),
                "does not fit its bits",
                row.works,
                f"0 to {(1 << row.bits) - 1}, as it has {row.bits} bits",
            )
        else:
            taken[bits.address] |= bits.mask


def rate_curve(description: Tables) -> Iterator[Problem]:
    """The rate curve runs one way and holds the value as delivered."""
    rate = description.rate
    if rate.curve is None:
        return
    steps = list(pairwise(rate.curve))
    if any(after.value <= before.value for before, after in steps):
        yield Problem(
            ("rate", "curve"),
            "is not in order of its values",
            [point.value for point in rate.curve],
            "points with rising values",
        )
    elif not (
        all(after.hz > before.hz for before, after in steps)
        or all(after.hz < before.hz for before, after in steps)
    ):
        yield Problem(
            ("rate", "curve"),
            "turns back or stands still",
            [point.hz for point in rate.curve],
            "rates that only rise or only fall from point to point",
        )
    elif rate.works is not None and not rate.lowest <= rate.works <= rate.highest:
        yield Problem(
            ("rate", "works"),
            "is outside the rate curve",
            rate.works,
            f"{rate.lowest} to {rate.highest}",
        )


def keys_as_delivered(description: Tables) -> Iterator[Problem]:
    """The function map can hold the keys that the outputs have as delivered."""
    rows = description.map_rows
    for index, output in enumerate(description.outputs if rows else ()):
        chosen = rows_for(rows, output.number, output.key, output.travel)
        if not chosen:
            yield Problem(
                ("outputs", index, "key"),
                f"the function map cannot give output {output.number} this key",
                output.key,
                ", ".join(keys_reaching(rows, output.number)) or "none",
            )
        elif (
            frozenset[str]().union(*(DIRECTIONS[row.travel] for row in chosen))
            != DIRECTIONS[output.travel]
        ):
            yield Problem(
                ("outputs", index, "travel"),
                f"the function map cannot tell directions apart for {output.key}",
                output.travel,
                '"both", or the key F0',
            )


CHECKS = (
    output_numbers,
    lists,
    codes,
    steady_light,
    rate_parts,
    cv_numbers,
    overlaps,
    kept_bits,
    rate_curve,
    keys_as_delivered,
)
