"""From values to the effect that will be seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fxstudio.dcc.cv import LARGEST_VALUE, CvAddress
from fxstudio.dcc.function_map import DIRECTIONS, TRAVEL_OF, Directions
from fxstudio.decoder.description.fields import OutputField
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.values.explain import explained_part, foreign_bits
from fxstudio.decoder.values.meaning import subject
from fxstudio.effect.keys import key_order
from fxstudio.effect.model import Colour, Effect, Lamp, Pattern
from fxstudio.effect.patterns import Floats, Steady
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import find_scene

ASSUMED_COLOUR = Colour(temperature_k=2700)
"""Colour of a lamp that no effect describes: warm white, which takes no side."""

UNCONDITIONAL = {"while_off": False, "motion": "both"}
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
    for name, lamp in (like.lamps if like else _own_lamps(description)).items():
        if lamp.output not in description.index:
            continue
        permitted, pattern = behaviour(lamp.output, values, description)
        keys = {
            key: directions & permitted
            for key, directions in keys_of(lamp.output, values, description).items()
        }
        lit = [key for key, directions in keys.items() if directions]
        if not lit:
            why = "its travel lets it shine in no direction" if keys else "no key switches it"
            notes.append(f"{subject(lamp.output, name)} stays dark: {why}")
            seen = {**UNCONDITIONAL, "travel": "both", "pattern": Steady(level=0.0)}
        else:
            if len(lit) > 1:
                notes.append(
                    f"{subject(lamp.output, name)} is switched by any of {', '.join(lit)}; "
                    f"{lit[0]} is shown"
                )
            seen = {
                **UNCONDITIONAL,
                "key": lit[0],
                "travel": TRAVEL_OF[keys[lit[0]]],
                "pattern": pattern,
            }
        lamps[name] = lamp.model_copy(update=seen)
    if not lamps:
        raise no_lamp_fits(description)
    if like is None:
        rate_hz = _rate_hz(values, description)
        effect = Effect(title=description.title, rate_hz=rate_hz, lamps=lamps)
    else:
        effect = like.model_copy(update={"lamps": lamps})
        if effect.flickering():  # else the rate shows nowhere, whatever its CV holds
            effect = effect.model_copy(update={"rate_hz": _rate_hz(values, description)})
    return Decoded(effect, tuple(notes))


def _own_lamps(description: Description) -> dict[str, Lamp]:
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


def keys_of(output: int, values: Values, description: Description) -> dict[str, Directions]:
    """Keys that switch an output, in order, each with the directions in which it does."""
    if not description.map_rows:
        fixed = description.outputs[description.index[output]]
        return {fixed.key: DIRECTIONS[fixed.travel]}
    keys: dict[str, Directions] = {}
    for row in description.map_rows:
        if row.reaches(output):
            place = row.place(output)
            if place.get(values[place.address]):
                keys[row.key] = keys.get(row.key, DIRECTIONS["none"]) | DIRECTIONS[row.travel]
    return dict(sorted(keys.items(), key=lambda item: key_order(item[0])))


def ends(pattern: Pattern) -> tuple[float, float | None]:
    """Brightest and darkest light 0..1 of a pattern; None if it has only one brightness."""
    if "lowest" in type(pattern).model_fields:
        return pattern.highest, pattern.lowest
    return pattern.level, None


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

    level = np.asarray(level, dtype=float)
    highest, darkest = ends(pattern)
    if darkest is None:
        return rounded(level * highest), None
    if lowest is not None:
        darkest = highest * np.asarray(lowest, dtype=float)
    return rounded(level * highest), rounded(level * darkest)


def no_lamp_fits(description: Description) -> InputError:
    """The error for an effect that has no lamp on any output of the decoder."""
    return InputError(
        f"no lamp of the effect is on an output of {description.title}",
        field="lamps",
        allowed=description.outputs_text,
        remedy="put at least one lamp on one of these outputs",
    )


def behaviour(output: int, values: Values, description: Description) -> tuple[Directions, Pattern]:
    """Directions that an output's own fields permit, and its pattern with its brightness.

    `values` holds every CV of the description. Raises InputError for a code without a meaning.
    """
    index = description.index[output]
    for field in description.fields.values():
        _check_bits(field.place(index).address, values, description)
    meaning = {
        name: _meaning(field, name, index, values, description)
        for name, field in description.fields.items()
    }
    permitted = DIRECTIONS["both"]
    for name in ("travel", "forward", "reverse"):
        permitted &= meaning.get(name, permitted)
    pattern: Pattern = meaning["effect"]
    highest, lowest = brightness(
        pattern, meaning.get("level", 1.0), meaning.get("lowest"), description.pwm.levels
    )
    seen = (
        {"level": float(highest)}
        if lowest is None
        else {"highest": float(highest), "lowest": float(lowest)}
    )
    return permitted, pattern.model_copy(update=seen)


def _check_bits(address: CvAddress, values: Values, description: Description) -> None:
    """Bits of which nothing is said may mean anything."""
    foreign = foreign_bits(description, address, values[address])
    if foreign:
        bits = ", ".join(str(bit) for bit in range(8) if foreign >> bit & 1)
        raise InputError(
            f"is no value of {description.title}: nothing says what bit {bits} means",
            field=str(address),
            given=values[address],
            allowed=f"{explained_part(description, address, values[address])}, for example",
            remedy="read it once more; if the manual gives the bit to something else, name it "
            "under [[keep]] in the description",
        )


def _meaning(
    field: OutputField, name: str, index: int, values: Values, description: Description
) -> object:
    place = field.place(index)
    code = place.get(values[place.address])
    if code in field.meanings:
        return field.meanings[code]
    raise InputError(
        f"the {name} code {code} of output {description.outputs[index].number} means nothing "
        f"to {description.title}",
        field=str(place),
        given=values[place.address],
        allowed=_codes_text(field),
        remedy="choose one of these codes and work out the value again",
    )


def _codes_text(field: OutputField) -> str:
    codes = sorted(field.meanings)
    if len(codes) > 16:
        return f"codes {codes[0]} to {codes[-1]}"
    return "codes " + ", ".join(f"{code} ({field.words(code)})" for code in codes)


def _rate_hz(values: Values, description: Description) -> float:
    rate = description.rate
    if rate.fixed_hz is not None:
        return rate.fixed_hz
    value = values[rate.place.address]
    if rate.lowest <= value <= rate.highest:
        return rate.hz(value)
    raise InputError(
        f"is outside the shared rate of {description.title}",
        field=str(rate.place),
        given=value,
        allowed=f"{rate.lowest} to {rate.highest}",
        remedy="choose a value in this range",
    )


def _check_value(address: CvAddress, value: int, description: Description) -> None:
    if address not in description.works:
        raise InputError(
            f"is not a CV that the description of {description.title} knows",
            field=str(address),
            allowed=", ".join(map(str, description.works)),
            remedy="leave it out, or add it to the description",
        )
    if type(value) is not int or not 0 <= value <= LARGEST_VALUE:
        raise InputError(
            "is not what a CV can hold",
            field=str(address),
            given=value,
            allowed=f"a whole number from 0 to {LARGEST_VALUE}",
            remedy="choose a value in this range",
        )
