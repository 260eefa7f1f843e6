"""All questions of the interview: one table, for the terminal and for the window.

Words and hints may have names in braces, which the order of questions fills in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from fxstudio.decoder.interview.basics import (
    ALSO_HINT,
    CURRENTS_HINT,
    DIMMING_HINT,
    IN_LINES,
    KEYS_HINT,
    SHARES_HINT,
    STANDARD,
)
from fxstudio.decoder.interview.codes import RANGES_HINT
from fxstudio.decoder.interview.places import CVS_HINT, DELIVERED_HINT, WHOM_HINT
from fxstudio.decoder.interview.terms import ALLOWED_SAYS

DONE: Final = "done"
SKIP: Final = "skip"


@dataclass(frozen=True)
class Question:
    """One question as it is asked now.

    at : its place, the same each time: `line 3: codes 2`
    words : what is asked
    hint : how to answer
    read : an answer to its value; raises InputError for one that cannot be used
    default : what Enter gives; "" if it must be answered
    examples : worked examples to compare with the leaflet before it is answered
    """

    at: str
    words: str
    hint: str
    read: Callable[[str], Any]
    default: str = ""
    examples: tuple[str, ...] = ()

    @property
    def asked(self) -> str:
        """All that an answer to it rests on; another text is another question."""
        return "\n".join((*self.examples, self.words))


class Wording(NamedTuple):
    """A question in words, and how to answer it."""

    words: str
    hint: str = ""


CODINGS: Final = {
    "one": "one number with one meaning: looked up in a table, or in steps or units",
    "sum": "a sum of parts: effect + 5 x direction",
    "figures": "figures of the number: hundreds, tens and ones each say something",
    "outputs": "a sum of what each output counts: 1, 2, 4, 8 ...",
    "ranges": "ranges of one number that mean different things: 1 to 99 steady, 100 to 163 flicker",
}
"""Ways in which a number says what it says."""

WORDING: Final[Mapping[str, Wording]] = {
    "title": Wording("What is the decoder called?", "the name on the leaflet"),
    "outputs": Wording(
        "Which outputs does it have?",
        "their names in order, such as white, yellow, green; or A to D; or how many",
    ),
    "wires": Wording(
        "What colour is the wire of each, or what is its pad called?",
        "one for each with commas between them; not known; or same, if that is its name",
    ),
    "keys": Wording("Which key lights each as delivered?", KEYS_HINT),
    "currents": Wording("How many mA may they switch?", CURRENTS_HINT),
    "line": Wording(
        "Copy one sentence of the leaflet that tells what to write into a CV.",
        f"one after the other; {DONE} when there are no more; {SKIP} to leave this one out",
    ),
    "cvs": Wording("Which CV or CVs is it about?", CVS_HINT),
    "whom": Wording("Whom does {cvs} serve?", WHOM_HINT),
    "coding": Wording(
        "How is the number made up?",
        "\n   ".join(f"{name} - {words}" for name, words in CODINGS.items()),
    ),
    "says": Wording(
        "What does the number say?",
        f"{ALLOWED_SAYS}; with for and names of effects behind it if it is for some effects only, "
        "such as rate for fire; level while F6, if it counts while a key is on; other: motor, if it "
        "is nothing of an output",
    ),
    "sum": Wording(
        "Of what is it the sum?",
        "effect + 5 x directions; rate for fire + 8 x lowest for fire; level of first + 16 x level "
        "of second; with a number for what is always added, and no value above 200 behind it",
    ),
    "figures": Wording("What do its figures say?", "ones level, tens effect, hundreds directions"),
    "shares": Wording("What does each output count?", SHARES_HINT),
    "in_sum": Wording(
        "What is said of the outputs that are in the sum?",
        "lights, if a key or a rule lights them; dark forward; dark reverse; inverted; or the name "
        "of an effect, such as flicker",
    ),
    "ranges": Wording("What do its ranges mean?", RANGES_HINT),
    "codes": Wording("What do the numbers of {title} mean?", "{examples}"),
    "effect": Wording(
        "How does {name} light, and what is printed of it?",
        "a kind; not known; or a kind and what is printed, such as flicker, jumps, down to 20 %, 5 a "
        "second; put guess behind it if it is one. What is not said is not known.\n   {kinds}",
    ),
    "both": Wording(
        "If an output is in both, which counts?", "{first}, or {second}; what the leaflet says"
    ),
    "delivered": Wording("What is the value as delivered?", DELIVERED_HINT),
    "right": Wording(
        "Is it so in the leaflet?",
        "yes; no; or a value that it prints, such as 12, or 12 for flicker in reverse",
    ),
    "dimming": Wording("How finely does it dim?", DIMMING_HINT),
    "own_key": Wording(
        "No line says which key lights {name}. Which is it?",
        "F0 to F28, with forward or reverse behind it if it lights in one direction only; or always",
    ),
    "also": Wording("Are there other CVs to write, only when one asks for it?", ALSO_HINT),
    "note": Wording("What else is printed that is worth keeping?", "any text; or nothing"),
}
"""Each question by name; STANDARD and IN_LINES may be answered to `keys`."""

UNKNOWN_MAY_BE: Final = ("wires", "currents", "codes", "effect", "delivered", "dimming")
"""Questions to which "not known" is an answer."""

_ = STANDARD, IN_LINES
