"""What a CV's value says, in words."""

from __future__ import annotations

from collections.abc import Mapping

from fxstudio.dcc.cv import CvAddress
from fxstudio.decoder.leaflet.cells import Cell
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import PROPERTIES, Unknown, property_words

UNEXPLAINED = "a value that the leaflet does not allow"


def meaning(address: CvAddress, value: int, leaflet: Leaflet, names: Mapping[int, str]) -> str:
    """All that `value` says in the CV at `address`, in words for a person.

    `names` gives the name of the lamp on an output; outputs without one go by their number.
    """
    cell = leaflet.cells[address]
    if value not in cell.table:
        return UNEXPLAINED
    lights = [part for part in cell.parts if "lights" in part.names]
    if lights:
        return _lights(cell, value, leaflet, names)
    told: dict[str, list[int | str]] = {}
    silent: dict[str, list[int | str]] = {}
    usual: dict[str, list[int | str]] = {}
    none: dict[str, None] = {}
    for part, code in cell.words(value):
        for each in part.codes[code]:
            if (each.name, each.value) == ("inverted", "no"):
                usual.setdefault(property_words(*each[1:3]), []).append(each.who)
            else:
                words = property_words(each.name, each.value)
                if each.name == "rate_hz" and not isinstance(each.value, Unknown):
                    words = f"rate {words}"
                words += f" while {each.key} is on" if each.key else ""
                told.setdefault(words, []).append(each.who)
        says_no = {(each.name, each.value) for each in part.codes[code]} == {("inverted", "no")}
        if not part.codes[code] or (part.in_sum and says_no):
            condition = not any(PROPERTIES[name].look for name in part.names)
            if part.in_sum:
                none[f"no output: {part.title.partition(': ')[0]}"] = None
                continue
            words = "always" if condition else "nothing"
            silent.setdefault(words, []).extend(sorted(part.who, key=str))
    if none and not (told or silent):
        return ", ".join(none)
    return _joined(told or silent or usual, leaflet, names)


def _lights(cell: Cell, value: int, leaflet: Leaflet, names: Mapping[int, str]) -> str:
    """`F1 switches bed (output 3)`."""
    said = list(cell.statements(value))
    switch = next(str(who) for part in cell.parts for who in part.who)
    lit = [str(each.value) for each in said if each.name == "lights"]
    told = [_named(int(number), leaflet, names) for number in lit]
    more = [property_words(each.name, each.value) for each in said if each.name != "lights"]
    return ", ".join([f"{switch} switches {', '.join(told) or 'nothing'}", *more])


def _joined(told: Mapping[str, list[int | str]], leaflet: Leaflet, names: Mapping[int, str]) -> str:
    """`bed (output 3): steady, level 40 %`, or thing by thing with the outputs it is said of."""
    groups: dict[tuple[int | str, ...], list[str]] = {}
    for words, who in told.items():
        groups.setdefault(tuple(dict.fromkeys(who)), []).append(words)
    every = set(leaflet.output)
    parts = []
    for whom, said in groups.items():
        shared = len(whom) > 1 and set(whom) == every
        listed = ", ".join(_named(each, leaflet, names) for each in whom)
        one_for_all = "shared " if said[0].startswith("rate") else "all outputs: "
        parts.append(f"{one_for_all if shared else f'{listed}: '}{', '.join(said)}")
    return "; ".join(parts)


def subject(output: int, name: str | None) -> str:
    """`bed (output 3)`; an output without a lamp, or named after itself, is only `output 3`."""
    number = f"output {output}"
    return number if name in (None, number) else f"{name} ({number})"


def _named(who: int | str, leaflet: Leaflet, names: Mapping[int, str]) -> str:
    if isinstance(who, str):
        return who
    return subject(who, names[who]) if who in names else leaflet.output[who].title
