"""The one rate of a decoder, by the points that its description prints."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from decoders import CARROW, GLIM, TOLLEY, said_as, said_of

from fxstudio.decoder.leaflet.files import load_decoder
from fxstudio.decoder.values.shared_rate import shared_rate

FILES = Path(__file__).parents[1] / "leaflet" / "files"


@pytest.mark.parametrize("decoder", [GLIM, CARROW, TOLLEY], ids=lambda d: d.title)
def test_each_code_has_the_rate_between_the_printed_points(decoder):
    curve = said_of(decoder)["rate"]["curve"]
    values, rates = ([row[name] for row in curve] for name in ("value", "hz"))
    shared = shared_rate(decoder)
    assert (min(shared.rates_hz), max(shared.rates_hz)) == (min(values), max(values))
    for code, rate_hz in shared.rates_hz.items():
        assert rate_hz == pytest.approx(np.interp(code, values, rates))
        assert shared.rates_hz[shared.nearest(rate_hz)] == rate_hz
    assert shared.cell.startswith("CV")


def test_a_fixed_rate_is_in_no_cell():
    shared = shared_rate(said_as(said_of(GLIM) | {"rate": {"fixed_hz": 4.0}}))
    assert (shared.cell, list(shared.rates_hz.values())) == ("", [4.0])


@pytest.mark.parametrize("name", ["tarn_end", "marsh_hollow"])
def test_there_is_none_where_each_lamp_has_its_own_or_none_is_known(name):
    assert shared_rate(load_decoder(FILES / f"{name}.toml")) is None


def test_a_rate_among_others_in_a_cell_is_a_code_there():
    shared = shared_rate(load_decoder(FILES / "sallow_mill.toml"))
    assert shared.cell == "code in CV130"
    # Its words: 0 about one change a second, 7 about ten, each step the same ratio.
    assert list(shared.rates_hz.values()) == pytest.approx(list(np.geomspace(1, 10, 8)))
