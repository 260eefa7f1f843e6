"""What a value says is never nothing: also where no output is inverted."""

from __future__ import annotations

import pytest

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.meaning import meaning
from fxstudio.documents.reading import parse

LEAFLET = parse(
    Leaflet,
    {
        "title": "Owl Barn 5",
        "outputs": {"A": {"key": "F1"}, "B": {"key": "F2"}},
        "cells": [
            {"cv": 120, "parts": [{"says": "inverted", "sum": {"A": 1, "B": 2}}], "delivered": 0},
            {
                "cv": {"A": 121, "B": 122},
                "parts": [{"says": "inverted", "codes": {"0": "no", "1": "yes"}}],
                "delivered": 0,
            },
        ],
    },
)


@pytest.mark.parametrize(
    ("cv", "value", "words"),
    [
        (120, 0, "no output: inverted"),
        (120, 2, "B (output 2): while its key is off"),
        (121, 0, "A (output 1): while its key is on"),
        (122, 1, "B (output 2): while its key is off"),
    ],
)
def test_a_sum_of_no_output_says_so(cv, value, words):
    assert meaning(CvAddress(cv), value, LEAFLET, {}) == words
