"""Sizes, series and plugs to choose from, and the caution of who solders."""

from __future__ import annotations

from enum import StrEnum

from fxstudio.electrics.resistor import (
    SERIES,
    TRACK_VOLTAGES,
)
from fxstudio.electrics.wiring import CONNECTORS

SOLDERING = (
    "Cut the track power before you touch a wire. Resistors get hot: keep them off plastic and in "
    "free air. Solder where the fumes are drawn off and wear eye protection. Insulate every joint, "
    "and follow the decoder maker's and the LED's data sheet, local codes, and licensed practice "
    "for anything on the mains."
)
Size = StrEnum("Size", list(TRACK_VOLTAGES))
Values = StrEnum("Values", [(name, name) for name in SERIES])
Plug = StrEnum("Plug", list(CONNECTORS))
