"""What else follows from the values for an effect: shared settings, and outputs nobody named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import CellPart
from fxstudio.decoder.leaflet.evaluator import Held, does, output_words
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.errors import InputError


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
        numbers = [number for number in leaflet.output if number in self.part.who]
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


def changes_of_others(
    leaflet: Leaflet, before: Held, after: Held, named: Mapping[int, str]
) -> Iterator[str]:
    """What outputs do otherwise that the effect does not name, in words."""
    for number, output in leaflet.output.items():
        if number in named:
            continue
        try:
            was, now = (does(leaflet, number, held) for held in (before, after))
        except InputError:
            continue  # what it does now is not known, so no change can be told
        if not (was.ever_lit and was.level) and not (now.ever_lit and now.level):
            continue
        old, new = (output_words(output, it) for it in (was, now))
        if old != new:
            yield f"{new}, and not, as before, {old.partition(': ')[2]}."


def _and(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
