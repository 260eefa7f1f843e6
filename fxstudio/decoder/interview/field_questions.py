"""The questions about any property of the outputs: where it is kept, and as what code."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from fxstudio.dcc.cv import PAGED_RANGE
from fxstudio.decoder.interview import limits
from fxstudio.decoder.interview.answers import numbers, pair, several, whole
from fxstudio.decoder.interview.question import Question, TomlTable, always

ASK_FOR_CV = (
    "look through its list of CVs, or ask the maker. Do not guess: writing another CV changes "
    "something else."
)
ASK_FOR_PAGE = (
    "look for the words index, page or bank, or ask the maker. Do not guess: another page holds "
    "something else."
)
ASK_FOR_BITS = "ask the maker. Do not guess: a bit that is not named is written as 0."
READ_IT = "read the CV before you change anything, or after a reset."


def on_a_page(table: TomlTable, _data: TomlTable) -> bool:
    """Whether the CV that was answered is one of a page."""
    cvs = table.get("cv", 0)
    return any(cv in PAGED_RANGE for cv in (cvs if isinstance(cvs, list) else [cvs]))


def _one_cv_for_several(table: TomlTable, data: TomlTable) -> bool:
    return not isinstance(table.get("cv"), list) and len(data.get("outputs", ())) > 1


def _part_of_a_cv(table: TomlTable, _data: TomlTable) -> bool:
    return bool(table.get("bits", 8) < 8)


def _shared_cv(table: TomlTable, data: TomlTable) -> bool:
    return _part_of_a_cv(table, data) and not table.get("cv_step") and "page_step" not in table


def where_kept(what: str, bits: bool = True) -> tuple[Question, ...]:
    """Where a property of the outputs is kept.

    bits : whether to ask how many bits it uses; if not it is one
    """
    return (*_which_cv(what, bits), *_which_bits(bits))


WHICH_PAGE: Final = Question(
    "page",
    "What must CV31 and CV32 hold to reach it?",
    pair,
    when=on_a_page,
    limit=limits.PAGE,
    if_not_given=ASK_FOR_PAGE,
)


def _which_cv(what: str, bits: bool) -> tuple[Question, ...]:
    return (
        Question(
            "cv",
            f"Which CV holds the {what} of the first output?",
            several,
            limit=limits.CVS,
            if_not_given=ASK_FOR_CV,
        ),
        WHICH_PAGE,
        Question(
            "page_step",
            "How much higher is CV32 for the next output?",
            whole,
            default="0",
            when=lambda table, data: "page" in table and _one_cv_for_several(table, data),
            if_not_given="press Enter if all outputs are on one page; else ask the maker.",
        ),
        Question(
            "cv_step",
            "How many CVs further is that of the next output?",
            whole,
            default=lambda table, data: "0" if "page" in table or not bits else "1",
            when=_one_cv_for_several,
            if_not_given="compare the CVs of two outputs in its list.",
        ),
    )


def _which_bits(bits: bool) -> tuple[Question, ...]:
    count = Question(
        "bits",
        "How many of the CV's eight bits does it use?",
        whole,
        default="8",
        if_not_given="press Enter if it gives plain values for the whole CV; else ask the maker.",
    )
    return (
        *((count,) if bits else ()),
        Question(
            "bit",
            "Which is the lowest bit it uses, for the first output? 0 is the lowest of all.",
            whole,
            default="0",
            when=_part_of_a_cv if bits else always,
            limit=limits.LOWEST_BIT,
            if_not_given="see by how much the values of neighbouring codes differ: 1 is bit 0, "
            "2 is bit 1, 4 is bit 2, and so on.",
        ),
        Question(
            "bit_step",
            "How many bits further is the next output in the same CV?",
            whole,
            default="0" if bits else "1",
            when=_shared_cv if bits else lambda table, data: not table.get("cv_step"),
            if_not_given="compare the values that two outputs need for the same setting.",
        ),
    )


def as_delivered(
    where: str, what: str, default: str | Callable[[TomlTable, TomlTable], str] = ""
) -> tuple[Question, ...]:
    """The codes as delivered."""
    return (
        Question(
            "works",
            f"Which {what} does each output have as delivered?",
            several,
            default,
            limit=limits.code(where, each=True),
            if_not_given=READ_IT,
        ),
    )


def even_or_listed(where: str) -> tuple[Question, ...]:
    """How bright its codes are."""
    return (
        Question(
            "full",
            "Which code is full brightness, if the codes below it are even steps? If "
            "they are uneven, press Enter: then each code is asked for.",
            whole,
            may_be_left=True,
            limit=limits.code(where, lowest=1),
            if_not_given="take the largest value it allows.",
        ),
        Question(
            "shares",
            "How bright are codes 0, 1, 2 ... each? 0 is dark, 1 is full.",
            numbers,
            when=lambda table, _data: "full" not in table,
            limit=limits.shares(where),
            if_not_given="assume even steps: of codes 0 to 4, type 0, 0.25, 0.5, 0.75, 1.",
        ),
    )
