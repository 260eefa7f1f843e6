"""A judge of values that shares nothing with the search: it asks the evaluator and the measure.

Rules above all: a lamp that shall shine is never dark, then lit and dark in the states in which
it shall be; then as little as can be is lost of its light.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import product
from typing import NamedTuple

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.evaluator import Does, does
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import Unknown
from fxstudio.decoder.values.decode import decode
from fxstudio.effect.drive import Moment
from fxstudio.effect.gate import Gate, Way
from fxstudio.effect.keys import ALWAYS
from fxstudio.effect.model import Effect
from fxstudio.light.likeness import compare

Held = Mapping[CvAddress, int]


class Verdict(NamedTuple):
    """What is wrong with some values, the gravest first.

    out : lamps that shall shine and never do
    missing, wrong : shares of states in which a lamp is dark, or lit, and shall not be
    lost : what is lost of the light of all lamps together
    """

    out: int
    missing: float
    wrong: float
    lost: float


def moments(keys):
    """Every state of some keys, direction and motion."""
    for on in product((False, True), repeat=len(keys)):
        pressed = frozenset(key for key, each in zip(keys, on, strict=True) if each)
        for forward, moving in product((False, True), repeat=2):
            yield Moment(pressed, forward, moving)


def alone(asked: Effect, name: str) -> Effect:
    return asked.model_copy(update={"lamps": {name: asked.lamps[name]}})


def keys_of(lights) -> set[str]:
    return {key for each in lights for key in each.keys}


class Judge:
    """Of one effect on one decoder; what it found of one output is kept."""

    def __init__(self, leaflet: Leaflet, asked: Effect, held: Held) -> None:
        self.leaflet, self.asked = leaflet, asked
        self.before = {cv: cell.mended(held[cv]) for cv, cell in leaflet.cells.items()}
        self.held = held
        self.numbers = [lamp.output for lamp in asked.lamps.values()]
        self._seen: dict = {}
        self._kept: dict = {}

    def __call__(self, values: Held) -> Verdict:
        each = [self._of(name, values) for name in self.asked.lamps]
        return Verdict(*map(sum, zip(*each, strict=True)))

    def writes(self, values: Held) -> int:
        return sum(value != self.held[cv] for cv, value in values.items())

    def may_change(self, part) -> bool:
        """Whether a part says anything of a named output, or of what lights it."""
        lit_by = (switch.name for number in self.numbers for switch in self.leaflet.lit_by[number])
        who = {*self.numbers, *lit_by}
        return any(
            each.value in self.numbers if each.name == "lights" else each.who in who
            for said in part.codes.values()
            for each in said
        )

    def guesses(self, values: Held) -> bool:
        """Whether a code is written of which the leaflet does not say what it means."""
        return any(
            isinstance(each.value, Unknown)
            for cv, cell in self.leaflet.cells.items()
            for part, now, was in zip(
                cell.parts, cell.table[values[cv]], cell.table[self.before[cv]], strict=True
            )
            if now != was
            for each in part.codes[now]
        )

    def unnamed(self, values: Held) -> set[int]:
        """The outputs that nobody named which do something else than before."""
        return {
            number
            for number in self.leaflet.output
            if number not in self.numbers
            and self._shown(number, values) != self._shown(number, self.before)
        }

    def brings_in(self, values: Held, others: Held) -> bool:
        """Whether a lamp is lit by a key that it does not ask for and that `others` do not have.

        Where its own key cannot be had, whether it is lit otherwise by the keys that there are.
        """
        for lamp in self.asked.lamps.values():
            now, was = (does(self.leaflet, lamp.output, held).lights for held in (values, others))
            reaching = self.leaflet.keys_reaching(lamp.output)
            if not set(lamp.way.keys or (ALWAYS,)) <= set(reaching):
                if now != was:
                    return True
            elif (
                keys_of(now)
                - keys_of(was)
                - {ALWAYS, *(key for way in lamp.ways for key in way.keys)}
            ):
                return True
        return False

    def seen(self, values: Held) -> tuple:
        """All that can be told of what values do, of named and of other outputs."""
        return tuple(self._shown(number, values) for number in self.leaflet.output)

    def _key(self, number: int, values: Held) -> tuple:
        return number, *(values[cell.cv] for cell in self.leaflet.concerned[number])

    def _shown(self, number: int, values: Held) -> object:
        key = self._key(number, values)
        if key not in self._kept:
            lamps = self.asked.lamps.values()
            wish = next((lamp.pattern for lamp in lamps if lamp.output == number), None)
            self._kept[key] = told(does(self.leaflet, number, values, wish))
        return self._kept[key]

    def _of(self, name: str, values: Held) -> Verdict:
        lamp = self.asked.lamps[name]
        key = self._key(lamp.output, values)
        if key not in self._seen:
            it = does(self.leaflet, lamp.output, values, lamp.pattern)
            self._seen[key] = self._verdict(name, it, values)
        return self._seen[key]

    def _verdict(self, name: str, it: Does, values: Held) -> Verdict:
        gate = self.asked.lamps[name].shining
        keys = {*gate.keys, *it.dimmed, *(key for each in it.lights for key in each.keys)}
        every = list(moments(sorted(keys - {ALWAYS})))
        states = [(gate.lit_at(moment), it.lit(moment)) for moment in every]
        missing = sum(wish and not sight for wish, sight in states) / len(states)
        wrong = sum(sight and not wish for wish, sight in states) / len(states)
        if not any(wish and sight for wish, sight in states):
            # Where its keys cannot be had it may be lit by others, as it asks for all the rest.
            ways = Gate(tuple(Way(travel=way.travel, motion=way.motion) for way in gate.ways))
            wrong = sum(it.lit(moment) and not ways.lit_at(moment) for moment in every) / len(every)
        if not any(wish for wish, _ in states):  # it shall never shine: no light is like it
            return Verdict(0, missing, wrong, 0.0)
        out = not any(sight for _, sight in states)
        one = alone(self.asked, name)
        (light,) = compare(one, decode(values, self.leaflet, one).effect).lamps
        # When it is lit is judged by states: it shall not hide what is lost of the light.
        return Verdict(int(out), missing, wrong, replace(light, gating=0.0).lost)


def told(it: Does) -> object:
    """What can be seen of an output."""
    if not it.gives_light:
        return "dark"
    keys = sorted({*it.dimmed, *(key for each in it.lights for key in each.keys)} - {ALWAYS})
    lit = tuple((moment, it.level_at(moment)) for moment in moments(keys) if it.lit(moment))
    if not lit:
        return "dark"
    rate = it.rate_hz if it.pattern.flickers else None
    unknown = tuple(sorted(it.unknown.items(), key=lambda row: row[0]))
    return it.pattern.model_dump_json(), rate, lit, unknown
