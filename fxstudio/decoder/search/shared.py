"""Settings of several lamps that want different things of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart
from fxstudio.decoder.leaflet.model import Leaflet


@dataclass(frozen=True)
class SharedChoice:
    """One setting of several lamps that want different things of it.

    cv, part : where it is kept, and what it says
    value : what is written
    best : what would be best for each lamp, by its name
    """

    cv: CvAddress
    part: CellPart
    value: int
    best: Mapping[str, int]

    def words(self, leaflet: Leaflet, names: Mapping[int, str]) -> str:
        """`CV126 serves bed, flames and brown (output 5): 25 would be best for bed, ...`."""
        numbers = [
            number
            for number in leaflet.output
            if number in self.part.who or names.get(number) in self.best
        ]
        served = [names.get(number, leaflet.output[number].title) for number in numbers]
        ends: dict[int, list[str]] = {}
        for name, value in self.best.items():
            ends.setdefault(value, []).append(name)
        told = [f"{value} would be best for {_and(lamps)}" for value, lamps in ends.items()]
        taken = (
            f"{self.value} is taken, with which least is lost of all of them together"
            if self.value not in ends
            else f"{self.value} is taken, as less is lost of all of them together than with others"
        )
        return f"{self.cv} serves {_and(served)} at once: {', '.join(told)}. {taken}."


def _and(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
