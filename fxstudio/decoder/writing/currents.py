"""Currents that a decoder must not switch: with them nothing is planned."""

from __future__ import annotations

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.effect.model import Effect
from fxstudio.electrics.load import add_up
from fxstudio.errors import InputError, several
from fxstudio.light.truth_table import lit_together


def check_currents(seen: Effect, leaflet: Leaflet) -> None:
    """Raise InputError where lamps that say their current draw more than the leaflet permits.

    What counts is what can be lit at once, by keys, direction and motion.
    """
    lamps = [lamp for lamp in seen.lamps.values() if lamp.output in leaflet.output]
    chains = {lamp.output: [lamp.current_ma] for lamp in lamps if lamp.current_ma is not None}
    if not chains:
        return
    limits = {n: out.limit_ma for n, out in leaflet.output.items() if out.limit_ma is not None}
    together = [set(each) for each in lit_together(seen)]
    total = add_up(chains, limits, leaflet.limit_ma, together, leaflet.group_limits_ma)
    too_much = total.warnings()
    if too_much:
        raise several(
            InputError(text.rstrip("."), field="lamps.current_ma").advising(
                "let fewer lamps be lit at once, or give them larger resistors"
            )
            for text in too_much
        )
