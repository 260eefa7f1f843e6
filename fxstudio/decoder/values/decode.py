"""From values to the effect that will be seen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from fxstudio.dcc.cv import CvAddress, check_value
from fxstudio.decoder.leaflet.evaluator import Does, does
from fxstudio.decoder.leaflet.looks import FULL
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.leaflet.says import UNKNOWN, Unknown
from fxstudio.decoder.values.meaning import subject
from fxstudio.decoder.values.seen import SeenLamp
from fxstudio.documents.reading import changed
from fxstudio.effect.model import Colour, Effect, Lamp
from fxstudio.effect.patterns import Steady
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import find_scene


class Source(NamedTuple):
    """Where a figure comes from that no leaflet prints.

    known : of `rows.Known`, "leaflet" left aside
    within : how sure a measured figure is, as a share; None if that is not known
    """

    known: str
    within: float | None = None


PRINTED: Final = "leaflet"
"""Where a figure comes from that is as good as the leaflet."""

ASSUMED_COLOUR = Colour(temperature_k=2700)
"""Colour of a lamp that no effect describes: warm white, which takes no side."""

Values = Mapping[CvAddress, int]


@dataclass(frozen=True)
class Decoded:
    """What values make a decoder show.

    effect : the effect that will be seen
    notes : what an effect cannot say: why an output stays dark, a rate that cannot be drawn
    unknown : what the leaflet does not say, by lamp and property
    not_printed : what its description has from elsewhere, by lamp and property
    """

    effect: Effect
    notes: tuple[str, ...] = ()
    unknown: Mapping[str, Mapping[str, Unknown]] = field(default_factory=dict)
    not_printed: Mapping[str, Mapping[str, Source]] = field(default_factory=dict)


def decode_values(values: Values, leaflet: Leaflet, like: Effect | None = None) -> Effect:
    """The effect that `values` make the decoder show. See `decode`."""
    return decode(values, leaflet, like).effect


def decode(values: Values, leaflet: Leaflet, like: Effect | None = None) -> Decoded:
    """The effect that `values` make the decoder show, and what an effect cannot say.

    Parameters
    ----------
    values : contents 0..255 by CV address; a CV that is not given is as delivered
    leaflet : the decoder
    like : the effect whose lamps are wired to the outputs: names, colours, places, scene and
        drive are taken from it, and outputs without one of its lamps are not shown, as no
        LED is there. Without it every output carries a lamp of its own.

    A dark output becomes a steady lamp of level 0. What the leaflet does not say is drawn as it
    is in `like`. The rate of most lamps that flicker is the shared one, others have their own.

    Raises InputError for a CV the decoder lacks, a value that is no byte or that the leaflet
    does not allow, and a `like` none of whose lamps is on an output of the decoder.
    """
    for address, value in values.items():
        check_known(address, value, leaflet)
    wired = like.lamps if like else own_lamps(leaflet)
    seen = {
        name: SeenLamp.of(
            lamp,
            like.rate_of(name) if like else Effect.model_fields["rate_hz"].default,
            does(leaflet, lamp.output, values, lamp.pattern if like else None),
            subject(lamp.output, name),
        )
        for name, lamp in wired.items()
        if lamp.output in leaflet.output
    }
    if not seen:
        raise no_lamp_fits(leaflet)
    notes = tuple(note for each in seen.values() for note in each.notes)
    unknown = {
        name: each.does.unknown
        for name, each in seen.items()
        if each.does.unknown and not each.lamp.pattern.is_dark
    }
    not_printed = {
        name: found
        for name, each in seen.items()
        if not each.lamp.pattern.is_dark
        and (found := _not_printed(each.does, each.lamp.output, values, leaflet))
    }
    return Decoded(_effect(seen, leaflet, like), notes, unknown, not_printed)


def _not_printed(it: Does, number: int, values: Values, leaflet: Leaflet) -> dict[str, Source]:
    """The properties of an output whose figures are marked as a guess, measured or by eye."""
    said = {
        each.name: Source(part.known, part.within)
        for cell in leaflet.concerned[number]
        if (value := values.get(cell.cv, cell.supposed)) in cell.table
        for part, code in cell.words(value)
        if part.known != PRINTED
        for each in part.codes[code]
        if each.who == number and it.counts(leaflet, number, each)
    }
    look = it.look
    if look.known == PRINTED:
        return said
    own = [name for name in look.given if name not in FULL]
    own += ["rate_hz"] if look.rate_hz is not None else []
    return dict.fromkeys(own, Source(look.known, look.within)) | said


def _effect(seen: Mapping[str, SeenLamp], leaflet: Leaflet, like: Effect | None) -> Effect:
    rates = Counter(each.rate_hz for each in seen.values() if each.rate_hz is not None)
    shared = max(rates, key=lambda rate: rates[rate]) if rates else None
    lamps = {
        name: each.lamp
        if each.rate_hz in (None, shared)
        else changed(each.lamp, rate_hz=each.rate_hz)
        for name, each in seen.items()
    }
    effect = like or Effect(title=leaflet.title, lamps=lamps)
    rate_hz = effect.rate_hz if shared is None else shared
    return changed(effect, lamps=lamps, rate_hz=rate_hz)


def own_lamps(leaflet: Leaflet) -> dict[str, Lamp]:
    """A lamp for each output, where no effect names them; the places are given out in turn."""
    places = list(find_scene(Effect.model_fields["scene"].default).places)
    return {
        f"output {output.number}": Lamp(
            output=output.number,
            key="F0" if output.key in (None, UNKNOWN) else output.key,
            colour=ASSUMED_COLOUR,
            pattern=Steady(),
            # Outputs 1 and 2 light the ends of the locomotive; 3 is the first that may be a fire.
            place=places[(output.number - 3) % len(places)],
        )
        for output in leaflet.outputs
    }


def no_lamp_fits(leaflet: Leaflet) -> InputError:
    """The error for an effect that has no lamp on any output of the decoder."""
    return InputError(
        f"no lamp of the effect is on an output of {leaflet.title}", field="lamps"
    ).allowing(leaflet.outputs_text, remedy="put at least one lamp on one of these outputs")


def check_known(address: CvAddress, value: int, leaflet: Leaflet) -> None:
    """Raise InputError for a CV that the leaflet does not have, or a value that is no byte."""
    if address not in leaflet.cells:
        raise InputError(
            f"is not a CV that the description of {leaflet.title} knows",
            field=str(address),
            allowed=", ".join(map(str, leaflet.cells)),
            remedy="leave it out, or add it to the description",
        )
    check_value(address, value)
