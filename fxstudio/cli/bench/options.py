"""Sizes, series and plugs to choose from, and the caution of who solders."""

from __future__ import annotations

from enum import StrEnum

from fxstudio.electrics.resistor import (
    SeriesName,
)

SOLDERING = (
    "Cut the track power before you touch a wire. Resistors get hot: keep them off plastic and in "
    "free air. Solder where the fumes are drawn off and wear eye protection. Insulate every joint, "
    "and follow the decoder maker's and the LED's data sheet, local codes, and licensed practice "
    "for anything on the mains."
)


class Size(StrEnum):
    """Sizes of a model: rows of `TRACK_VOLTAGES`."""

    N = "n"
    HO = "ho"
    LARGE = "large"


class Values(StrEnum):
    """Series of resistors: rows of `SERIES`."""

    E12 = "E12"
    E24 = "E24"

    @property
    def series(self) -> SeriesName:
        """The name of the row."""
        return "E12" if self is Values.E12 else "E24"


class Plug(StrEnum):
    """Plugs of decoders: rows of `CONNECTORS`."""

    NEM651 = "nem651"
    NEM652 = "nem652"
