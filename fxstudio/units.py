"""Conversion factors and the one way each quantity is written in messages."""

from __future__ import annotations

import re
from typing import Final

KMH_PER_MPS: Final = 3.6
"""km/h in one m/s; exact."""


def hz(rate_hz: float) -> str:
    """A rate as people read it: `4 Hz`, `0.25 Hz`."""
    return f"{rate_hz:.3g} Hz"


def percent(share: float) -> str:
    """A share of one in percent: `35 %`."""
    return f"{100 * share:.3g} %"


def seconds(time_s: float) -> str:
    """A time: `6 s`, `0.04 s`."""
    return f"{time_s:.3g} s"


NO_BREAK: Final = "\N{NO-BREAK SPACE}"
TOGETHER: Final = re.compile(
    r"(?<=\d) (?=(?:%|Hz|mA|mW|W|V|K|nm|s|ms|L\*|kilohm|ohm|=)(?![\w]))|(?<==) (?=\d)"
)
"""The space between a number and its unit, and those of `CV31 = 40`."""


def unbroken(text: str) -> str:
    """Text in which no line can end between a number and its unit."""
    return TOGETHER.sub(NO_BREAK, text)
