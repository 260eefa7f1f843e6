"""The shipped descriptions in a leaflet's words say what those of the earlier form say."""

from __future__ import annotations

import pytest
from decoders import DECODERS
from earlier_files import EARLIER_FILES

from fxstudio.decoder.leaflet.files import load_decoder, shipped
from fxstudio.decoder.renewal.alike import difference


@pytest.mark.parametrize("name", EARLIER_FILES)
def test_it_says_the_same(name):
    assert difference(load_decoder(EARLIER_FILES[name]), DECODERS[name]) is None


@pytest.mark.parametrize("name", EARLIER_FILES)
def test_it_is_shorter(name):
    before, after = (
        len(path.read_text("utf-8").splitlines()) for path in (EARLIER_FILES[name], shipped()[name])
    )
    assert after < 0.6 * before


# Source: NMRA S-9.2.2 (2012), table of CVs (from memory): 112 to 256 are left to makers, and so
# are the pages of 257 to 512 with CV31 above 15.
@pytest.mark.parametrize("name", shipped())
def test_it_keeps_to_cvs_that_the_standard_leaves_to_makers(name):
    for cell in load_decoder(shipped()[name]).cells.values():
        assert cell.standard or 112 <= cell.cv.number <= 256 or cell.cv.page[0] >= 16
