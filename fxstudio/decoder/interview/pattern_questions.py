"""The questions about what an effect code does, derived from the kinds of patterns."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import create_model

from fxstudio.decoder.interview import limits
from fxstudio.decoder.interview.answers import Reader, number, number_in, whole, words
from fxstudio.decoder.interview.question import Limit, Question
from fxstudio.effect.patterns import KINDS

PatternKind = create_model("PatternKind", kind=(Literal[tuple(KINDS)], ...))
"""Which kind of pattern; the patterns themselves each know only their own."""

_PATTERN_WORDS: Final = {
    "style": "Does the brightness jump from level to level, or drift between them?",
    "lowest": "How dark does it get? 0 is dark, 1 is full.",
    "period_s": "How many seconds is it from one flash to the next?",
    "on_share": "What share of that time is it bright? 0.5 is half of it.",
    "start_share": "Where in that time does it begin? 0.5 alternates with one that begins at 0.",
    "wheel_m": "What diameter does it assume for the driving wheel, in metres?",
    "beats_per_turn": "How many beats does one turn of the wheels make? 4 with two cylinders.",
    "rise_s": "In how many seconds does it come up to about two thirds?",
    "fall_s": "In how many seconds does it fall to about a third?",
}
"""A field that is not in this table is asked for by its description."""

_PATTERN_DEFAULTS: Final = {"style": "hold"}
"""What is more likely in a decoder than the default of an effect."""


_IF_NOT_GIVEN: Final = {
    "style": "watch the lamp.",
    "lowest": "compare its darkest moment with its brightest by eye.",
    "period_s": "time ten flashes and divide by ten.",
    "on_share": "press Enter if on and off look equally long.",
    "fall_s": "time it by eye.",
    "rise_s": "time it by eye.",
}
"""For a field that is not in this table Enter is enough."""


def _reader_of(name: str, default: object) -> Reader:
    """How the field of a pattern is typed; its unit stands at the end of its name."""
    if not isinstance(default, float):
        return whole if isinstance(default, int) else words
    unit = name.rpartition("_")[2]
    return number_in(unit) if unit in ("s", "m") else number


def pattern_questions() -> tuple[Question, ...]:
    """For each kind of pattern, its own fields; brightness is that at full level."""
    rows = []
    for kind, pattern in KINDS.items():
        for name, info in pattern.model_fields.items():
            if name in ("kind", "level", "highest"):
                continue
            rows.append(
                Question(
                    f"pattern.{name}", _PATTERN_WORDS.get(name, info.description or name),
                    _reader_of(name, info.default),
                    _PATTERN_DEFAULTS.get(name, str(info.default)),
                    when=lambda table, _data, kind=kind: table["pattern"]["kind"] == kind,
                    model=pattern, limit=limits.STYLE if name == "style" else Limit(),
                    if_not_given=_IF_NOT_GIVEN.get(name, "press Enter for the usual one."),
                )
            )  # fmt: skip
    return tuple(rows)
