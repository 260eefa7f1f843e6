"""What a decoder can say: the properties of its outputs and switches, as a table.

A description names each by the words of a leaflet (`SAYS`); inside, each is one property with a
unit, a range and words for people (`PROPERTIES`). Nothing else knows how a property is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from fxstudio.effect.gate import DIRECTED_WORDS, MOTION_WORDS
from fxstudio.effect.keys import ALWAYS, KEYS, key_words
from fxstudio.units import hz, percent

UNKNOWN: Final = "unknown"
"""What a description writes where the leaflet is silent."""

NOT_ALLOWED: Final = "not allowed"
"""What a table of codes may write of a code that the leaflet forbids; as good as leaving it out."""

NEVER: Final = "never"
"""A key that no key is: the output never lights."""


KEY_NOT_KNOWN: Final = "a key that is not known"


class Unknown(NamedTuple):
    """A property that the leaflet does not give.

    code : the code that is held, or None if no cell holds one
    rising : whether a larger code is more of it; None if that is not known either
    """

    code: int | None = None
    rising: bool | None = None


def is_silent(value: object) -> bool:
    """Whether a value of a property says that it is not known."""
    return isinstance(value, Unknown) or value == UNKNOWN


@dataclass(frozen=True)
class Property:
    """One thing that codes can say.

    words : what it is called
    text : a value of it for people
    lowest, highest : limits of a number; None for what is no number
    choices : the words that it may be; empty for a number
    times : whether it is a time of the pattern in s, which cells may also give in changes a second
    look : whether it is part of the light, and not of when the light is on
    """

    words: str
    text: Callable[[Any], str]
    lowest: float | None = None
    highest: float | None = None
    choices: tuple[str, ...] = ()
    times: bool = False
    look: bool = True

    @property
    def is_number(self) -> bool:
        """Whether it is a number."""
        return self.lowest is not None

    @property
    def allowed(self) -> str:
        """What it may be, in words."""
        if self.is_number:
            return f'a number from {self.lowest:g} to {self.highest:g}, or "unknown"'
        return ", ".join(f'"{choice}"' for choice in self.choices)


def _seconds(value: float) -> str:
    return f"{value:.3g} s"


def _travel_words(travel: str) -> str:
    return "in neither direction" if travel == "none" else DIRECTED_WORDS[travel]  # type: ignore[index]


def _key_text(key: str) -> str:
    if key == UNKNOWN:
        return f"on {KEY_NOT_KNOWN}"
    return "no key lights it" if key == NEVER else key_words(key, "on ")


PROPERTIES: Final[Mapping[str, Property]] = {
    "effect": Property("effect", lambda v: "effect not known" if v == UNKNOWN else str(v)),
    "level": Property("level", lambda v: f"level {percent(v)}", 0, 1),
    "lowest": Property("lowest", lambda v: f"down to {percent(v)} of its brightest", 0, 1),
    "rate_hz": Property("rate", hz, 0.001, 1000),
    "period_s": Property("period", lambda v: f"period {_seconds(v)}", 0, 3600, times=True),
    "on_s": Property("time on", lambda v: f"{_seconds(v)} on", 0, 3600, times=True),
    "off_s": Property("time off", lambda v: f"{_seconds(v)} off", 0, 3600, times=True),
    "on_share": Property("share on", lambda v: f"on {percent(v)} of its period", 0, 1),
    "rise_s": Property("time up", lambda v: f"up in {_seconds(v)}", 0, 3600, times=True),
    "fall_s": Property("time down", lambda v: f"down in {_seconds(v)}", 0, 3600, times=True),
    "travel": Property("directions", _travel_words, choices=(*DIRECTED_WORDS, "none"), look=False),
    "motion": Property("motion", MOTION_WORDS.__getitem__, choices=tuple(MOTION_WORDS), look=False),
    "inverted": Property(
        "inverted",
        lambda v: "while its key is off" if v == "yes" else "while its key is on",
        choices=("no", "yes"),
        look=False,
    ),
    "key": Property("key", _key_text, choices=(*KEYS, ALWAYS, NEVER, UNKNOWN), look=False),
    "lights": Property("lights", lambda v: f"lights output {v}", look=False),
}
"""Every property by its name inside; rows of `ranges` and of tables of codes use these names."""

SAYS: Final[Mapping[str, str]] = {
    "effect": "effect",
    "level": "level",
    "lowest": "lowest",
    "rate": "rate_hz",
    "period": "period_s",
    "time on": "on_s",
    "time off": "off_s",
    "share on": "on_share",
    "time up": "rise_s",
    "time down": "fall_s",
    "directions": "travel",
    "motion": "motion",
    "inverted": "inverted",
    "key": "key",
}
"""What a part of a cell says, in a leaflet's words, and the property that it is."""

SPECIAL_SAYS: Final[Mapping[str, str]] = {
    "when": "direction and motion in one: always, forward, reverse, standing, moving, never",
    "dark forward": "yes: dark when travelling forward",
    "dark reverse": "yes: dark when travelling in reverse",
    "lit forward": "no: dark when travelling forward",
    "lit reverse": "no: dark when travelling in reverse",
    "lights": "which outputs a key, or a rule, lights: give a sum",
    "other": "something else of the decoder, which is left as it is: give what and to",
}
"""What else a part may say, and what it means."""

ONE_WAY: Final[Mapping[str, tuple[str, str]]] = {
    "dark forward": ("yes", "reverse"),
    "dark reverse": ("yes", "forward"),
    "lit forward": ("no", "reverse"),
    "lit reverse": ("no", "forward"),
}
"""What may be said with yes or no of one direction: which of these keeps what direction alone."""

YES_OR_NO: Final = (*ONE_WAY, "inverted")
"""What is said with yes or no: of an output that is not in a sum, the other of the two."""

WHEN: Final[Mapping[str, tuple[tuple[str, str], ...]]] = {
    "always": (),
    "forward": (("travel", "forward"),),
    "reverse": (("travel", "reverse"),),
    "standing": (("motion", "standing"),),
    "moving": (("motion", "moving"),),
    "forward moving": (("travel", "forward"), ("motion", "moving")),
    "reverse moving": (("travel", "reverse"), ("motion", "moving")),
    "forward standing": (("travel", "forward"), ("motion", "standing")),
    "reverse standing": (("travel", "reverse"), ("motion", "standing")),
    "never": (("travel", "none"),),
}
"""Codes of "when", and what each says."""


def property_words(name: str, value: Any) -> str:
    """A property with a value, for people: `level 35 %`, `rate not known`."""
    row = PROPERTIES[name]
    return f"{row.words} not known" if isinstance(value, Unknown) else row.text(value)
