"""Decoders and their values for property tests."""

from __future__ import annotations

import copy
import tomllib

from decoders import DECODERS, UNGATED
from hypothesis import strategies as st

from fxstudio.decoder.cv import CvAddress
from fxstudio.decoder.description import Description
from fxstudio.decoder.files import shipped
from fxstudio.documents import parse


def two_blocks() -> Description:
    """A decoder that keeps travel and level under another CV31 than the effect code."""
    data = tomllib.loads(shipped()["tolley_hearth"].read_text("utf-8"))
    for name in ("travel", "level"):
        data[name] = copy.deepcopy(data[name]) | {"page": [41, 0]}
    data["outputs"] = data["outputs"][:3]
    return parse(Description, data)


decoders = st.sampled_from([*DECODERS.values(), UNGATED, two_blocks()])
bytes_ = st.integers(0, 255)
pages = st.tuples(bytes_, bytes_)


def any_values(decoder: Description):
    """Any bytes in every CV that a description knows, whether they mean something or not."""
    return st.fixed_dictionaries(dict.fromkeys(decoder.works, bytes_))


@st.composite
def legal_values(draw, decoder: Description) -> dict[CvAddress, int]:
    """A value with a meaning in every CV; bits that are not described are anything."""
    values = draw(any_values(decoder))
    rate = decoder.rate
    values[rate.place.address] = draw(st.integers(rate.lowest, rate.highest))
    for field in decoder.fields.values():
        for index in range(len(decoder.outputs)):
            place = field.place(index)
            code = draw(st.sampled_from(sorted(field.meanings)))
            values[place.address] = place.put(values[place.address], code)
    return values
