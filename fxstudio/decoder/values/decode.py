"""From values to the effect that will be seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.arrays import Floats
from fxstudio.dcc.cv import CvAddress, check_value
from fxstudio.dcc.function_map import DIRECTIONS, TRAVEL_OF, Directions
from fxstudio.decoder.description.fields import OutputField
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.explain import explained_part, foreign_bits
from fxstudio.decoder.values.meaning import subject
from fxstudio.documents.reading import changed
from fxstudio.effect.keys import key_order
from fxstudio.effect.model import Colour, Effect, Lamp, Pattern
from fxstudio.effect.patterns import Ranged, Steady
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import find_scene

ASSUMED_COLOUR = Colour(temperature_k=2700)
"""Colour of a lamp that no effect describes: warm white, which takes no side."""

UNCONDITIONAL: Mapping[str, object] = {
    "while_off": False,
    "motion": "both",
    "together": (),
    "unless": (),
    "also": (),
    "dim": {},
    "rate_hz": None,
}
"""What no description can say of an output yet: no decoder does it."""

Values = Mapping[CvAddress, int]


@dataclass(frozen=True)
class Decoded:
    """What values make a decoder show.

    effect : the effect that will be seen
    notes : what an effect cannot say: outputs that stay dark or have several keys
    """

    effect: Effect
    notes: tuple[str, ...] = ()


def decode_values(values: Values, description: Description, like: Effect | None = None) -> Effect:
    """The effect that `values` make the decoder show. See `decode`."""
    return decode(values, description, like).effect


def decode(values: Values, description: Description, like: Effect | None = None) -> Decoded:
    """The effect that `values` make the decoder show, and what an effect cannot say.

    Parameters
    ----------
    values : contents 0..255 by CV address; a CV that is not given is as delivered
    description : the decoder
    like : the effect whose lamps are wired to the outputs: names, colours, places, scene and
        drive are taken from it, and outputs without one of its lamps are not shown, as no
        LED is there. Without it every output carries a lamp of its own.

    A dark output becomes a steady lamp of level 0. An output with several keys gets the
    first of them, with a note.

    With `like`, the shared rate is read only if one of its lamps flickers.

    Raises InputError for a CV the decoder lacks, a value that is no byte, a code that has no
    meaning, a rate outside the curve, and a `like` none of whose lamps is on an output of the
    decoder.
    """
    for address, value in values.items():
        _check_value(address, value, description)
    values = {**description.works, **values}
    lamps: dict[str, Lamp] = {}
    notes: list[str] = []
    for name, lamp in (like.lamps if like else own_lamps(description)).items():
        if lamp.output in description.index:
            does = behaviour(lamp.output, values, description)
            lamps[name] = does.seen(lamp)
            notes += does.notes(lamp.output, name)
    if not lamps:
        raise no_lamp_fits(description)
    if like is None:
        rate_hz = shared_rate_hz(values, description)
        effect = Effect(title=description.title, rate_hz=rate_hz, lamps=lamps)
    else:
        effect = changed(like, lamps=lamps)
        if effect.flickering():  # else the rate shows nowhere, whatever its CV holds
            effect = changed(effect, rate_hz=shared_rate_hz(values, description))
    return Decoded(effect, tuple(notes))


def own_lamps(description: Description) -> dict[str, Lamp]:
    """A lamp for each output, where no effect names them; the places are given out in turn."""
    places = list(find_scene(Effect.model_fields["scene"].default).places)
    return {
        f"output {output.number}": Lamp(
            output=output.number,
            key=output.key,
            colour=ASSUMED_COLOUR,
            pattern=Steady(),
            # Outputs 1 and 2 light the ends of the locomotive; 3 is the first that may be a fire.
            place=places[(output.number - 3) % len(places)],
        )
        for output in description.outputs
    }


def ends(pattern: Pattern) -> tuple[float, float | None]:
    """Brightest and darkest light 0..1 of a pattern; None if it has only one brightness."""
    return pattern.brightest, pattern.lowest if isinstance(pattern, Ranged) else None


def brightness(
    pattern: Pattern, level: ArrayLike, lowest: ArrayLike | None, levels: int
) -> tuple[Floats, Floats | None]:
    """Brightest and darkest light 0..1 of a pattern on a decoder.

    Parameters
    ----------
    pattern : what the effect code means at full level
    level : share 0..1 that scales it
    lowest : darkest moment as a share 0..1 of the brightest, or None if the pattern says it;
        broadcasts against `level`
    levels : number of PWM levels, to which light is rounded

    The darkest light is None for a pattern that has only one brightness.
    """

    def rounded(light: Floats) -> Floats:
        return np.rint(light * (levels - 1)) / (levels - 1)

    share = np.asarray(level, dtype=float)
    highest, darkest = ends(pattern)
    if darkest is None:
        return rounded(share * highest), None
    least = darkest if lowest is None else highest * np.asarray(lowest, dtype=float)
    return rounded(share * highest), rounded(share * least)


def no_lamp_fits(description: Description) -> InputError:
    """The error for an effect that has no lamp on any output of the decoder."""
    return InputError(
        f"no lamp of the effect is on an output of {description.title}", field="lamps"
    ).allowing(description.outputs_text, remedy="put at least one lamp on one of these outputs")


@dataclass(frozen=True)
class Behaviour:
    """What one output does.

    pattern : its light, with its brightness
    lit : the keys that let it shine, in order, each with the directions in which it does
    switched : whether any key switches it, whatever its own fields permit
    """

    pattern: Pattern
    lit: Mapping[str, Directions]
    switched: bool

    def seen(self, lamp: Lamp) -> Lamp:
        """`lamp` as it is seen on the output: with the first of its keys, or dark."""
        if not self.lit:
            dark = Steady(level=0.0)
            return changed(lamp, **UNCONDITIONAL, travel="both", pattern=dark)
        key, directions = next(iter(self.lit.items()))
        travel = TRAVEL_OF[directions]
        return changed(lamp, **UNCONDITIONAL, key=key, travel=travel, pattern=self.pattern)

    def notes(self, output: int, name: str) -> Iterator[str]:
        """What a lamp on the output cannot say: why it is dark, or that it has several keys."""
        if not self.lit:
            travel = "its travel lets it shine in no direction"
            why = travel if self.switched else "no key switches it"
            yield f"{subject(output, name)} stays dark: {why}"
        elif len(self.lit) > 1:
            first, keys = next(iter(self.lit)), ", ".join(self.lit)
            yield f"{subject(output, name)} is switched by any of {keys}; {first} is shown"


def behaviour(output: int, values: Values, description: Description) -> Behaviour:
    """What an output does while the decoder holds `values`, all its CVs at least.

    Raises InputError for a code without a meaning.
    """
    index = description.index[output]
    for field in description.fields.values():
        _check_bits(field.bits_of(index).address, values, description)
    codes = {
        name: _code(field, name, index, values, description)
        for name, field in description.fields.items()
    }
    permitted = DIRECTIONS["both"]
    for name, gate in description.gates.items():
        permitted &= gate.meanings[codes[name]]
    pattern = description.effect.meanings[codes["effect"]]
    shares = {name: scale.meanings[codes[name]] for name, scale in description.scales.items()}
    highest, lowest = brightness(
        pattern, shares.get("level", 1.0), shares.get("lowest"), description.pwm.levels
    )
    if lowest is None:
        pattern = changed(pattern, level=float(highest))
    else:
        pattern = changed(pattern, highest=float(highest), lowest=float(lowest))
    keys = _keys_of(output, values, description)
    lit = {key: ways & permitted for key, ways in keys.items() if ways & permitted}
    return Behaviour(pattern, lit, bool(keys))


def _keys_of(output: int, values: Values, description: Description) -> dict[str, Directions]:
    """Keys that switch an output, in order, each with the directions in which it does."""
    if not description.map_rows:
        fixed = description.outputs[description.index[output]]
        return {fixed.key: DIRECTIONS[fixed.travel]}
    keys: dict[str, Directions] = {}
    for row in description.map_rows:
        if row.reaches(output):
            bits = row.bits_of(output)
            if bits.get(values[bits.address]):
                keys[row.key] = keys.get(row.key, DIRECTIONS["none"]) | DIRECTIONS[row.travel]
    return dict(sorted(keys.items(), key=lambda item: key_order(item[0])))


def _check_bits(address: CvAddress, values: Values, description: Description) -> None:
    """Bits of which nothing is said may mean anything."""
    foreign = foreign_bits(description, address, values[address])
    if foreign:
        *most, last = (str(bit) for bit in range(8) if foreign >> bit & 1)
        bits = f"bits {', '.join(most)} and {last} mean" if most else f"bit {last} means"
        raise InputError(
            f"is no value of {description.title}: nothing says what {bits}",
            field=str(address),
            given=values[address],
            allowed=f"{explained_part(description, address, values[address])}, for example",
            remedy="read it once more; if the manual gives the bit to something else, name it "
            "under [[keep]] in the description",
        )


def _code(
    field: OutputField, name: str, index: int, values: Values, description: Description
) -> int:
    """The code of an output in one of its fields; raises InputError if it means nothing."""
    bits = field.bits_of(index)
    code = bits.get(values[bits.address])
    if code in field.meanings:
        return code
    raise InputError(
        f"the {name} code {code} of output {description.outputs[index].number} means nothing "
        f"to {description.title}",
        field=str(bits),
        given=values[bits.address],
    ).allowing(_codes_text(field), remedy="choose one of these codes and work out the value again")


def _codes_text(field: OutputField) -> str:
    codes = sorted(field.meanings)
    if len(codes) > 16:
        return f"codes {codes[0]} to {codes[-1]}"
    return "codes " + ", ".join(f"{code} ({field.words(code)})" for code in codes)


def shared_rate_hz(values: Values, description: Description) -> float:
    """The shared rate in Hz; raises InputError for a value outside its curve."""
    rate = description.rate
    if rate.address is None:
        return rate.hz()
    value = values[rate.address]
    if rate.lowest <= value <= rate.highest:
        return rate.hz(value)
    raise InputError(
        f"is outside the shared rate of {description.title}", field=str(rate.bits), given=value
    ).allowing(f"{rate.lowest} to {rate.highest}", remedy="choose a value in this range")


def _check_value(address: CvAddress, value: int, description: Description) -> None:
    if address not in description.works:
        raise InputError(
            f"is not a CV that the description of {description.title} knows",
            field=str(address),
            allowed=", ".join(map(str, description.works)),
            remedy="leave it out, or add it to the description",
        )
    check_value(address, value)
