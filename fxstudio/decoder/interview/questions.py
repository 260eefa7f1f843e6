"""The questions a decoder's manual answers, as a table.

What an answer may be is the field's own range (`tables.py`, `fields.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from pydantic import BaseModel

from fxstudio.decoder.description.fields import (
    EffectCode,
    EffectField,
    ForwardField,
    LevelField,
    LowestField,
    ReverseField,
    TravelCode,
    TravelField,
)
from fxstudio.decoder.description.model import Description
from fxstudio.decoder.description.tables import CurvePoint, Kept, Output, Pwm, Rate
from fxstudio.decoder.interview import limits
from fxstudio.decoder.interview.answers import key, number_in, whole, yes_or
from fxstudio.decoder.interview.field_questions import (
    ASK_FOR_BITS,
    ASK_FOR_CV,
    READ_IT,
    WHICH_PAGE,
    as_delivered,
    even_or_listed,
    where_kept,
)
from fxstudio.decoder.interview.pattern_questions import PatternKind, pattern_questions
from fxstudio.decoder.interview.question import Question, Section, TomlTable

ASSUMED_LEVELS, ASSUMED_REFRESH_MS = 256, 5.0
"""For a manual that does not say how it dims; they change fine shades only."""


ASSUMED_FIXED_HZ = 4.0
"""For a decoder in which nothing flickers."""

TRY_CODES = "try the codes one after the other and note what the lamp does."
ENTER = "press Enter for the usual one."
COUNT_IT = "count the changes for ten seconds and divide by ten."


def _has_bits_left(data: TomlTable) -> bool:
    names = ("effect", "travel", "forward", "reverse", "level", "lowest")
    return any(data[name].get("bits", 8) < 8 for name in names if name in data)


def _rate_has_cv(data: Mapping[str, Any]) -> bool:
    return "cv" in data["rate"]


def _usual_key(table: TomlTable, _data: TomlTable) -> str:
    return f"F{max(table['number'] - 2, 0)}"


def _usual_travel(table: TomlTable, _data: TomlTable) -> str:
    return {1: "forward", 2: "reverse"}.get(table["number"], "both")


def _usual_code(_table: TomlTable, data: TomlTable) -> str:
    return "0" if 0 in limits.codes(data, "effect") else ""


def _same_current(_table: TomlTable, data: TomlTable) -> str:
    rows = data.get("outputs", ())
    return f"{rows[-1]['current_ma']:g}" if rows else ""


def _switch(where: str, model: type[BaseModel], shines: str, when: str) -> Section:
    """One bit of each output that lets it shine in a direction."""
    return Section(
        where,
        f"Whether an output shines {shines}",
        model,
        (
            *where_kept(f"bit for {when}", bits=False),
            Question(
                "on", "Which bit lets it shine, 1 or 0?", whole, default="1", if_not_given=ENTER
            ),
            *as_delivered(where, "bit", "1"),
        ),
        offer=f"Does each output have a bit that lets it shine when {when}?",
        when=lambda data: "travel" not in data,
    )


SECTIONS: Final = (
    Section(
        "",
        "The decoder",
        Description,
        (
            Question("title", "What is the decoder called?"),
            Question(
                "note", "Anything to note, such as the edition of the manual?", may_be_left=True
            ),
            Question(
                "function_map",
                "Do CVs 33 to 46 choose which key switches which output?",
                yes_or("s-9.2.2", "none"),
                default="yes",
            ),
            Question(
                "limit_ma",
                "How many mA may all its outputs give together?",
                number_in("mA"),
                may_be_left=True,
                if_not_given="press Enter: then only the limit of each output is checked.",
            ),
        ),
    ),
    Section(
        "outputs",
        "Its outputs",
        Output,
        (
            Question(
                "number",
                "Number of the output: 1 front light, 2 rear light, 3 onwards.",
                whole,
                limit=limits.NEXT_OUTPUT,
                if_not_given="count the outputs in the order of its wiring diagram.",
            ),
            Question(
                "wire", "What colour is its wire, or what is its pad called?", may_be_left=True
            ),
            Question("key", "Which key switches it as delivered?", key, default=_usual_key),
            Question(
                "travel",
                "In which directions of travel does that key switch it?",
                default=_usual_travel,
            ),
            Question(
                "current_ma",
                "How many mA may it switch at most?",
                number_in("mA"),
                default=_same_current,
                if_not_given="divide the total by the number of outputs. If it gives no total, "
                "type 10, enough for one LED, and load it with no more until the maker has told "
                "you.",
            ),
        ),
        help="One after the other, in order of their numbers.",
        rows=1,
    ),
    Section(
        "pwm",
        "How it dims",
        Pwm,
        (
            Question(
                "levels",
                "How many brightness levels can it make, dark and full counted?",
                whole,
                default=str(ASSUMED_LEVELS),
                if_not_given=ENTER,
            ),
            Question(
                "refresh_ms",
                "How many ms does one on-and-off take?",
                number_in("ms"),
                default=f"{ASSUMED_REFRESH_MS:g}",
                if_not_given=ENTER,
            ),
        ),
        help="Press Enter if the manual does not say: only the finest shades depend on it.",
    ),
    Section(
        "rate",
        "The shared rate",
        Rate,
        (
            Question(
                "cv",
                "Which CV holds the shared rate?",
                whole,
                limit=limits.RATE_CV,
                if_not_given=ASK_FOR_CV,
            ),
            WHICH_PAGE,
        ),
        offer="Does a CV set how fast every flickering output runs?",
    ),
    Section(
        "rate",
        "The fixed rate",
        Rate,
        (
            Question(
                "fixed_hz",
                "How many changes a second does a flickering output make?",
                number_in("Hz"),
                default=f"{ASSUMED_FIXED_HZ:g}",
                if_not_given=COUNT_IT,
            ),
        ),
        help="Count them for ten seconds. If nothing flickers, press Enter: it then means nothing.",
        when=lambda data: "rate" not in data,
    ),
    Section(
        "rate.curve",
        "Values of that CV and how fast they are",
        CurvePoint,
        (
            Question(
                "value",
                "A value of the CV, the smallest first.",
                whole,
                limit=limits.NEXT_VALUE,
                if_not_given="take 1, 128 and 255 if the decoder accepts them.",
            ),
            Question(
                "hz",
                "How many changes a second are there? Count them for ten seconds.",
                number_in("Hz"),
                if_not_given=COUNT_IT,
            ),
        ),
        help="At least the smallest and the largest value allowed, and some in between.",
        rows=2,
        when=_rate_has_cv,
    ),
    Section(
        "rate",
        "The shared rate as delivered",
        Rate,
        (Question("works", "Which value does it have as delivered?", whole, if_not_given=READ_IT),),
        when=_rate_has_cv,
    ),
    Section("effect", "Where the effect of an output is", EffectField, where_kept("effect code")),
    Section(
        "effect.codes",
        "What its codes do",
        EffectCode,
        (
            Question(
                "code",
                "A code from the manual's table of effects.",
                whole,
                limit=limits.new_code("effect"),
                if_not_given=TRY_CODES,
            ),
            Question("name", "What does the manual call it?"),
            Question(
                "pattern.kind",
                "Which of these is most like what it does?",
                default="steady",
                model=PatternKind,
                limit=limits.KIND,
            ),
            *pattern_questions(),
        ),
        help="Code after code, a plain steady light among them; dark for one that never lights.",
        rows=1,
    ),
    Section(
        "effect",
        "Effects as delivered",
        EffectField,
        as_delivered("effect", "effect code", _usual_code),
    ),
    Section(
        "travel",
        "Where the travel of an output is",
        TravelField,
        where_kept("travel code"),
        offer="Does each output have a code that says in which direction it shines?",
    ),
    Section(
        "travel.codes",
        "What its codes mean",
        TravelCode,
        (
            Question(
                "code",
                "A code from the manual's table of directions.",
                whole,
                limit=limits.new_code("travel"),
                if_not_given=TRY_CODES,
            ),
            Question("travel", "In which direction may the output shine?"),
        ),
        rows=1,
        when=lambda data: "travel" in data,
    ),
    Section(
        "travel",
        "Travel as delivered",
        TravelField,
        as_delivered("travel", "travel code"),
        when=lambda data: "travel" in data,
    ),
    _switch("forward", ForwardField, "forward", "travelling forward"),
    _switch("reverse", ReverseField, "in reverse", "travelling in reverse"),
    Section(
        "level",
        "How bright an output is",
        LevelField,
        (
            *where_kept("brightness"),
            *even_or_listed("level"),
            *as_delivered("level", "brightness code"),
        ),
        offer="Can the brightness of each output be set?",
    ),
    Section(
        "lowest",
        "How dark an output gets",
        LowestField,
        (
            *where_kept("darkest brightness"),
            *even_or_listed("lowest"),
            *as_delivered("lowest", "code of the darkest brightness"),
        ),
        offer="Can the darkest moment of each output be set?",
    ),
    Section(
        "keep",
        "Bits that are something else's",
        Kept,
        (
            Question("what", "What does the manual give the bits to?"),
            Question("cv", "Which CV are they in?", whole, if_not_given=ASK_FOR_CV),
            WHICH_PAGE,
            Question("bits", "How many bits are they?", whole, if_not_given=ASK_FOR_BITS),
            Question(
                "bit",
                "Which is the lowest of them? 0 is the lowest of all.",
                whole,
                limit=limits.LOWEST_BIT,
                if_not_given=ASK_FOR_BITS,
            ),
            Question(
                "works",
                "What do they hold as delivered, counted from their lowest bit?",
                whole,
                default="0",
                if_not_given=READ_IT,
            ),
        ),
        help="They stay as they are. All other bits that no answer has named are written as 0.",
        offer="Does the manual give other bits of these CVs to something else?",
        rows=1,
        when=_has_bits_left,
    ),
)
"""All sections in the order in which they are asked."""
