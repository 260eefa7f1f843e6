"""All questions of the interview: one table, for the terminal and for the window.

What stands in braces is filled in as a question is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from fxstudio.decoder.interview.typed.basics import IN_LINES, STANDARD
from fxstudio.decoder.interview.typed.figures import NOT_KNOWN
from fxstudio.decoder.interview.typed.terms import SAID_IN_GROUPS
from fxstudio.effect.keys import ALWAYS, KEYS

DONE: Final = "done"
SKIP: Final = "skip"


@dataclass(frozen=True)
class Question:
    """One question as it is asked now.

    at : its place, the same each time: `line 3: codes`
    words : what is asked
    ways : how it may be answered, the most frequent first
    read : an answer to its value; raises InputError for one that cannot be used
    default : what Enter gives; "" if it must be answered
    examples : worked examples to hold against the leaflet before it is answered
    may_be_unknown : whether "not known" is an answer
    """

    at: str
    words: str
    ways: tuple[str, ...]
    read: Callable[[str], Any]
    default: str = ""
    examples: tuple[str, ...] = ()
    may_be_unknown: bool = False

    @property
    def told_ways(self) -> tuple[str, ...]:
        """Its ways; the second is "not known" where that is one."""
        return (self.ways[0], NOT_KNOWN, *self.ways[1:]) if self.may_be_unknown else self.ways

    @property
    def asked(self) -> str:
        """All that an answer to it rests on; another text is another question."""
        return "\n".join((*self.examples, self.words))


class Wording(NamedTuple):
    """A question in words, how to answer it, and whether a leaflet may leave it out."""

    words: str
    ways: tuple[str, ...] = ()
    may_be_unknown: bool = False


CODINGS: Final = {
    "one": "one number that says one thing: in a table, in steps, in units of something",
    "sum": "a sum of parts: effect + 5 x direction",
    "figures": "hundreds, tens and ones, each of which says something",
    "bits": "bits, some of which belong together: bits 0 to 2 effect, bit 3 inverted",
    "outputs": "a sum of what each output, or each key, counts: 1, 2, 4, 8 and so on",
    "ranges": "ranges that mean different things: 1 to 99 steady, 100 to 163 flicker",
}
"""Ways in which a number says what it says."""

_ONE_WAY: Final = "with forward or reverse behind it if that is the only direction"

WORDING: Final[Mapping[str, Wording]] = {
    "title": Wording("What is the decoder called?", ("the name on its leaflet",)),
    "outputs": Wording(
        "Which outputs does it have?",
        (
            "white, yellow, green: the names in the leaflet, in order",
            "A to D",
            "8, if they have numbers",
        ),
    ),
    "wires": Wording(
        "What colour is the wire of each, or what is its pad called?",
        ("white, yellow, green: one for each", "same, if that is its name"),
        may_be_unknown=True,
    ),
    "keys": Wording(
        "Which key lights each output as delivered?",
        (
            f"F0, F0, F1: one for each, {_ONE_WAY}; or one for all",
            f"{STANDARD}, if CV 33 to 46 are as in the standard",
            f"{IN_LINES}, if other CVs of the leaflet say it",
            f"{ALWAYS}, if it needs no key",
        ),
        may_be_unknown=True,
    ),
    "currents": Wording(
        "How many mA may they switch?",
        (
            "100 each, 250 together",
            "100, 100, 50: one for each",
            "100 each, {some} together 150",
        ),
        may_be_unknown=True,
    ),
    "line": Wording(
        "Copy one sentence of the leaflet that tells what to write into a CV.",
        (
            "one sentence, or some that belong together",
            f"{DONE}, if there are no more",
            f"{SKIP}, to leave this one out",
        ),
    ),
    "cvs": Wording(
        "Which CV or CVs is it about?",
        (
            "114; or 114 to 118; or 114, 116, 117",
            "257 and 8 further for each output",
            "257; CV 31 = 16 and CV 32 = 4 first: what must stand in others before it is written",
            "160; CV 15 = 3 first; CV 15 = 0 after; resets 170 to 175",
        ),
    ),
    "whom": Wording(
        "Whom does {cvs} serve?",
        (
            "each, if each output has its own CV",
            "all, if one CV is for every output",
            "{some} together; with ; between those of one CV and those of the next",
            "F0 to F3, forward and reverse: if each key, or key and direction, has its own CV",
            "rule 1 to 4, if each rule has its own CV",
        ),
    ),
    "coding": Wording(
        "How is the number made up?", tuple(f"{name}: {words}" for name, words in CODINGS.items())
    ),
    "says": Wording(
        "What does the number say?",
        (
            *SAID_IN_GROUPS,
            "rate for fire and lantern, if it is for some effects only",
            "level while F6, if it counts while a key is on",
        ),
    ),
    "sum": Wording(
        "Of what is it the sum?",
        (
            "effect + 5 x directions",
            *SAID_IN_GROUPS,
            "rate for fire + 8 x lowest for fire, if it is for some effects only",
            "level of first + 16 x level of second, of the outputs that share it",
            "8 + effect, no value above 200",
        ),
    ),
    "figures": Wording(
        "What do its figures say?",
        (
            "ones level, tens effect, hundreds directions",
            *SAID_IN_GROUPS,
            "no value above 255 behind it, if that is printed",
        ),
    ),
    "bits": Wording(
        "What do its bits say?",
        (
            "bits 0 to 2 effect, bit 3 inverted, bits 4 to 7 level: bit 0 is the lowest",
            *SAID_IN_GROUPS,
        ),
    ),
    "in_sum": Wording(
        "What is said of the outputs that are in the sum?",
        (
            "flicker, or another effect",
            "lights, if a key or a rule lights them",
            "dark in forward; dark in reverse; inverted",
            "key, if it is the sum of the keys that light an output",
        ),
    ),
    "shares": Wording(
        "What does each output count?", ("1, 2, 4, 8: in order of the outputs", "A 1, B 2, D 8")
    ),
    "key_shares": Wording("What does each key count?", ("F0 1, F1 2, F2 4",)),
    "ranges": Wording(
        "What do its ranges mean?",
        (
            "0 dark; 1 to 99 steady, level 1 % to 100 %; 100 to 163 flicker, rate 0.5 to 12 a "
            "second, same ratio",
            "rate not known behind a range of which that is not printed",
        ),
    ),
    "codes": Wording("What do the numbers of {title} mean?"),
    "effect": Wording(
        "How does {name} light, and what is printed of it?",
        (
            "flicker, or flicker, jumps, down to 20 %, 5 a second: what is not said is not known",
            "flicker, 5 a second, guess: marked as a guess",
        ),
        may_be_unknown=True,
    ),
    "both": Wording("If an output is in both sums, which counts?", ("{first}", "{second}")),
    "delivered": Wording(
        "What is the value as delivered?",
        ("6, or one for each CV: 6, 11, 1", "CV 114 = 6, CV 115 = 11, others 1"),
        may_be_unknown=True,
    ),
    "right": Wording(
        "Is it so in the leaflet?",
        ("yes", "no", "12, or 12 for flicker in reverse: a value that the leaflet prints"),
    ),
    "dimming": Wording(
        "How finely does it dim?",
        ("256 levels", "256 levels, 8 ms", "64 levels, 120 Hz"),
        may_be_unknown=True,
    ),
    "own_key": Wording(
        "No sentence says which key lights {name}. Which is it?",
        (f"{KEYS[0]} to {KEYS[-1]}, {_ONE_WAY}", f"{ALWAYS}, if it needs no key"),
        may_be_unknown=True,
    ),
    "also": Wording(
        "Are there other CVs to write, only when one asks for it?",
        ("no", "CV 8 = 8, everything goes back to delivered; with ; before the next"),
    ),
    "note": Wording("What else is printed that is worth keeping?", ("nothing", "any text")),
}
"""Each question by name."""
