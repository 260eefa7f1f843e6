"""A description of the earlier form means the same in cells.

What it means is read by a decoder model of the tests' own, `own_decoder`, from the earlier rows.
"""

from __future__ import annotations

from collections import defaultdict

import pytest
from decoders import DECODERS, EARLIER
from hypothesis import given, settings
from hypothesis import strategies as st
from own_decoder import UnknownError, light
from strategies import any_values, decoders, legal_values

from fxstudio.decoder.leaflet.evaluator import does
from fxstudio.effect.drive import Moment
from fxstudio.errors import InputError


@pytest.mark.parametrize("name", DECODERS)
def test_what_is_delivered_stays(name):
    assert dict(DECODERS[name].delivered) == EARLIER[id(DECODERS[name])].works


def in_cells(leaflet, number, held):
    """`own_decoder.light`, from the cells: darkest, brightest and rate by key and direction."""
    it = does(leaflet, number, held)
    top = it.pattern.brightest
    bottom = getattr(it.pattern, "lowest", top)
    rate = it.rate_hz if bottom < top else None
    keys = {key for each in it.lights for key in each.keys}
    lit = {}
    for key in keys:
        for forward in (True, False):
            moment = Moment(frozenset({key} - {"always"}), forward)
            if top and it.lit(moment):
                lit[key, moment.travel] = (bottom, top, rate)
    return lit


@settings(max_examples=150, deadline=None)
@given(st.data(), decoders)
def test_every_output_does_what_it_did(data, decoder):
    held = data.draw(legal_values(decoder))
    leaflet = decoder
    for output in decoder.outputs:
        told = light(decoder, output.number, held)
        wanted = {where: (low, high, rate) for where, (low, high, _, rate) in told.items()}
        found = in_cells(leaflet, output.number, held)
        assert found.keys() == wanted.keys()
        for where, values in wanted.items():
            assert found[where] == pytest.approx(values, abs=1e-9)


@settings(max_examples=150, deadline=None)
@given(st.data(), decoders)
def test_a_value_that_meant_nothing_is_refused_or_makes_no_difference(data, decoder):
    held = data.draw(any_values(decoder))
    leaflet = decoder
    for output in decoder.outputs:
        try:
            light(decoder, output.number, held)
        except UnknownError:
            cells = leaflet.concerned[output.number]
            mended = {cell.cv: cell.delivered for cell in cells if held[cell.cv] not in cell.table}
            try:
                seen = in_cells(leaflet, output.number, held)
            except InputError as error:
                assert error.problem.startswith("is no value of")
            else:
                assert seen == in_cells(leaflet, output.number, held | mended)


def test_no_value_of_a_cell_is_two_sums():
    for decoder in DECODERS.values():
        for cell in decoder.cells.values():
            sums = defaultdict(list)
            for value, codes in cell.table.items():
                sums[cell.value(codes)].append(value)
            assert all(len(values) == 1 for values in sums.values())
