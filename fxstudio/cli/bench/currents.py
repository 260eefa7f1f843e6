"""`fxstudio currents`."""

from __future__ import annotations

from collections.abc import Collection
from itertools import product

from fxstudio.cli.bench.options import CurrentsOptions
from fxstudio.cli.given.decoders import leaflet_for
from fxstudio.cli.shown import console
from fxstudio.decoder.leaflet.evaluator import does, unread
from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.decoder.values.compile import compile_effect
from fxstudio.decoder.values.seen import gate_of
from fxstudio.effect.files import load_effect
from fxstudio.effect.gate import Way
from fxstudio.effect.model import Effect
from fxstudio.electrics.load import Loads, add_up
from fxstudio.electrics.wiring import CONNECTORS, not_carried, wire_of_output
from fxstudio.errors import InputError, naming
from fxstudio.light.truth_table import lit_together


def currents(asked: CurrentsOptions) -> None:
    """Do what `CurrentsOptions` asks for."""
    wanted = load_effect(asked.effect) if asked.effect is not None else None
    chains = _of_lamps(wanted) | _chains(asked.loads or [])
    if not chains:
        raise InputError("no current is given", field="OUTPUT=MA").allowing(
            "an output 1 to 32, =, and mA",
            remedy="write it like 3=5, or give each lamp of the effect its current_ma",
        )
    leaflet = leaflet_for(asked.decoder) if asked.decoder else None
    limit_ma = asked.decoder_limit
    if leaflet:
        _check_outputs(leaflet, chains)
        if limit_ma is None:
            limit_ma = leaflet.limit_ma
    total = add_up(
        chains,
        _limits(leaflet, asked.output_limit),
        limit_ma,
        _lit_together(wanted, leaflet, chains),
        leaflet.group_limits_ma if leaflet else (),
    )
    _show_loads(total, leaflet)
    said = total.warnings()
    if asked.plug is not None:
        said += not_carried(CONNECTORS[asked.plug.value], chains)
    for warning in said:
        console.label("mind", f" {warning}", "yellow")
    console.say(
        "These are currents at the normal voltage; they rise with the track's. The limits are in "
        "the decoder maker's manual.",
        "dim",
    )


def _show_loads(total: Loads, leaflet: Leaflet | None) -> None:
    """The currents of all outputs, and what flows at once."""
    wires = {output.number: output.wire for output in leaflet.outputs} if leaflet else {}
    rows = [
        (
            str(load.output),
            wires.get(load.output) or _usual_wire(load.output),
            f"{load.current_ma:g}",
            _known(load.limit_ma),
            "too much" if load.is_over else "",
        )
        for load in total.outputs
    ]
    over = "too much" if total.is_over else ""
    console.show_table(
        "currents",
        (("output", "right"), ("wire", "left"), ("mA", "right"), ("at most", "right"), ("", "")),
        [*rows, ("at once", "", f"{total.current_ma:g}", _known(total.limit_ma), over)],
    )
    console.say(f"{total.words}.")


def _usual_wire(output: int) -> str:
    """The colour of the wire that the standard gives an output."""
    wire = wire_of_output(output)
    return wire.colour if wire else "see the manual"


def _of_lamps(effect: Effect | None) -> dict[int, list[float]]:
    """Currents by output of the lamps that say theirs."""
    lamps = effect.lamps.values() if effect else ()
    return {lamp.output: [lamp.current_ma] for lamp in lamps if lamp.current_ma is not None}


def _chains(loads: list[str]) -> dict[int, list[float]]:
    """Currents of the chains by output, from texts like `3=5+5`."""
    chains: dict[int, list[float]] = {}
    for text in loads:
        output, _, currents_ma = text.partition("=")
        try:
            number, parts = int(output), [float(part) for part in currents_ma.split("+")]
        except ValueError:
            number, parts = 0, []
        if not 1 <= number <= 32:
            raise InputError(
                "is not the current of an output", field="OUTPUT=MA", given=text
            ).allowing(
                "an output 1 to 32, =, and mA, with a point for decimals",
                remedy="write it like 3=5, or 3=5+2.5 for two chains",
            )
        if number in chains:
            raise InputError(
                f"output {number} is given twice", field="OUTPUT=MA", given=text
            ).allowing("each output once", remedy=f"add its chains, like {number}=5+5")
        chains[number] = parts
    return chains


def _limits(leaflet: Leaflet | None, output_limit: float | None) -> dict[int, float] | float | None:
    """What each output may switch: from the option, or from the decoder's description."""
    if output_limit is not None or leaflet is None:
        return output_limit
    return {
        output.number: output.limit_ma for output in leaflet.outputs if output.limit_ma is not None
    }


def _check_outputs(leaflet: Leaflet, outputs: dict[int, list[float]]) -> None:
    """Raise InputError for an output that the decoder lacks."""
    known = [output.number for output in leaflet.outputs]
    for output in outputs:
        if output not in known:
            raise InputError(
                f"{leaflet.title} has no output {output}", field="OUTPUT=MA", given=output
            ).allowing(", ".join(map(str, known)), remedy="use one of its outputs")


def _lit_together(
    seen: Effect | None, leaflet: Leaflet | None, outputs: Collection[int]
) -> list[set[int]] | None:
    """Sets of outputs that can be lit at once: by an effect, or on a decoder as delivered.

    Outputs that the effect does not use may be lit at any time, and as delivered all that the
    direction and the motion allow, whatever keys are on. What depends on a value that nobody knows
    may be lit at any time too.
    """
    if seen is not None:
        if leaflet:
            with naming(seen.source):
                seen = compile_effect(seen, leaflet).seen
        others = set(outputs) - {lamp.output for lamp in seen.lamps.values()}
        return [others | each for each in lit_together(seen)]
    if leaflet is None:
        return None
    silent = {number for number in leaflet.output if unread(leaflet, number, {})}
    delivered = {number: does(leaflet, number, {}).with_key("F0") for number in leaflet.output}
    ways = {number: gate_of(it).ways for number, it in delivered.items()}
    return [
        {
            number
            for number, each in ways.items()
            if number in silent or any(_may_hold(way, travel, motion) for way in each)
        }
        for travel, motion in product(("forward", "reverse"), ("standing", "moving"))
    ]


def _may_hold(way: Way, travel: str, motion: str) -> bool:
    return way.travel in (travel, "both") and way.motion in (motion, "both")


def _known(limit_ma: float | None) -> str:
    return "not given" if limit_ma is None else f"{limit_ma:g}"
