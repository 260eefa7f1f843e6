"""The one rate of all flickering lamps, as a decoder keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import log

from fxstudio.decoder.leaflet.model import Leaflet
from fxstudio.effect.model import RATE_HIGHEST_HZ, RATE_LOWEST_HZ


@dataclass(frozen=True)
class SharedRate:
    """The only rate of a decoder.

    cell : where it is kept, `CV112` or `code in CV112`; empty if it is fixed
    rates_hz : what each code says, in order of the codes, if an effect may have that rate; of a
        fixed one its rate as code 0
    """

    cell: str
    rates_hz: Mapping[int, float]

    def nearest(self, rate_hz: float) -> int:
        """The code whose rate has the ratio to `rate_hz` that is nearest to one."""
        return min(self.rates_hz, key=lambda code: abs(log(self.rates_hz[code] / rate_hz)))

    def at(self, value: float) -> float:
        """The rate in Hz of the code that is nearest to `value`."""
        return self.rates_hz[min(self.rates_hz, key=lambda code: abs(code - value))]


def shared_rate(leaflet: Leaflet) -> SharedRate | None:
    """The rate that all lamps share; None if lamps have rates of their own, or none is known."""
    rows = [(cell, part) for cell, _, part in leaflet.parts() if "rate_hz" in part.names]
    fixed = {look.rate_hz for look in leaflet.looks.values() if look.flickers} - {None}
    if not rows and len(fixed) == 1:
        return SharedRate("", {0: float(next(iter(fixed)) or 0)})
    if len(rows) != 1 or fixed:
        return None
    cell, part = rows[0]
    said = {
        code: {each.value for each in part.codes[code] if each.name == "rate_hz"}
        for code in sorted(part.codes)
    }
    rates = {
        code: float(value)
        for code, values in said.items()
        if len(values) == 1
        and isinstance(value := next(iter(values)), float | int)
        and RATE_LOWEST_HZ <= value <= RATE_HIGHEST_HZ
    }
    alone = len(cell.parts) == 1 and part.times == 1 and not cell.offset
    return SharedRate(str(cell.cv) if alone else f"code in {cell.cv}", rates) if rates else None
