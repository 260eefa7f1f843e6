"""A description of the earlier form, one field for each property, in the words of a leaflet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fxstudio.dcc.cv import Bits, CvAddress
from fxstudio.decoder.description.fields import (
    EffectField,
    ForwardField,
    OutputField,
    ReverseField,
    ShareField,
    TravelField,
)
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.reading import parse
from fxstudio.effect.patterns import Ranged


def renewed(earlier: Description) -> Leaflet:
    """The same decoder with its cells: every code, value and key means what it meant."""
    return parse(Leaflet, tables(earlier))


def tables(earlier: Description) -> dict[str, Any]:
    """The rows of the new form for a description of the earlier one, as a file holds them."""
    rows: dict[str, Any] = {"title": earlier.title, "note": earlier.note}
    if earlier.map_rows:
        rows["keys"] = earlier.function_map
    rows["outputs"] = {
        str(output.number): {
            "number": output.number,
            "wire": output.wire,
            "key": output.key,
            "travel": output.travel,
            "limit_ma": output.current_ma,
        }
        for output in earlier.outputs
    }
    if earlier.limit_ma is not None:
        rows["limit_ma"] = earlier.limit_ma
    rows["pwm"] = {"levels": earlier.pwm.levels, "refresh_ms": earlier.pwm.refresh_ms}
    rows["effects"] = dict(_effects(earlier))
    rows["cells"] = [_cell(earlier, cv) for cv in own_cvs(earlier)]
    return rows


def effect_names(field: EffectField) -> dict[int, str]:
    """A name for each code, the number added where two have the same."""
    names = [row.name for row in field.codes]
    found: dict[int, str] = {}
    for row in field.codes:
        name = row.name if names.count(row.name) == 1 else f"{row.name} ({row.code})"
        while name in found.values() or (name != row.name and name in names):
            name += "*"
        found[row.code] = name
    return found


def _effects(earlier: Description) -> Iterator[tuple[str, dict[str, Any]]]:
    names = effect_names(earlier.effect)
    for row in earlier.effect.codes:
        given = row.pattern.model_dump()
        if isinstance(row.pattern, Ranged):
            if earlier.lowest is not None:
                del given["lowest"]
            if earlier.rate.fixed_hz is not None and row.pattern.flickers:
                given["rate_hz"] = earlier.rate.fixed_hz
        yield names[row.code], given


def own_cvs(earlier: Description) -> list[CvAddress]:
    """The CVs that the description itself gives, in order of the rows of cells."""
    map_cvs = {row.cv for row in earlier.map_rows}
    return [cv for cv in earlier.works if cv.page is not None or cv.number not in map_cvs]


def parts_of(
    earlier: Description, cv: CvAddress
) -> Iterator[tuple[tuple[str | int, ...], dict[str, Any]]]:
    """Each share of a CV: the place of what says it in the earlier form, and its row in the new."""
    for name, field in earlier.fields.items():
        for index, output in enumerate(earlier.outputs):
            bits = field.bits_of(index)
            if bits.address == cv:
                yield (name,), _at(bits, _part(earlier, field, str(output.number)))
    for at, kept in enumerate(earlier.keep):
        if kept.kept_bits.address == cv:
            part = {"says": "other", "what": kept.what, "from": 0, "to": (1 << kept.bits) - 1}
            yield ("keep", at), _at(kept.kept_bits, part)
    if earlier.rate.bits and earlier.rate.address == cv:
        points = [[point.value, point.hz] for point in earlier.rate.points]
        yield ("rate",), {"says": "rate", "points": points}


def _cell(earlier: Description, cv: CvAddress) -> dict[str, Any]:
    works, unnamed = earlier.works[cv], earlier.unnamed[cv]
    cell: dict[str, Any] = {"cv": cv.number}
    if cv.page:
        cell["page"] = {"31": cv.page[0], "32": cv.page[1]}
    if works & unnamed:
        cell["offset"] = works & unnamed
    return cell | {"parts": [part for _, part in parts_of(earlier, cv)], "delivered": works}


def _at(bits: Bits, part: dict[str, Any]) -> dict[str, Any]:
    times = {"times": 1 << bits.bit} if bits.bit else {}
    return {name: part[name] for name in ("says", "of") if name in part} | times | part


def _part(earlier: Description, field: OutputField, of: str) -> dict[str, Any]:
    """What a field says of one output."""
    if isinstance(field, EffectField):
        return {"says": "effect", "of": of, "codes": effect_names(field)}
    if isinstance(field, TravelField):
        codes: dict[int, Any] = {row.code: row.travel for row in field.codes}
        return {"says": "directions", "of": of, "codes": codes}
    if isinstance(field, ForwardField | ReverseField):
        says = "dark forward" if isinstance(field, ForwardField) else "dark reverse"
        return {"says": says, "of": of, "codes": {field.on: "no", 1 - field.on: "yes"}}
    assert isinstance(field, ShareField)
    says = "level" if field is earlier.level else "lowest"
    if field.shares is not None:
        return {"says": says, "of": of, "codes": dict(enumerate(field.shares))}
    return {"says": says, "of": of, "even": {"to": max(field.meanings)}}
