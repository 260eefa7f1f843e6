"""What a number says, and how it is put together: `effect + 5 x direction`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from fxstudio.decoder.interview.typed.figures import TYPE_AGAIN, refused, tidy, whole_number
from fxstudio.decoder.leaflet.says import SAYS, SPECIAL_SAYS
from fxstudio.effect.keys import ALWAYS, KEYS
from fxstudio.errors import InputError, near

CALLED: Final = {
    "effect": "mode kind function",
    "level": "brightness dimming dim intensity light",
    "lowest": "depth floor darkest",
    "rate": "speed pace tempo frequency",
    "period": "cycle",
    "time on": "on-time on",
    "time off": "off-time off pause",
    "share on": "duty",
    "time up": "fade-in rise come-up up",
    "time down": "fade-out fall die-away down",
    "directions": "direction travel",
    "inverted": "inversion invert reversed",
    "key": "function-key switch",
    "lights": "outputs",
    "other": "nothing motor sound",
}
"""Other words of leaflets for what a number says, one for each, hyphens for blanks."""

SAID: Final = {
    name: name for name in (*SAYS, *SPECIAL_SAYS)
} | {
    re.sub("-", " ", word): name for name, words in CALLED.items() for word in words.split()
}  # fmt: skip
"""Every word that may be typed for what a number says."""

WITH_FIGURE: Final = {"ones": 1, "units": 1, "tens": 10, "hundreds": 100}
"""Figures of a number and what each counts."""

WHOLE_GROUP: Final = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
"""Outputs by their place in a group that shares a number."""


@dataclass(frozen=True)
class Addend:
    """One share of a number.

    says : what it says, words of `SAYS`
    times : what each step of its code adds
    of : the outputs that it serves, by name or by place in the group; empty for all
    effects : the effects for which it counts; empty for all
    key : the key while which it counts; "" for always
    what : what it belongs to, if that is nothing of an output
    count : how many codes its bits have; 0 if it is not said in bits
    """

    says: tuple[str, ...]
    times: int = 1
    of: tuple[str, ...] = ()
    effects: tuple[str, ...] = ()
    key: str = ""
    what: str = ""
    count: int = 0

    @property
    def title(self) -> str:
        """`rate for fire`, `level of first`, `level while F6 is on`."""
        told = self.what or " and ".join(self.says)
        told += f" of {' and '.join(self.of)}" if self.of else ""
        told += f" for {' and '.join(self.effects)}" if self.effects else ""
        return told + (f" while {self.key} is on" if self.key else "")


@dataclass(frozen=True)
class Formula:
    """A number as a sum: offset + addends, and no more than `highest`."""

    addends: tuple[Addend, ...]
    offset: int = 0
    highest: int | None = None


WHAT_IS_SAID: Final = ", ".join((*SAYS, *SPECIAL_SAYS))

SAID_IN_GROUPS: Final = (
    "effect; level, its brightness; lowest, how dark it gets; rate, how fast it flickers",
    "period, time on, time off, share on: of a flash",
    "time up, time down: as it comes up and dies away",
    "directions; motion, standing or moving; when, all these in one",
    "dark forward, dark reverse, lit forward, lit reverse: for a sum of outputs, or yes and no",
    "key, that lights it; inverted, lit while its key is off; lights, which outputs a key lights",
    "other: motor, or what else is nothing of an output",
)
"""All that a number can say, with what it is."""
_SPLIT = re.compile(r"\s*(?:,|&|\band\b)\s*", re.I)
_TAIL = re.compile(
    r"[,;.]?\s*(?:no (?:value|number|sum)s?|not|never)?\s*(?:at most|up to|above|over|more than)"
    r"\s+(?P<highest>\d+)$",
    re.I,
)


def named(typed: str, names: Sequence[str]) -> str | None:
    """The name that was typed, capitals aside, with `output` before it or not."""
    plain = {name.casefold(): name for name in names}
    text = tidy(typed).strip("'\"").casefold()
    return plain.get(text) or plain.get(re.sub(r"^outputs?\s+|^the\s+", "", text))


def names_in(text: str, names: Sequence[str], what: str = "outputs") -> tuple[str, ...]:
    """Names with commas or `and` between them, runs among them; raises InputError."""
    whole = named(text, names)
    if whole:
        return (whole,)
    found: list[str] = []
    for piece in _SPLIT.split(re.sub(r"^(?:outputs?|both)\s+", "", tidy(text), flags=re.I)):
        if not piece:
            continue
        ends = [named(end, names) for end in re.split(r"\s*(?:\bto\b|–)\s*", piece)]
        one = named(piece, names)
        if one:
            found.append(one)
        elif len(ends) == 2 and all(ends):
            first, last = (names.index(str(end)) for end in ends)
            found += names[first : last + 1]
        else:
            error = refused(piece, f"{what}: {', '.join(names)}", f"is none of the {what}")
            if guess := near(piece, names):
                error.remedy = f"did you mean '{guess}'?"
            raise error
    if not found:
        raise refused(text, f"{what}: {', '.join(names)}")
    return tuple(dict.fromkeys(found))


def key_of(text: str) -> str:
    """A key: `F6`, `key F6`, `key 6`; raises InputError."""
    found = re.fullmatch(r"(?:the )?(?:key )?f? ?(\d{1,2})(?: is on| on)?", tidy(text), re.I)
    if found and f"F{int(found[1])}" in KEYS:
        return f"F{int(found[1])}"
    if tidy(text).lower() in (ALWAYS, "no key"):
        return ALWAYS
    raise refused(text, f"{KEYS[0]} to {KEYS[-1]}", "is no key")


def term_of(text: str, outputs: Sequence[str], effects: Sequence[str], group: int = 0) -> Addend:
    """`rate for fire and lantern`, `level of first`, `other: motor`; raises InputError.

    outputs, effects : the names that may stand after `of` and `for`; an effect may be new
    group : how many outputs share the number, so many may be called by their place
    """
    typed = tidy(text)
    if other := re.fullmatch(r"(?:other|something else)\s*(?:[:=,]|\bof\b|\bfor\b)?\s*(.*)", typed):
        return Addend(("other",), what=other[1][:60])
    typed, key = _cut(typed, r"\bwhile\b|\bwhen\b(?=\s+(?:key|f\s?\d))")
    typed, which = _cut(typed, r"\bfor\b")
    typed, of = _cut(typed, r"\bof\b")
    own = [*WHOLE_GROUP[:group], *outputs]
    if of and not which and _all_named(of, effects) and not _all_named(of, own):
        of, which = "", of  # "speed of fire and lantern"
    elif which and not of and _all_named(which, own) and not _all_named(which, effects):
        of, which = which, ""  # "level for output 1"
    says = tuple(_said(piece, text) for piece in _SPLIT.split(_bare(typed)) if piece)
    if not says or len(says) > 4:
        raise refused(text, WHAT_IS_SAID, "says nothing of an output")
    for each in says:
        if len(says) > 1 and (each in SPECIAL_SAYS or says.count(each) > 1):
            raise refused(text, "times and rates may be said at once", "cannot be said at once")
    if re.match(r"(?:all|every|each|both)\b", which, re.I) and not named(which, effects):
        which = ""  # "for all that flicker": those that have such a thing
    else:
        which = re.sub(r"^(?:the effects?|effects?)\s+", "", which, flags=re.I)
    return Addend(
        says,
        of=names_in(of, own) if of else (),
        effects=tuple(_effects(which, effects)) if which else (),
        key=key_of(key) if key else "",
    )


def _cut(text: str, at: str) -> tuple[str, str]:
    parts = re.split(rf"\s*(?:{at})\s*", text, maxsplit=1, flags=re.I)
    return parts[0], parts[1] if len(parts) > 1 else ""


def _all_named(text: str, names: Sequence[str]) -> bool:
    """Whether it is one of the names, or several of them."""
    return bool(named(text, names)) or all(named(each, names) for each in _SPLIT.split(text))


def _bare(text: str) -> str:
    return re.sub(r"^(?:the|its|this|their)\s+", "", tidy(text), flags=re.I)


def _said(piece: str, whole: str) -> str:
    word = re.sub(r"[-_\s]+", " ", _bare(piece).lower())
    found = SAID.get(word) or SAID.get(word.removesuffix("s")) or SAID.get(f"{word}s")
    if found is None:
        # "flicker speed" is a speed: the last word says what, the others of what
        last = word.rpartition(" ")[2]
        found = SAID.get(last) if last != word else None
    if found is None:
        error = refused(piece, WHAT_IS_SAID, "is nothing that a number can say")
        if guess := near(word, SAID):
            error.remedy = f"did you mean '{guess}'?"
        raise error
    return found


def _effects(text: str, effects: Sequence[str]) -> Iterator[str]:
    whole = named(text, effects)
    if whole:
        yield whole
        return
    for piece in _SPLIT.split(text):
        name = tidy(piece).strip("'\"")
        known = named(name, effects)
        if known is None and (guess := near(name, effects)):
            error = refused(name, ", ".join(effects), "is no effect so far")
            error.remedy = f"did you mean '{guess}'?"
            raise error
        if not name or len(name) > 40:
            raise refused(text, "names of effects with commas between them")
        yield known or name


def formula_of(
    text: str, outputs: Sequence[str], effects: Sequence[str], group: int = 0
) -> Formula:
    """`effect + 5 x direction`, `ones level, tens effect`; raises InputError."""
    typed = re.sub(r"^(?:the )?value\s*(?:=|is)\s*", "", tidy(text), flags=re.I)
    typed = tidy(re.sub(r"[()]", "", typed))
    highest = None
    if tail := _TAIL.search(typed):
        highest = whole_number(tail["highest"], 0, 255, "the largest value,")
        typed = typed[: tail.start()]
    figures = bool(_FIGURE.match(typed) or _BITS.match(typed))
    terms: list[Addend] = []
    offset = 0
    for piece in re.split(r"\s*[,;]\s*" if figures else r"\s*\+\s*|\s+plus\s+", typed):
        if not piece:
            raise refused(text, "terms with + between them, such as effect + 5 x direction")
        if re.fullmatch(r"\d+", piece):
            offset += whole_number(piece, 0, 255, "a number that is always added,")
            continue
        term, times, count = _with_times(piece, figures)
        found = term_of(term, outputs, effects, group)
        terms.append(replace(found, times=times, count=count))
    if not terms:
        raise refused(text, "terms with + between them, such as effect + 5 x direction")
    if len(terms) > 16:
        raise InputError("has too many terms", given=text, allowed="16", remedy=TYPE_AGAIN)
    return Formula(tuple(terms), offset, highest)


_FIGURE = re.compile(
    rf"(?:the )?(?P<figure>{'|'.join(WITH_FIGURE)})\b\W*(?:is|are|say|says)?\s*(?P<says>.+)", re.I
)
_BITS = re.compile(
    r"(?:the )?bits?\s*(?P<low>[0-7])(?:\s*(?:to|-|–|and)\s*(?P<high>[0-7]))?\b\W*"
    r"(?:is|are|say|says)?\s*(?P<says>.+)",
    re.I,
)
_SIGN = r"(?:x|\*|×|times)"


def _with_times(piece: str, figures: bool) -> tuple[str, int, int]:
    """What an addend says, what it counts, and how many codes its bits have."""
    if figures:
        if bits := _BITS.fullmatch(piece):
            ends = sorted((int(bits["low"]), int(bits["high"] or bits["low"])))
            return bits["says"], 1 << ends[0], 1 << (ends[1] - ends[0] + 1)
        found = _FIGURE.fullmatch(piece)
        if not found:
            raise refused(piece, "ones, tens or hundreds, or bits, and what they say")
        return found["says"], WITH_FIGURE[found["figure"].lower()], 0
    before = re.fullmatch(rf"(\d+)\s*{_SIGN}\s*(.+)", piece, re.I)
    after = re.fullmatch(rf"(.+?)\s*{_SIGN}\s*(\d+)", piece, re.I)
    if before:
        return before[2], whole_number(before[1], 1, 255, "how often a code counts,"), 0
    if after:
        return after[1], whole_number(after[2], 1, 255, "how often a code counts,"), 0
    return piece, 1, 0


def part_row(term: Addend, group: Sequence[str] = ()) -> dict[str, Any]:
    """The row of a part without its codes; `group` has the outputs that go by their place."""
    row: dict[str, Any] = {"says": term.says[0] if len(term.says) == 1 else list(term.says)}
    if term.what:
        row["what"] = term.what
    if term.of:
        placed = dict(zip(WHOLE_GROUP, group, strict=False))
        of = [placed.get(name, name) for name in term.of]
        row["of"] = of[0] if len(of) == 1 else of
    if term.effects:
        row["of_effect"] = term.effects[0] if len(term.effects) == 1 else list(term.effects)
    if term.key:
        row["while"] = term.key
    if term.times != 1:
        row["times"] = term.times
    return row
