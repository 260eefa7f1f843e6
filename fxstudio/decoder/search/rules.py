"""Which rule of a decoder lights which lamps: a proposal from which the search starts.

A rule lights any outputs by any key, so that all its settings together are far too many to be
tried. Each way in which lamps shall be lit takes one rule: the one that says so already, else
one that lights nothing that nobody named.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from fxstudio.dcc.cv import CvAddress
from fxstudio.dcc.function_map import DIRECTIONS
from fxstudio.decoder.leaflet.cells import LightSwitch, Statement
from fxstudio.decoder.leaflet.evaluator import MOTIONS
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.search.choices import Choices, Variable, Wish
from fxstudio.effect.gate import Way
from fxstudio.effect.keys import ALWAYS

Codes = Mapping[CvAddress, tuple[int, ...]]
PERMITTED: Mapping[str, Mapping[str, frozenset[str]]] = {"travel": DIRECTIONS, "motion": MOTIONS}
NEUTRAL = {"travel": "both", "motion": "both", "inverted": "no"}


@dataclass
class _Need:
    """A way in which some outputs shall be lit, and the rule that does it."""

    key: str
    conditions: Mapping[str, str]
    numbers: list[int] = field(default_factory=list)
    rule: str | None = None

    @classmethod
    def of(cls, way: Way) -> _Need:
        """That of a way; of several keys that have to be on, the first."""
        off = way.off and not way.on
        key = next(iter(way.on or way.off), ALWAYS)
        inverted = "yes" if off else "no"
        return cls(key, {"travel": way.travel, "motion": way.motion, "inverted": inverted})

    def like(self, other: _Need) -> bool:
        """Whether one rule does for both."""
        return (self.key, self.conditions) == (other.key, other.conditions)


def with_rules(
    leaflet: Leaflet, wishes: Sequence[Wish], choices: Mapping[Variable, Choices], held: Codes
) -> tuple[dict[Variable, Choices], dict[CvAddress, tuple[int, ...]]]:
    """The choices with few settings of rules, see `_few`, and the proposal.

    The proposal gives the codes of all cells. Without rules all is as it was.
    """
    rules = {switch.name: switch for switch in leaflet.switches if is_rule(switch)}
    codes = {cv: list(row) for cv, row in held.items()}
    rows = {v: row for v, row in choices.items() if row.part.who & rules.keys()}
    if rows:
        sayable = frozenset().union(*(leaflet.keys_by_switch[rule] for rule in rules))
        # What no rule can say comes last: it takes no rule from what one can.
        needs = sorted(_needs(leaflet, wishes), key=lambda need: need.key not in sayable)
        named = {wish.number for wish in wishes}
        _assign(leaflet, needs, list(rules), named, held)
        for (cv, at), row in rows.items():
            codes[cv][at] = _proposed(row, needs, named, held[cv][at])
    proposal = {cv: tuple(row) for cv, row in codes.items()}
    narrow = {
        (cv, at): replace(row, codes=_few(row, held[cv][at], proposal[cv][at], named), exact=False)
        for (cv, at), row in rows.items()
    }
    return {**choices, **narrow}, proposal


def is_rule(switch: LightSwitch) -> bool:
    """Whether cells say by which key it lights, and what."""
    return switch.key is None and switch.lights is None


def _few(row: Choices, now: int, proposed: int, named: set[int]) -> tuple[int, ...]:
    """The codes held and proposed, and the one that lights nothing named; each once."""
    tried = [now, proposed]
    if row.part.names == {"lights"}:
        tried.append(_lighting(row, set(), named, now))
    return tuple({row.said(code): code for code in reversed(tried)}.values())[::-1]


def _needs(leaflet: Leaflet, wishes: Sequence[Wish]) -> Iterator[_Need]:
    """Every way that no key of its own can give, with the outputs that ask for it."""
    found: list[_Need] = []
    for wish in wishes:
        fixed = {switch.key for switch in leaflet.lit_by[wish.number] if not is_rule(switch)}
        for way in wish.gate.ways:
            need = _Need.of(way)
            if need.key in fixed or not any(map(is_rule, leaflet.lit_by[wish.number])):
                continue
            same = next((each for each in found if each.like(need)), need)
            if same is need:
                found.append(need)
            same.numbers.append(wish.number)
    yield from found


def _assign(
    leaflet: Leaflet, needs: Sequence[_Need], rules: Sequence[str], named: set[int], held: Codes
) -> None:
    """Give each need its rule; where there are too few, it shares one, of its own key if it can."""
    said = _held_by(leaflet, rules, held)
    free = list(rules)

    def unfit(rule: str, need: _Need) -> tuple[bool, int]:
        lit = [each for each in said[rule] if each.name == "lights" and each.value not in named]
        return need.key not in leaflet.keys_by_switch[rule], len(lit)

    for need in needs:
        need.rule = next((rule for rule in free if _says(said[rule], need)), None)
        if need.rule:
            free.remove(need.rule)
    for need in needs:
        if need.rule is None and free:
            need.rule = min(free, key=lambda rule: unfit(rule, need))
            free.remove(need.rule)
    for need in needs:
        if need.rule is None:
            taken = [each for each in needs if each.rule]
            need.rule = min(taken, key=lambda each: each.key != need.key).rule


def _held_by(
    leaflet: Leaflet, rules: Sequence[str], held: Codes
) -> Mapping[str, Sequence[Statement]]:
    """What the values that are held say of each rule."""
    found: dict[str, list[Statement]] = {rule: [] for rule in rules}
    for cell, at, part in leaflet.parts():
        for each in part.codes[held[cell.cv][at]]:
            if each.who in found:
                found[str(each.who)].append(each)
    return found


def _says(said: Sequence[Statement], need: _Need) -> bool:
    """Whether a rule has this key alone, and these conditions."""
    now = NEUTRAL | {each.name: str(each.value) for each in said if each.name in NEUTRAL}
    return [each.value for each in said if each.name == "key"] == [need.key] and (
        now == need.conditions
    )


def _proposed(row: Choices, needs: Sequence[_Need], named: set[int], now: int) -> int:
    """The code of one part of a rule: of those that say as much, the one that is held."""
    rule = next(iter(row.part.who))
    mine = [need for need in needs if need.rule == rule]
    if row.part.names == {"lights"}:
        lit = {number for need in mine for number in need.numbers}
        return _lighting(row, lit, named, now)
    if not mine:
        return now
    wanted: dict[str, object] = {"key": mine[0].key, **mine[0].conditions}
    return min(row.codes, key=lambda code: (_missing(row, code, wanted), code != now))


def _lighting(row: Choices, lit: set[int], named: set[int], now: int) -> int:
    """The code that lights these of the named outputs, and of the others those it does now."""
    others = {each.value for each in row.said(now)} - named

    def unlike(code: int) -> tuple[int, int, bool]:
        said = {each.value for each in row.said(code)}
        return len((said ^ lit) & named), len((said ^ others) - named), code != now

    return min(row.codes, key=unlike)


def _missing(row: Choices, code: int, wanted: Mapping[str, object]) -> int:
    """How many things a code says otherwise than is wanted; directions and motions one by one."""
    said: dict[str, list[object]] = {}
    for each in row.said(code):
        said.setdefault(each.name, []).append(each.value)
    found = 0
    for name in row.part.names & wanted.keys():
        now = said.get(name, [NEUTRAL[name]] if name in NEUTRAL else [])
        if name in PERMITTED and now:
            found += len(PERMITTED[name][str(now[0])] ^ PERMITTED[name][str(wanted[name])])
        else:
            found += now != [wanted[name]]
    return found
