"""Six invented leaflets, each coded in another way: files say what the leaflets print."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import pytest
from decoder.leaflet import reference

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import Unknown
from fxstudio.documents.reading import parse

HERE = Path(__file__).parent
ALL = pytest.mark.parametrize("name", reference.READ)


@cache
def leaflet(name: str) -> Leaflet:
    path = HERE / "files" / f"{name}.toml"
    return parse(Leaflet, tomllib.loads(path.read_text("utf-8")), path)


def plain(value, names=None):
    """A value as the reference has it, numbers rounded so that sums in two ways are equal."""
    if isinstance(value, Unknown):
        return "unknown", value.code, value.rising
    if isinstance(value, float | int):
        return names[value] if names else round(value, 9)
    return value


def told(read: Leaflet, cell, value: int):
    """What a value says, as rows of the reference."""
    names = {output.number: output.name for output in read.outputs}
    return {
        (
            names.get(said.who, said.who),
            said.name,
            plain(said.value, names if said.name == "lights" else None),
            said.effects or frozenset(),
            said.key,
        )
        for said in cell.statements(value)
    }


def own_cells(read: Leaflet):
    """The cells that the leaflet prints, without those of the standard."""
    return [cell for cell in read.cells.values() if not cell.standard]


@ALL
def test_every_value_of_every_cv_says_what_the_leaflet_prints(name):
    read = leaflet(name)
    for cell in own_cells(read):
        for value in range(256):
            rows = reference.READ[name](cell.cv.number, value)
            if rows is None:
                assert value not in cell.table, (cell.cv, value)
            else:
                assert value in cell.table, (cell.cv, value)
                expected = {(who, what, plain(said), *rest) for who, what, said, *rest in rows}
                assert told(read, cell, value) == expected, (cell.cv, value)
                assert cell.value(cell.codes(value)) == value


@ALL
def test_values_as_delivered_are_those_that_are_printed(name):
    found = {cell.cv: cell.delivered for cell in own_cells(leaflet(name))}
    page = reference.PAGE.get(name)
    assert found == {CvAddress(cv, page): at for cv, at in reference.DELIVERED[name].items()}


@ALL
def test_currents_are_those_that_are_printed(name):
    each, together = reference.MILLIAMPS[name]
    read = leaflet(name)
    assert [output.limit_ma for output in read.outputs] == each
    assert read.limit_ma == together


@pytest.mark.parametrize("name", reference.FIXED_KEYS)
def test_fixed_keys_light_their_outputs_in_both_directions(name):
    read = leaflet(name)
    found = {read.output[number].name: lit for number, lit in read.lit_by.items()}
    assert {who: [(each.key, each.travel) for each in lit] for who, lit in found.items()} == {
        who: [(key, "both")] for who, key in reference.FIXED_KEYS[name].items()
    }


@pytest.mark.parametrize(("name", "effect"), reference.PRINTED)
def test_what_is_printed_of_an_effect_is_known(name, effect):
    look = leaflet(name).looks[effect]
    found = dict(look.given) | ({"rate_hz": look.rate_hz} if look.rate_hz else {})
    assert found == reference.PRINTED[name, effect]
    assert not look.unknown & found.keys()


@pytest.mark.parametrize(("name", "effect"), reference.OPEN)
def test_what_is_not_printed_of_an_effect_is_unknown(name, effect):
    look = leaflet(name).looks[effect]
    assert look.unknown == reference.OPEN[name, effect]
    assert look.rate_hz is None or name == "rook_lane"


# Source: NMRA S-9.2.2 (2012), table of the function map (from memory): F1 is CV 35, F2 is CV 36,
# and in both the lowest bit is output 1.
@pytest.mark.parametrize(("cv", "key", "output"), [(35, "F1", 3), (36, "F2", 4)])
def test_the_table_of_the_standard_gives_the_keys_of_sallow_mill(cv, key, output):
    cell = leaflet("sallow_mill").cells[CvAddress(cv)]
    assert cell.delivered == 1 << (output - 1)
    assert [(said.who, said.name, said.value) for said in cell.statements(cell.delivered)] == [
        (key, "lights", output)
    ]


# Worked examples that the leaflets print themselves, or that follow from them by hand.
@pytest.mark.parametrize(
    ("name", "cv", "value", "who", "what", "said"),
    [
        ("penny_cross", 164, 10, 3, "rate_hz", 4),  # 250 ms
        ("penny_cross", 164, 1, 1, "rate_hz", 40),
        ("penny_cross", 164, 255, 1, "rate_hz", 0.157),
        ("sallow_mill", 130, 12, 4, "rate_hz", 3.73),
        ("sallow_mill", 130, 12, 4, "lowest", 0.25),
        ("heron_weir", 145, 39, 4, "rate_hz", 4.01),
        ("heron_weir", 142, 4, 3, "level", 0.444),
        ("marsh_hollow", 126, 25, 5, "level", 0.397),
    ],
)
def test_worked_examples(name, cv, value, who, what, said):
    cell = leaflet(name).cells[CvAddress(cv)]
    found = {(each.who, each.name): each.value for each in cell.statements(value)}
    assert found[who, what] == pytest.approx(said, abs=0.005)


def test_no_full_strobe_in_reverse_only_but_a_full_fire():
    cell = leaflet("heron_weir").cells[CvAddress(143)]
    assert cell.codes(229) == (9, 2, 2)
    assert not cell.allows((9, 6, 2))
    assert cell.value((9, 6, 2)) == 269
