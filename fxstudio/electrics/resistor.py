"""The resistor in series with an LED: value, power and rating.

Voltages in V, currents in mA, power in mW, resistance in ohms.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from fxstudio.errors import InputError

# Source: IEC 60063, through a list attributed to it. E24 is not the rounded geometric series:
# the standard prints eight values otherwise.
_E24 = "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"
E24: Final = tuple(map(int, _E24.split()))
SeriesName = Literal["E12", "E24"]
SERIES: Final[dict[str, tuple[int, ...]]] = {"E12": E24[::2], "E24": E24}
"""Values of one decade; E12 is every other value of E24."""


class LedColour(NamedTuple):
    """Forward voltage of LEDs of one colour, in V."""

    lowest_v: float
    highest_v: float

    @property
    def typical_v(self) -> float:
        """Middle of the range."""
        return (self.lowest_v + self.highest_v) / 2


# From memory and common practice: a data sheet is better. "green" is the older kind; modern
# green is made like blue and has its voltage.
LED_COLOURS: Final = {
    "red": LedColour(1.8, 2.1),
    "orange": LedColour(2.0, 2.2),
    "amber": LedColour(2.0, 2.2),
    "yellow": LedColour(2.0, 2.2),
    "green": LedColour(2.0, 2.4),
    "modern-green": LedColour(2.8, 3.4),
    "blue": LedColour(2.8, 3.4),
    "white": LedColour(2.8, 3.4),
}

RATINGS_MW: Final = (63, 100, 125, 250, 500, 1000, 2000, 3000, 5000)
"""Power ratings that resistors are sold in; common practice."""

MARGIN: Final = 2.0
"""A resistor's rating over what it turns to heat; common practice."""

COMMON_LED_LIMIT_MA: Final = 20.0
"""What small LEDs are made for at most; common practice, a data sheet is better."""

ASSUMED_CURRENT_MA: Final = 5.0
"""Current for a lamp in a model: modern LEDs are bright enough with it."""


class TrackVoltages(NamedTuple):
    """Track voltage of a size of models, in V."""

    sizes: str
    lowest_v: float
    normal_v: float
    highest_v: float
    withstand_v: float
    """What a decoder must survive."""


# Source: NMRA S-9.1 (edition of 2020), table 3. Its list of revisions says that 22 V for large
# sizes was raised to 24 V, its table does not.
TRACK_VOLTAGES: Final = {
    "n": TrackVoltages("N and smaller", 8.5, 12, 22, 24),
    "ho": TrackVoltages("HO, S and O", 8.5, 15, 22, 27),
    "large": TrackVoltages("larger", 8.5, 18, 22, 27),
}


def next_value_up(ohm: float, series: SeriesName = "E12") -> float:
    """The smallest value of the series that is not below `ohm`; raises InputError."""
    if not (math.isfinite(ohm) and ohm > 0):
        raise InputError("is not a resistance", field="ohm", given=ohm).allowing(
            "above 0 ohms", remedy="check voltages and current"
        )
    decade = 10.0 ** (math.floor(math.log10(ohm)) - 1)
    # The quotient of a round value may come out a hair above it.
    for candidate in (*SERIES[series], 10 * SERIES[series][0]):
        if candidate * decade >= ohm * (1 - 1e-9):
            return round(candidate * decade, 9)
    raise AssertionError("every resistance lies in its decade")


@dataclass(frozen=True)
class SeriesResistor:
    """A resistor for one chain of LEDs, and what it means.

    forward_v : forward voltages of the LEDs in the chain added up
    exact_ohm : what the wish works out to
    ohm : the value to buy
    """

    supply_v: float
    highest_v: float
    lowest_v: float
    forward_v: float
    exact_ohm: float
    ohm: float

    def current_ma(self, supply_v: float) -> float:
        """Current at a supply voltage; 0 if the LEDs stay dark."""
        return max(supply_v - self.forward_v, 0.0) / self.ohm * 1000

    def power_mw(self, supply_v: float) -> float:
        """Heat in the resistor at a supply voltage."""
        return self.current_ma(supply_v) ** 2 * self.ohm / 1000

    @property
    def rating_mw(self) -> float | None:
        """Smallest usual rating with margin at the highest voltage; None if none is enough."""
        needed = MARGIN * self.power_mw(self.highest_v) * (1 - 1e-9)
        return next((rating for rating in RATINGS_MW if rating >= needed), None)


def series_resistor(
    supply_v: float,
    forward_v: tuple[float, ...],
    current_ma: float,
    *,
    series: SeriesName = "E12",
    highest_v: float | None = None,
    lowest_v: float | None = None,
) -> SeriesResistor:
    """The resistor for LEDs in one chain: R = (V - sum of forward voltages) / I, next value up.

    supply_v : voltage between the common wire and the output
    forward_v : forward voltage of each LED in the chain
    highest_v, lowest_v : the supply at its highest and lowest; without them, `supply_v`

    Raises InputError if a number is out of range or the supply is too low for the LEDs.
    """
    _check("supply", supply_v, 1, 60, "V")
    _check("current", current_ma, 0.1, 1000, "mA")
    if not forward_v:
        raise InputError("no LED", field="forward").allowing(
            "one forward voltage for each LED in the chain",
            remedy="give a colour, or the forward voltage of its data sheet",
        )
    for one in forward_v:
        _check("forward", one, 0.5, 12, "V")
    total = math.fsum(forward_v)
    if supply_v <= total:
        raise InputError(
            f"{supply_v:g} V is too low to light LEDs that need {total:g} V in all",
            field="supply",
            given=supply_v,
            allowed=f"more than {total:g} V",
            remedy="put fewer LEDs in one chain; each chain has a resistor of its own",
        )
    for name, volts in (("highest", highest_v), ("lowest", lowest_v)):
        if volts is not None:
            _check(name, volts, 1, 60, "V")
    highest = supply_v if highest_v is None else max(highest_v, supply_v)
    lowest = supply_v if lowest_v is None else min(lowest_v, supply_v)
    exact = (supply_v - total) / current_ma * 1000
    return SeriesResistor(supply_v, highest, lowest, total, exact, next_value_up(exact, series))


def _check(field: str, number: float, low: float, high: float, unit: str) -> None:
    if not low <= number <= high:  # also refuses what is not a number
        raise InputError("is out of range", field=field, given=number).allowing(
            f"{low:g} to {high:g} {unit}", remedy="check the number and its unit"
        )


def ohms(ohm: float) -> str:
    """A resistance as people say it: `470 ohm`, `2.7 kilohm`."""
    for size, unit in ((1e6, "megohm"), (1e3, "kilohm")):
        if ohm >= size:
            return f"{ohm / size:g} {unit}"
    return f"{ohm:g} ohm"


def watts(power_mw: float) -> str:
    """A rating as printed on the bag: `250 mW`, `2 W`."""
    return f"{power_mw / 1000:g} W" if power_mw >= 1000 else f"{power_mw:g} mW"


def warnings(resistor: SeriesResistor, led_limit_ma: float = COMMON_LED_LIMIT_MA) -> list[str]:
    """What to mind with this resistor, in plain words; raises InputError for a limit that is none.

    led_limit_ma : what the LED takes at most
    """
    _check("led limit", led_limit_ma, 0.1, 1000, "mA")
    said = []
    at_most = resistor.current_ma(resistor.highest_v)
    if at_most > led_limit_ma:
        said.append(
            f"At {resistor.highest_v:g} V the LED gets {at_most:.1f} mA, more than "
            f"{led_limit_ma:g} mA: choose a smaller current."
        )
    if resistor.current_ma(resistor.lowest_v) == 0:
        said.append(
            f"At {resistor.lowest_v:g} V the LEDs are dark: put fewer of them in one chain."
        )
    if resistor.rating_mw is None:
        said.append("No usual resistor takes this power: choose a smaller current.")
    return said
