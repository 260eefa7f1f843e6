"""What one code says, in the words of a leaflet: `forward only`, `40 %`, `violet flicker`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fxstudio.decoder.interview.typed.figures import (
    changes_a_second,
    is_not_known,
    plain_number,
    refused,
    share_of_light,
    tidy,
    time_in_s,
)
from fxstudio.decoder.interview.typed.terms import SAID, key_of, named, names_in
from fxstudio.decoder.leaflet.rows import DARK
from fxstudio.decoder.leaflet.says import NEVER, PROPERTIES, SAYS, UNKNOWN, WHEN
from fxstudio.effect.keys import ALWAYS
from fxstudio.errors import InputError

SHARES: Final = ("level", "lowest", "share on")
"""What is said in shares of full light or of a time."""

DARK_WORDS: Final = (
    *("none", "off", "dark", "no light", "nothing", "never lights", "unlit", "always off"),
    *("always dark", "no effect", "out", "not lit"),
)
NOT_USED: Final = (
    *("not used", "unused", "not allowed", "reserved", "must not be used", "do not use"),
    *("forbidden", "free", "not in use", "no meaning"),
)
FORWARD: Final = ("forward", "forwards", "forward only", "only forward", "ahead", "in forward")
REVERSE: Final = (
    *("reverse", "reverse only", "only reverse", "in reverse", "in reverse only"),
    *("backward", "backwards", "back", "only in reverse"),
)
BOTH: Final = (
    *("both", "both directions", "always", "any", "either", "in both directions"),
    *("forward and reverse", "any direction"),
)
STANDING: Final = ("standing", "while standing", "only standing", "stopped", "at rest")
MOVING: Final = ("moving", "while moving", "only moving", "running", "under way")
NEITHER: Final = ("none", "neither", "never", "off", "dark", "in neither direction")
YES: Final = ("yes", "on", "y", "inverted", "dark", "lit while its key is off", "1", "true")
NO: Final = ("no", "off", "n", "not inverted", "lit", "normal", "0", "false", "plain")

CHOICES: Final[Mapping[str, Mapping[str, tuple[str, ...]]]] = {
    "directions": {"both": BOTH, "forward": FORWARD, "reverse": REVERSE, "none": NEITHER},
    "motion": {"both": ("both", "always", "any"), "standing": STANDING, "moving": MOVING},
    "inverted": {"no": NO, "yes": YES},
    "dark forward": {"no": NO, "yes": YES},
    "dark reverse": {"no": NO, "yes": YES},
    "lit forward": {"no": NO, "yes": YES},
    "lit reverse": {"no": NO, "yes": YES},
    "when": {
        "always": BOTH,
        "forward": FORWARD,
        "reverse": REVERSE,
        "standing": STANDING,
        "moving": MOVING,
        "never": NEITHER,
    },
}
"""Words of leaflets for each choice."""


@dataclass(frozen=True)
class Context:
    """What an answer may name.

    says : what the part says
    outputs, effects : names so far
    """

    says: tuple[str, ...]
    outputs: Sequence[str] = ()
    effects: Sequence[str] = ()


def value_of(text: str, says: str, context: Context) -> Any:
    """What one code says, as a file has it; raises InputError."""
    typed = tidy(text)
    word = re.sub(r"^(?:is|means|=|:)\s+", "", typed).lower()
    if says == "other":
        return typed
    if own := _of_each_output(typed, context):
        return {output: value_of(said, says, context) for output, said in own.items()}
    if says in CHOICES:
        for choice, words in CHOICES[says].items():
            if word == choice or word in words:
                return choice
        if says == "when" and word in WHEN:
            return word
        raise refused(text, ", ".join(CHOICES[says]), "is not one of the choices")
    if says == "effect":
        return _effect_value(typed, context)
    if says == "key":
        return UNKNOWN if is_not_known(typed) else _keys_value(typed)
    if says == "lights":
        return [] if word in DARK_WORDS else list(names_in(typed, context.outputs))
    if is_not_known(typed):
        return UNKNOWN
    return figure_of(typed, says)


def figure_of(text: str, says: str) -> float:
    """A number of a property; without a unit, in that of the property. Raises InputError."""
    if says in SHARES:
        return share_of_light(text)
    number = plain_number(text)
    if number is not None:
        value = number
    elif says == "rate":
        value = _rate(text)
    else:
        value = time_in_s(text)
    row = PROPERTIES[SAYS[says]]
    assert row.lowest is not None
    assert row.highest is not None
    if not row.lowest <= value <= row.highest:
        raise refused(text, row.allowed, "is out of range")
    return value


def _keys_value(typed: str) -> Any:
    if typed.lower() in ("no key", "none", "never", "off", "no", "not lit", "never lights"):
        return NEVER
    if typed.lower() in (ALWAYS, "without a key", "on"):
        return ALWAYS
    keys = [key_of(piece) for piece in re.split(r"\s*(?:,|/|&|\bor\b|\band\b)\s*", typed) if piece]
    return keys[0] if len(keys) == 1 else keys


def effect_name(text: str, effects: Sequence[str]) -> str:
    """The effect of that name, or a new name; raises InputError."""
    typed = re.sub(r"^(?:the |an? )(?=\w)", "", tidy(text).strip("'\""))
    word = typed.lower()
    if word in DARK_WORDS:
        return DARK
    if word in ("steady", "steadily", "steady light", "on", "constant", "always on", "lit"):
        return "steady"
    known = named(typed, effects) or named(word.removesuffix("s"), effects)
    if known:
        return known
    if not typed or len(typed) > 40:
        raise refused(text, "a name of an effect of 1 to 40 letters", "is no name of an effect")
    return typed


_IN_WORDS = re.compile(
    r"(?P<effect>.+?)\s+(?:only )?(?:in |when |while )?(?:the )?"
    r"(?P<when>forward|reverse|standing|moving)(?: direction)?(?: only)?",
    re.I,
)
"""`flicker in reverse`, `steady forward only`."""


def _effect_value(typed: str, context: Context) -> Any:
    """An effect, or one with more that the code says."""
    first, *more = [piece for piece in re.split(r"\s*(?:,|\+)\s*", typed) if piece] or [""]
    first = re.sub(r"^(?:both|all|for)\s+(?=\w)", "", first, flags=re.I)
    found = _IN_WORDS.fullmatch(first)
    if found and not named(first, context.effects):
        first, more = found["effect"], [found["when"], *more]
    name = effect_name(first, context.effects)
    if not more:
        return name
    if name == DARK and not any(piece[0].isdigit() for piece in more):
        return name  # "0 none, the output never lights"
    said: dict[str, Any] = {"effect": name}
    for piece in more:
        try:
            property_, value = property_of(piece, context)
        except InputError:
            allowed = "forward only, level 50 %, 4 a second and the like; or leave it out: how "
            raise refused(piece, f"{allowed}an effect lights is asked next") from None
        said[property_] = value
    return said


def _of_each_output(typed: str, context: Context) -> dict[str, str] | None:
    """`green steady and violet flicker` as what is said of each; None if it is said of all."""
    if named(typed, context.effects):
        return None
    found: dict[str, str] = {}
    for piece in re.split(r"\s*(?:,|&|\band\b)\s*", typed):
        one = _of_output(piece, context.outputs)
        if one is None:
            return None
        found[one[0]] = one[1]
    return found


def _of_output(piece: str, outputs: Sequence[str]) -> tuple[str, str] | None:
    """`violet flicker` as the output and what is said of it."""
    for name in sorted(outputs, key=len, reverse=True):
        # "1 s" is no output 1
        told = r"(?:only )?output\s+" if name.isdigit() else "(?:only |output )?"
        words = rf"{told}{re.escape(name)}(?:\s*[=:]\s*|\s+)(?:is |are )?(.+)"
        found = re.fullmatch(words, piece, re.I)
        if found:
            return name, found[1]
    return None


def _rate(text: str) -> float:
    """Changes a second; from a time between two changes, if that is what is said."""
    try:
        return changes_a_second(text)
    except InputError as error:
        try:
            time_s = time_in_s(text)
        except InputError:
            raise error from None
        if time_s <= 0:
            raise error from None
        return 1 / time_s


def property_of(text: str, context: Context) -> tuple[str, Any]:
    """A property by its name inside with its value: `forward only`, `level 50 %`, `5 a second`.

    A number may be two, from one end of a run to the other: `level 1 % to 100 %`. Raises
    InputError.
    """
    typed = tidy(text)
    for says in ("directions", "motion"):
        for choice, words in CHOICES[says].items():
            if choice not in ("both", "none") and typed.lower() in words:
                return SAYS[says], choice
    for word in sorted(SAID, key=len, reverse=True):
        name = SAYS.get(SAID[word])
        if name is None or name == "effect":
            continue
        found = re.fullmatch(rf"{re.escape(word)}\s*[=:]?\s*(.+)", typed, re.I)
        if found:
            return name, _or_two(found[1], SAID[word], context)
    return "rate_hz", _or_two(typed, "rate", context)


def _or_two(text: str, says: str, context: Context) -> Any:
    ends = re.split(r"\s+to\s+", re.sub(r"^from\s+", "", text))
    if len(ends) != 2 or says not in SAYS or not PROPERTIES[SAYS[says]].is_number:
        return value_of(text, says, context)
    if says == "rate" and plain_number(ends[0]) is not None:
        ends[0] += re.sub(r"^\S+", "", ends[1])
    return [figure_of(end, says) for end in ends]


def told_in_sum(text: str, effects: Sequence[str]) -> dict[str, Any]:
    """What is said of outputs in a sum: `flicker`, `dark in forward`, `lights`."""
    typed = re.sub(r"^(?:they |those )?(?:that |which )?(?:are |is )?", "", tidy(text), flags=re.I)
    word = typed.lower()
    dark = re.fullmatch(r"dark (?:in )?(?:the )?(forward|reverse)(?: direction)?", word)
    if dark:
        return {"says": f"dark {dark[1]}"}
    if re.fullmatch(r"(?:the )?keys?(?: that lights? (?:it|them))?", word):
        return {"says": "key"}
    if word in ("lights", "lit", "light", "on", "it lights", "lighted"):
        return {"says": "lights"}
    if word in ("inverted", "lit while their key is off", "lit while the key is off"):
        return {"says": "inverted"}
    only = re.fullmatch(r"(?:lit )?(?:only )?(?:in )?(forward|reverse)(?: only)?", word)
    if only:
        return {"says": "directions", "set": only[1]}
    motion = re.fullmatch(r"(?:lit )?(?:only )?(?:while )?(standing|moving)(?: only)?", word)
    if motion:
        return {"says": "motion", "set": motion[1]}
    return {"says": "effect", "set": effect_name(typed, effects)}
