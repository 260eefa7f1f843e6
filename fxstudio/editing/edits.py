"""Changes to an effect, each giving a new, checked one. Knows nothing of pygame."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.documents.models import field_facts
from fxstudio.documents.reading import parse
from fxstudio.effect.keys import ALWAYS
from fxstudio.effect.model import Effect, Lamp
from fxstudio.effect.patterns import KINDS, Pattern
from fxstudio.effect.setting.files import setting_of
from fxstudio.errors import InputError

Path = tuple[str, ...]

BRIGHTNESS = ("level", "highest", "lowest")
"""Fields of a pattern that are a brightness; the one that says how bright it is at most first."""


def brightest_field(pattern: type[BaseModel]) -> str:
    """The field that says how bright a kind of pattern is at most."""
    return next(name for name in BRIGHTNESS if name in pattern.model_fields)


def pattern_kind(pattern: BaseModel) -> str:
    """The kind of a pattern, as files name it."""
    return str(field_facts(type(pattern))["kind"].default)


def set_field(effect: Effect, path: Path, value: Any) -> Effect:
    """`effect` with the field at `path`, such as ("lamps", "bed", "travel"), set.

    Raises InputError if the value is not allowed.
    """
    data = effect.model_dump(exclude_unset=True)
    table = data
    for name in path[:-1]:
        table = table[name]
    name = path[-1]
    if value is None:
        table.pop(name, None)
    else:
        table[name] = value
    if name in ("lowest", "highest"):  # one pushes the other along
        kind = KINDS[table["kind"]]
        for end, meet in (("lowest", min), ("highest", max)):
            held = table.get(end, kind.model_fields[end].default)
            table[end] = meet(held, table[name])
    return _edited(effect, data)


def set_colour(effect: Effect, lamp: str, way: str, value: float | str) -> Effect:
    """`effect` with a lamp's colour given in one way: hex, wavelength_nm or temperature_k."""
    return set_field(effect, ("lamps", lamp, "colour"), {way: value})


def set_pattern(effect: Effect, lamp: str, kind: str) -> Effect:
    """`effect` with another pattern on a lamp; how bright it is at most stays."""
    pattern: Pattern = effect.lamps[lamp].pattern
    if pattern_kind(pattern) == kind:
        return effect
    old = pattern.model_dump()
    fields = KINDS[kind].model_fields
    kept = {name: old[name] for name in fields if name in old and name != "kind"}
    brightest = old[brightest_field(type(pattern))]
    kept[brightest_field(KINDS[kind])] = brightest
    if "lowest" in fields:
        darkest = kept.get("lowest", fields["lowest"].default)
        kept["lowest"] = min(darkest, brightest)
    return set_field(effect, ("lamps", lamp, "pattern"), {"kind": kind, **kept})


def set_key(effect: Effect, lamp: str, key: str) -> Effect:
    """`effect` with a lamp on another key; without one it cannot shine while its key is off."""
    data = effect.model_dump(exclude_unset=True)
    data["lamps"][lamp]["key"] = key
    if key == ALWAYS:
        data["lamps"][lamp].pop("while_off", None)
    return _edited(effect, data)


def set_scene(effect: Effect, scene: str) -> Effect:
    """`effect` in another scene; lamps without a place there get one, in order."""
    places = list(setting_of(scene, effect.source).places)
    data = effect.model_dump(exclude_unset=True)
    data["scene"] = scene
    for number, name in enumerate(effect.lamps):
        data["lamps"][name].pop("place", None)
        if effect.place(name) in places:
            if effect.place(name) != name:
                data["lamps"][name]["place"] = effect.place(name)
        elif name not in places:
            data["lamps"][name]["place"] = places[number % len(places)]
    return _edited(effect, data)


def rename_lamp(effect: Effect, old: str, new: str) -> Effect:
    """`effect` with a lamp under another name; it stays where it is in the scene."""
    new = new.strip()
    if new == old:
        return effect
    if new in effect.lamps:
        raise InputError(f"another lamp is called '{new}' already", remedy="choose another name")
    data = effect.model_dump(exclude_unset=True)
    if effect.lamps[old].place is None:
        data["lamps"][old]["place"] = effect.place(old)
    if data["lamps"][old]["place"] == new:
        del data["lamps"][old]["place"]
    data["lamps"] = {new if name == old else name: lamp for name, lamp in data["lamps"].items()}
    return _edited(effect, data)


def add_lamp(effect: Effect, decoder: Leaflet | None = None) -> tuple[Effect, str]:
    """`effect` with one lamp more, on the next free output, and the lamp's name.

    With a decoder the output is one of its own while one is free, and the key one that the
    output can have.
    """
    places = effect.setting.places
    taken = {effect.place(name) for name in effect.lamps}
    place = next((place for place in places if place not in taken), next(iter(places)))
    names = [place, *(f"{place} {number}" for number in range(2, 40))]
    name = next(name for name in names if name not in effect.lamps)
    lamp: dict[str, Any] = {
        **_free_output(effect, decoder),
        "colour": {"temperature_k": 2700.0},
        "pattern": {"kind": "steady", "level": 0.5},
    }
    if place != name:
        lamp["place"] = place
    data = effect.model_dump(exclude_unset=True)
    data["lamps"][name] = lamp
    return _edited(effect, data), name


def _free_output(effect: Effect, decoder: Leaflet | None) -> dict[str, Any]:
    """A free output with a key and a travel that it can have."""
    outputs = {lamp.output for lamp in effect.lamps.values()}
    every = field_facts(Lamp)["output"].whole_numbers
    own = decoder.output if decoder else every
    free = [number for number in own if number not in outputs]
    free = free or [number for number in every if number not in outputs]
    if not free:
        raise InputError(
            f"every output from {every[0]} to {every[-1]} has a lamp", remedy="remove a lamp first"
        )
    number = next((number for number in free if number > max(outputs)), free[0])
    keys = [*effect.keys, "F0"]
    if decoder is None or number not in decoder.output:
        return {"output": number, "key": keys[0]}
    reach = decoder.keys_reaching(number) or keys
    key = next((key for key in keys if key in reach), reach[0])
    fixed = {"travel": decoder.output[number].travel} if decoder.keys == "fixed" else {}
    return {"output": number, "key": key, **fixed}


def remove_lamp(effect: Effect, name: str) -> Effect:
    """`effect` without a lamp; the last one stays."""
    if len(effect.lamps) == 1:
        raise InputError(
            "an effect needs a lamp", remedy="change this one, or add another one first"
        )
    data = effect.model_dump(exclude_unset=True)
    del data["lamps"][name]
    return _edited(effect, data)


def move_to_output(effect: Effect, name: str, output: int) -> Effect:
    """`effect` with a lamp on another output; a lamp that is there changes places with it."""
    data = effect.model_dump(exclude_unset=True)
    for other, lamp in effect.lamps.items():
        if lamp.output == output:
            data["lamps"][other]["output"] = effect.lamps[name].output
    data["lamps"][name]["output"] = output
    return _edited(effect, data)


def _edited(effect: Effect, data: dict[str, Any]) -> Effect:
    """What `effect` is with the fields in `data`, checked again."""
    return parse(Effect, data, source=effect.source)
