"""Moving a look from one decoder to another, and which decoder suits an effect best."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fxstudio.decoder.leaflet.layout import LeafletOutput
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import UNKNOWN
from fxstudio.decoder.values.compile import Compiled, compile_effect
from fxstudio.decoder.values.compromise import compromises
from fxstudio.decoder.values.decode import Decoded, decode
from fxstudio.documents.reading import changed
from fxstudio.effect.keys import ALWAYS
from fxstudio.effect.model import Effect, Lamp
from fxstudio.electrics.wiring import WIRE_BY_COLOUR, wire_of_output
from fxstudio.light.likeness import Likeness, compare

SAME_WIRE, SAME_NUMBER = "wire of the same colour", "output of the same number"
FREE_OUTPUT, NO_OUTPUT = "an output that is free", "no output is left"
"""How a lamp comes to its output on another decoder, the best first."""


@dataclass(frozen=True)
class Rewired:
    """Where one lamp goes.

    lamp : its name
    source : number of the output it leaves
    wire : colour of the wire it leaves, or its pad; empty if not known
    target : the output it goes to, or None
    how : why this one, one of the phrases above
    """

    lamp: str
    source: int
    wire: str
    target: LeafletOutput | None
    how: str


@dataclass(frozen=True)
class Moved:
    """An effect put on a decoder.

    asked : what is to be seen
    rewired : where each lamp goes, in the order of the effect
    compiled : values for the decoder, and what will be seen; a lamp whose key cannot be had has
        another one
    likeness : how different that is from what is asked
    notes : what could not be said as an effect
    """

    asked: Effect
    rewired: tuple[Rewired, ...]
    compiled: Compiled
    likeness: Likeness
    notes: tuple[str, ...] = ()

    @property
    def lost(self) -> float:
        """Share 0..1 of the look that is lost."""
        return self.likeness.lost


def move(
    effect: Effect,
    source: Leaflet,
    target: Leaflet,
    shown: Decoded | None = None,
) -> Moved:
    """What `source` shows now, put on `target`.

    Parameters
    ----------
    effect : its lamps are wired to `source`
    source, target : the decoder the lamps are on, and the one they go to
    shown : what `source` shows with the values it holds; None: with those for the effect

    Raises InputError as `compile_effect` does.
    """
    now = shown or decode(compile_effect(effect, source).by_cv, source, effect)
    wires = {output.number: output.wire for output in source.outputs}
    left = [
        f"{name} is on output {lamp.output}, which {source.title} lacks: there is nothing to move"
        for name, lamp in effect.lamps.items()
        if name not in now.effect.lamps
    ]
    return put_on(now.effect, target, wires, (*now.notes, *left))


def suit(effect: Effect, leaflets: Mapping[str, Leaflet]) -> list[tuple[str, Moved]]:
    """`effect` on each decoder by name, the one that loses least first."""
    numbers = {lamp.output for lamp in effect.lamps.values()}
    wires = {number: wire.colour for number in numbers if (wire := wire_of_output(number))}
    ranked = [(name, put_on(effect, each, wires)) for name, each in leaflets.items()]
    return sorted(ranked, key=lambda row: (round(row[1].lost, 3), row[0]))


def put_on(
    effect: Effect, target: Leaflet, wires: Mapping[int, str], notes: tuple[str, ...] = ()
) -> Moved:
    """`effect` on `target`; `wires` are the colours of the wires its lamps are on, by output."""
    rewired = rewire(effect, target, wires)
    outputs = {row.lamp: row.target for row in rewired if row.target is not None}
    keys = _keys(effect, outputs, target)
    moved = {
        name: changed(effect.lamps[name], output=output.number) for name, output in outputs.items()
    }
    rekeyed = {name: _with_key(lamp, keys[name]) for name, lamp in moved.items()}
    compiled = compile_effect(changed(effect, lamps=rekeyed), target)
    told = compromises(changed(effect, lamps=moved), compiled.seen, target)
    compiled = replace(compiled, compromises=told)
    return Moved(effect, rewired, compiled, compare(effect, compiled.seen), notes)


_OTHER_KEYS = ("together", "unless")


def _with_key(lamp: Lamp, key: str) -> Lamp:
    """It with another key, and without other conditions on that key."""
    if key == lamp.key:
        return lamp
    others = {name: tuple(k for k in getattr(lamp, name) if k != key) for name in _OTHER_KEYS}
    return changed(lamp, key=key, while_off=lamp.while_off and key != ALWAYS, **others)


def _keys(effect: Effect, outputs: Mapping[str, LeafletOutput], target: Leaflet) -> dict[str, str]:
    """A key for each lamp on its output: its own, else one that no other lamp has.

    The key that the output has as delivered goes before others; where none is free it is taken
    all the same.
    """
    keys = {
        name: lamp.key
        for name, lamp in effect.lamps.items()
        if name in outputs and _reaches(lamp, outputs[name], target)
    }
    for name, output in outputs.items():
        if name not in keys:
            own = [output.key] if output.key not in (None, UNKNOWN) else []
            choices = [*dict.fromkeys((*own, *target.keys_reaching(output.number))), ALWAYS]
            taken = {*keys.values(), *(effect.lamps[other].key for other in outputs)}
            keys[name] = next((key for key in choices[:-1] if key not in taken), choices[0])
    return keys


def rewire(effect: Effect, target: Leaflet, wires: Mapping[int, str]) -> tuple[Rewired, ...]:
    """An output of `target` for each lamp, as long as there are any.

    Wires of one of the standard's colours go together first, then outputs of one number; lamps
    that are left get a free output, one that their key reaches if there is such a one.
    """
    free = {output.number: output for output in target.outputs}
    found: dict[str, tuple[LeafletOutput, str]] = {}

    def take(name: str, output: LeafletOutput, how: str) -> None:
        found[name] = free.pop(output.number), how

    for how in (SAME_WIRE, SAME_NUMBER, FREE_OUTPUT):
        for name, lamp in effect.lamps.items():
            choices = [output for output in free.values() if name not in found]
            if how == SAME_WIRE:
                colour = wires.get(lamp.output, "").casefold()
                choices = [
                    output
                    for output in choices
                    if output.wire.casefold() == colour and colour in WIRE_BY_COLOUR
                ]
            elif how == SAME_NUMBER:
                choices = [output for output in choices if output.number == lamp.output]
            else:
                choices.sort(key=lambda output: not _reaches(lamp, output, target))
            if choices:
                take(name, choices[0], how)
    return tuple(
        Rewired(name, lamp.output, wires.get(lamp.output, ""), *found.get(name, (None, NO_OUTPUT)))
        for name, lamp in effect.lamps.items()
    )


def _reaches(lamp: Lamp, output: LeafletOutput, target: Leaflet) -> bool:
    """Whether the lamp's key can switch the output."""
    return lamp.key in target.keys_reaching(output.number)
