"""What each output does while a decoder holds some values: the one reading of them.

It walks the cells that concern an output, looks their codes up and joins what they say. How a
leaflet codes plays no part in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product

from fxstudio.dcc.cv import CvAddress
from fxstudio.dcc.function_map import DIRECTIONS, Directions
from fxstudio.decoder.leaflet.cells import Cell, LightSwitch, Statement
from fxstudio.decoder.leaflet.layout import LeafletOutput
from fxstudio.decoder.leaflet.looks import LookOf, light_of
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import (
    KEY_NOT_KNOWN,
    NEVER,
    PROPERTIES,
    UNKNOWN,
    Unknown,
    is_silent,
    property_words,
)
from fxstudio.documents.models import field_facts
from fxstudio.effect.drive import Moment
from fxstudio.effect.keys import ALWAYS
from fxstudio.effect.patterns import Pattern
from fxstudio.errors import InputError

Held = Mapping[CvAddress, int]

CONDITIONS = frozenset(name for name, row in PROPERTIES.items() if not row.look)
"""The properties that say when an output is lit."""

MOTIONS: Mapping[str, frozenset[str]] = {
    "standing": frozenset({"standing"}),
    "moving": frozenset({"moving"}),
    "both": frozenset({"standing", "moving"}),
}
"""What a word for the motion permits."""


@dataclass(frozen=True)
class Permits:
    """What has to hold besides a key.

    directions, motions : those that are permitted
    inverted : whether the key has to be off
    """

    directions: Directions = DIRECTIONS["both"]
    motions: frozenset[str] = MOTIONS["both"]
    inverted: bool = False

    def hold(self, moment: Moment) -> bool:
        """Whether direction and motion permit it."""
        return moment.travel in self.directions and _motion(moment) in self.motions


@dataclass(frozen=True)
class Lights:
    """One thing that lights an output: any of its keys, under its conditions."""

    keys: tuple[str, ...]
    conditions: Permits

    def with_key(self, key: str) -> Lights:
        """The same, with `key` in place of one that is not known."""
        return replace(self, keys=tuple(key if each == UNKNOWN else each for each in self.keys))

    def at(self, moment: Moment) -> bool:
        """Whether it lights the output at a moment."""
        on = any(key == ALWAYS or key in moment.keys for key in self.keys)
        return on != self.conditions.inverted and self.conditions.hold(moment)


@dataclass(frozen=True)
class Does:
    """What one output does.

    look : the effect it has
    pattern : its light at its level, or while keys make it brightest if it is dark without them;
        what is not known is drawn as it was wished
    level : what its light is multiplied by, 0..1, as the decoder rounds it
    lights : what lights it; any of them does
    own : its own conditions: directions, motion, and whether it is lit while the others are not
    rate_hz : changes a second; None if it does not flicker, or if it is not known
    dimmed : levels while keys are on, in place of `level`, rounded likewise
    unknown : properties that the leaflet does not give, by name
    base : the name of its effect, where another part says which effect that is
    """

    look: LookOf
    pattern: Pattern
    level: float
    lights: tuple[Lights, ...]
    own: Permits
    rate_hz: float | None = None
    dimmed: Mapping[str, float] = field(default_factory=dict)
    unknown: Mapping[str, Unknown] = field(default_factory=dict)
    base: str = ""

    def with_key(self, key: str) -> Does:
        """The same, with `key` in place of one that is not known: as it is wished."""
        return replace(self, lights=tuple(each.with_key(key) for each in self.lights))

    @property
    def brightest(self) -> float:
        """What its pattern is multiplied by: its level, or the highest while a key is on."""
        return self.level or max(self.dimmed.values(), default=0.0)

    @property
    def gives_light(self) -> bool:
        """Whether it would shine with any key on, if it were lit."""
        return self.brightest > 0

    def lit(self, moment: Moment) -> bool:
        """Whether it gives light at a moment, its pattern's own rests left aside."""
        return self.level_at(moment) > 0 and self.shines(moment)

    def shines(self, moment: Moment) -> bool:
        """Whether keys, direction and motion let it shine at a moment."""
        on = any(each.at(moment) for each in self.lights)
        return on != self.own.inverted and self.own.hold(moment)

    @cached_property
    def ever_lit(self) -> bool:
        """Whether keys, direction and motion ever let it shine."""
        keys = {key for each in self.lights for key in each.keys}
        pressed = [frozenset[str](), frozenset(keys), *(frozenset([key]) for key in keys)]
        return any(
            self.shines(Moment(on, forward, moving))
            for on in pressed
            for forward, moving in product((True, False), repeat=2)
        )

    @cached_property
    def shown(self) -> frozenset[str]:
        """The properties that make a difference to it, as it is."""
        if self.look.dark:
            return frozenset({"effect"})
        if not self.ever_lit:
            return CONDITIONS
        facts = field_facts(self.look.pattern).keys()
        times = {"on_s", "off_s"} if "on_share" in facts else set()
        rate = {"rate_hz"} if self.look.flickers else set()
        return frozenset({"level", "effect", *facts, *times, *rate, *CONDITIONS})

    def minds(self, leaflet: Leaflet, number: int, cell: Cell, known: bool = False) -> bool:
        """Whether anything that a cell can say makes a difference to it, output `number`.

        known : what of it is known, and not that something is unknown
        """
        return any(
            self.counts(leaflet, number, each) and not (known and is_silent(each.value))
            for part in cell.parts
            for said in part.codes.values()
            for each in said
        )

    def counts(self, leaflet: Leaflet, number: int, said: Statement) -> bool:
        """Whether what is said makes a difference to it, output `number`, as it is."""
        if said.name == "lights" and said.value != number:
            return False
        about = said.who == number or any(
            said.who == switch.name for switch in leaflet.lit_by[number]
        )
        name = self.base if said.name == "effect" else self.look.name
        for_it = said.effects is None or name in said.effects
        return about and for_it and said.name in self.shown

    def level_at(self, moment: Moment) -> float:
        """What its light is multiplied by at a moment; of several dimming keys the smallest."""
        levels = [level for key, level in self.dimmed.items() if key in moment.keys]
        return min(levels) if levels else self.level


def does(leaflet: Leaflet, number: int, held: Held, wish: Pattern | None = None) -> Does:
    """What an output does while the decoder holds `held`.

    Parameters
    ----------
    leaflet : the decoder
    number : the number of the output
    held : values 0..255 by CV; a CV that is not among them is taken as `Cell.supposed`
    wish : the light that was asked for: what is not known is drawn as it is there

    Raises InputError for a value that the leaflet does not allow, if it makes a difference.
    """
    said, unread = _statements(leaflet, number, held)
    it = does_when(leaflet, number, said, wish)
    for cell in unread:
        if it.minds(leaflet, number, cell):
            raise not_allowed(leaflet, cell.cv, held[cell.cv])
    return it


def does_when(
    leaflet: Leaflet, number: int, said: Sequence[Statement], wish: Pattern | None = None
) -> Does:
    """What an output does where all this is said of it and of what lights it; see `does`."""
    own = [each for each in said if each.who == number]
    joined = Joined.of(leaflet, own)
    look, level, unknown = joined.look, joined.level, dict(joined.unknown)
    properties = joined.properties
    dimmed = joined.dimmed
    given = look.in_levels(level, leaflet.levels)
    brightest = level if given else max(dimmed.values(), default=0.0)
    pattern, silent = light_of(look, properties, brightest, wish, leaflet.levels)
    unknown |= silent
    lights = tuple(lights_of(leaflet, number, said))
    if any(UNKNOWN in each.keys for each in lights):
        unknown["key"] = Unknown()
    rate = properties.get("rate_hz", look.rate_hz if look.flickers else None)
    if look.flickers and not isinstance(rate, float | int):
        unknown["rate_hz"] = rate if isinstance(rate, Unknown) else Unknown()
    known_rate = float(rate) if look.flickers and isinstance(rate, float | int) else None
    return Does(
        look,
        pattern,
        given,
        lights,
        conditions_of(own),
        known_rate,
        {key: look.in_levels(each, leaflet.levels) for key, each in dimmed.items()},
        unknown,
        joined.base,
    )


@dataclass(frozen=True)
class Joined:
    """What is said of the light of one output, joined.

    look : its effect
    base : the name of its effect, of which another part may say which it is: `look` then
    properties : the rest that counts for this effect, its levels left aside
    levels : what is said of its level
    level : the product of those that always count, 0..1; one that is not known counts as full
    unknown : its level, if that is not known
    """

    look: LookOf
    base: str
    properties: Mapping[str, object]
    levels: Sequence[Statement]
    level: float
    unknown: Mapping[str, Unknown]

    @property
    def dimmed(self) -> dict[str, float]:
        """Levels while keys are on, of those that are known; the first that is said counts."""
        return {
            each.key: each.value
            for each in reversed(self.levels)
            if each.key and isinstance(each.value, float)
        }

    @classmethod
    def of(cls, leaflet: Leaflet, own: Sequence[Statement]) -> Joined:
        """All that `own` says; of an effect that is not named the output is plainly lit."""
        effects = [each for each in own if each.name == "effect"]
        base = next((str(each.value) for each in effects if each.effects is None), "steady")
        finer = (e for e in effects if e.effects is not None and base in e.effects)
        name = next((str(each.value) for each in finer), base)
        counting = [each for each in own if each.effects is None or name in each.effects]
        levels = [each for each in counting if each.name == "level"]
        # The first that gives a property counts, and what is known before what is not.
        in_order = sorted(counting, key=lambda each: isinstance(each.value, Unknown))
        properties = {each.name: each.value for each in reversed(in_order) if each.name != "level"}
        return cls(leaflet.looks[name], base, properties, levels, *_product(levels))


def _product(levels: list[Statement]) -> tuple[float, dict[str, Unknown]]:
    """All levels that always count, multiplied."""
    product, unknown = 1.0, dict[str, Unknown]()
    for each in levels:
        if each.key is None and isinstance(each.value, Unknown):
            unknown["level"] = each.value
        elif each.key is None and isinstance(each.value, float):
            product *= each.value
    return product, unknown


def _statements(leaflet: Leaflet, number: int, held: Held) -> tuple[list[Statement], list[Cell]]:
    """All that is said of an output and of what lights it, and the cells that say nothing."""
    said: list[Statement] = []
    unread: list[Cell] = []
    for cell in leaflet.concerned[number]:
        value = held.get(cell.cv, cell.supposed)
        if value in cell.table:
            said += cell.statements(value)
        else:
            unread.append(cell)
    return said, unread


def unread(leaflet: Leaflet, number: int, held: Held) -> tuple[CvAddress, ...]:
    """The CVs of which nobody knows what they hold, and on which depends what an output does.

    They are not in `held`, and the leaflet does not print them as delivered. Raises InputError as
    `does` does.
    """
    silent = [
        cell for cell in leaflet.concerned[number] if cell.delivered is None and cell.cv not in held
    ]
    if not silent:
        return ()
    it = does(leaflet, number, held)
    return tuple(cell.cv for cell in silent if it.minds(leaflet, number, cell, known=True))


def not_allowed(leaflet: Leaflet, cv: CvAddress, value: int) -> InputError:
    """The error for a value that the leaflet does not allow."""
    return InputError(f"is no value of {leaflet.title}", field=str(cv), given=value).allowing(
        runs_text(sorted(leaflet.cells[cv].table)), remedy="read it once more"
    )


def runs_text(values: list[int]) -> str:
    """Values in order with their gaps: `0 to 99, 120 to 129`."""
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][1] + 1:
            runs[-1][1] = value
        else:
            runs.append([value, value])
    told = [str(first) if first == last else f"{first} to {last}" for first, last in runs]
    return ", ".join(told)


def conditions_of(said: Sequence[Statement]) -> Permits:
    """The directions, the motion and the inversion that are said."""
    directions, motions, inverted = DIRECTIONS["both"], MOTIONS["both"], False
    for each in said:
        if each.name == "travel":
            directions &= DIRECTIONS[str(each.value)]
        elif each.name == "motion":
            motions &= MOTIONS[str(each.value)]
        elif each.name == "inverted":
            inverted ^= each.value == "yes"
    return Permits(directions, motions, inverted)


def lights_of(leaflet: Leaflet, number: int, said: Sequence[Statement]) -> Iterator[Lights]:
    """All that lights an output."""
    for switch in leaflet.lit_by[number]:
        about = [each for each in said if each.who == _subject(switch, number)]
        if switch.lights is None and not any(
            each.name == "lights" and each.value == number for each in about
        ):
            continue
        if switch.key is not None:
            keys = [switch.key]
        else:
            keys = [str(each.value) for each in about if each.name == "key"]
        keys = [key for key in keys if key != NEVER]
        conditions = Permits() if _subject(switch, number) == number else conditions_of(about)
        directions = conditions.directions & DIRECTIONS[switch.travel]
        if keys:
            yield Lights(tuple(keys), Permits(directions, conditions.motions, conditions.inverted))


def _subject(switch: LightSwitch, number: int) -> int | str:
    """Of whom cells say the key: an output's own key is said of the output."""
    return number if switch.lights is not None else switch.name


def _motion(moment: Moment) -> str:
    return "moving" if moment.moving else "standing"


def output_words(output: LeafletOutput, it: Does) -> str:
    """What an output does, in a sentence without its end: `green (output 3): steady at 40 %`."""
    if not it.gives_light:
        return f"{output.title}: never lights"
    when = when_words(it)
    name = property_words("effect", it.look.name)
    told = [name if it.unknown.keys() - {"key"} else it.pattern.summary(), when]
    if it.rate_hz is not None:
        told.insert(1, f"{it.rate_hz:.3g} changes a second")
    told += [f"{key} on: {level:.0%}" for key, level in it.dimmed.items()]
    told += ["else dark"] if not it.level else []
    return f"{output.title}: {', '.join(told)}"


def output_words_now(leaflet: Leaflet, output: LeafletOutput, held: Held) -> str:
    """What an output does while the decoder holds `held`, or that this cannot be known."""
    silent = unread(leaflet, output.number, held)
    if silent:
        return f"{output.title}: not known until {' and '.join(map(str, silent))} is read"
    return output_words(output, does(leaflet, output.number, held))


def when_words(it: Does) -> str:
    """When an output is lit: `on F1, forward only`."""
    if not it.lights:
        return "always" if it.own.inverted else "no key lights it"
    ways = []
    for each in it.lights:
        directions = each.conditions.directions & it.own.directions
        motions = each.conditions.motions & it.own.motions
        if not directions or not motions:
            continue
        off = each.conditions.inverted != it.own.inverted
        keys = " or ".join(KEY_NOT_KNOWN if key == UNKNOWN else key for key in each.keys)
        words = (
            "without a key"
            if ALWAYS in each.keys
            else f"while {keys} is off"
            if off
            else f"on {keys}"
        )
        words += "" if len(directions) == 2 else f", {next(iter(directions))} only"
        ways.append(words + ("" if len(motions) == 2 else f", while {next(iter(motions))}"))
    return " and ".join(ways) or "its directions let it shine in none"
