"""What must not be written to a CV, and what a person should know before writing it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from fxstudio.dcc.addressing import PAIR_COUNTS
from fxstudio.dcc.cv import READ_ONLY
from fxstudio.errors import InputError


class WriteRule(NamedTuple):
    """The values that a CV of the standard may take; none if it is never written."""

    cv: int
    allowed: tuple[int, int] | None
    what: str
    remedy: str


# Source: NMRA S-9.2.2 (2012). The refusal of 0 in CV1 is this project's choice: the standard
# lets it take the decoder out of digital working.
RULES: Final = (
    WriteRule(1, (1, 127), "the short address", "a number above 127 needs CV17, CV18 and CV29"),
    *(
        WriteRule(
            cv, None, what, "leave it; for a reset to works values see the decoder maker's manual"
        )
        for cv, what in READ_ONLY.items()
    ),
    WriteRule(
        17,
        (192, 231),
        "the upper part of the long address",
        "`fxstudio packets long-address NUMBER` works it out",
    ),
)


def check_write(cv: int, value: int) -> None:
    """Raise InputError if the standard does not let `value` be written to `cv`."""
    for rule in RULES:
        if rule.cv != cv:
            continue
        if rule.allowed is None:
            raise _read_only(rule)
        low, high = rule.allowed
        if not low <= value <= high:
            raise InputError(
                f"CV{cv} is {rule.what} and cannot hold this", field="value", given=value
            ).allowing(f"{low} to {high}", remedy=rule.remedy)


def check_bit_write(cv: int, bit: int, value: int) -> None:
    """Raise InputError if no value that the standard lets `cv` hold has `value` in this bit."""
    for rule in RULES:
        if rule.cv != cv:
            continue
        if rule.allowed is None:
            raise _read_only(rule)
        low, high = rule.allowed
        if not any(held >> bit & 1 == value for held in range(low, high + 1)):
            raise InputError(
                f"bit {bit} of CV{cv} cannot be {value}: it is {rule.what}",
                field="value",
                given=value,
                allowed=f"{1 - value} in this bit, as in all of {low} to {high}",
                remedy=f"write the whole CV; {rule.remedy}",
            )


def _read_only(rule: WriteRule) -> InputError:
    return InputError(
        f"CV{rule.cv} is {rule.what} and is not written", field="cv", given=rule.cv
    ).allowing("it can be read (verified)", remedy=rule.remedy)


class WriteNote(NamedTuple):
    """What to know before a CV is written on a track; `track` None is both."""

    cv: int
    track: str | None
    words: str


NOTES: Final = (
    # Source: NMRA S-9.2.3 (2012): service-mode writes of CV1.
    WriteNote(
        1,
        "programming track",
        "Writing CV1 makes the decoder answer to its short address: it clears bit 5 of CV29, and "
        "CV19.",
    ),
    # Common practice.
    WriteNote(
        1,
        "main",
        "The locomotive is lost to the old address at once, and many decoders take no new "
        "address on the main: use the programming track.",
    ),
    WriteNote(
        18,
        "main",
        "A locomotive that is called by its long address is lost to the old one at once: use the "
        "programming track.",
    ),
    WriteNote(
        29,
        None,
        "CV29 holds eight switches, the kind of address among them (bit 5): read it first and "
        "change only the bit you mean.",
    ),
    # Source: NMRA S-9.2.2 (2012): values 0 to 15 of CV31 are reserved.
    WriteNote(
        31, None, "CV31 and CV32 choose which page CV257 to CV512 are: put them back afterwards."
    ),
    # Source: NMRA S-9.2.3 (2012): its table of sequences names CV 1 to 1023; ten bits reach 1024.
    WriteNote(
        1024,
        "programming track",
        "The standard's table of sequences ends at CV1023: some decoders may not take CV1024 here.",
    ),
)


# What bits of CV29 say while they are 0 and 1. Source: NMRA S-9.2.2 (2012).
CV29_BITS: Final = (
    ("runs forward as built", "runs and lights as if turned round"),
    ("14 speed steps, F0 in the speed packet", "28 or 126 speed steps, F0 with F1 to F4"),
    ("digital track only", "also other supplies, such as analogue"),
    ("sends nothing back", "sends back to the station"),
    ("speeds by CV2, CV5 and CV6", "speeds by the table of CV66 to CV95"),
    ("short address of CV1", "long address of CV17 and CV18"),
    ("", "bit 6 is reserved"),
    ("", "an accessory decoder, not a locomotive"),
)


def cv29_words(value: int) -> str:
    """What a value of CV29 says."""
    said = (words[value >> bit & 1] for bit, words in enumerate(CV29_BITS))
    return "; ".join(filter(None, said))


def check_list(writes: Sequence[tuple[int, int]]) -> None:
    """Raise InputError for a list that names a CV twice, or CV18 ahead of CV17."""
    cvs = [cv for cv, _ in writes]
    for cv in cvs:
        if cvs.count(cv) > 1:
            raise InputError(
                f"CV{cv} stands in the list twice",
                field="cv",
                given=" and ".join(str(value) for number, value in writes if number == cv),
            ).allowing("each CV once", remedy="keep the value you want and take out the other")
    if 17 in cvs and 18 in cvs and cvs.index(18) != cvs.index(17) + 1:
        raise InputError(
            "CV17 and CV18 are one number in two halves",
            field="cv",
            given=", ".join(f"CV{cv}" for cv in cvs),
        ).allowing("CV18 straight after CV17", remedy=f"put CV17 first: {PAIR_COUNTS}")


def notes(writes: Sequence[tuple[int, int]], track: str, *, as_bit: bool = False) -> Iterator[str]:
    """What to know before these (CV, value) are written on `track`.

    as_bit : the value is that of one bit
    """
    cvs = [cv for cv, _ in writes]
    if 17 in cvs and 18 not in cvs:
        yield f"CV17 alone does nothing: {PAIR_COUNTS}. Write CV18 straight after it."
    if 18 in cvs and 17 not in cvs:
        yield "CV18 alone is half a long address: write CV17 first, even if it stays as it is."
    if {17, 18} & set(cvs):
        yield "The long address is used only while bit 5 of CV29 is 1."
    for cv, value in writes:
        if cv == 29 and not as_bit:
            yield f"CV29 = {value} says: {cv29_words(value)}."
    for note in NOTES:
        if note.cv in cvs and note.track in (None, track):
            yield note.words
