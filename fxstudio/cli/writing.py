"""`fxstudio plan`: write values safely, and find the way back."""

from __future__ import annotations

import re
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from fxstudio.cautions import CAUTIONS, WRITING
from fxstudio.cli import console
from fxstudio.cli.app import (
    DecoderName,
    EffectName,
    app,
    check_apart,
    check_kind,
    description_for,
    refuse_to_replace,
    write_text,
)
from fxstudio.errors import InputError, naming

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from fxstudio.dcc.cv import CvAddress
    from fxstudio.decoder.description.model import Description
    from fxstudio.decoder.values.compile import Compiled
    from fxstudio.decoder.writing.extras import Extra
    from fxstudio.decoder.writing.steps import Step
    from fxstudio.effect.model import Effect

EXTRA = re.compile(r"(\d+)(?:/(\d+)/(\d+))?=(\d+)(?::(.*))?", re.ASCII | re.DOTALL)
"""CV=VALUE:note, or CV/CV31/CV32=VALUE:note for a CV on a page."""

PresentFile = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE", help="What the decoder holds now, as .toml or .csv; else as delivered."
    ),
]
ExtraCvs = Annotated[
    list[str] | None,
    typer.Option(
        metavar="CV=VALUE:NOTE",
        help="Another CV to write in the same sitting; CV/CV31/CV32=VALUE:NOTE on a page.",
    ),
]


TABLE_WIDTH = 110
"""Columns that a table of writes needs to be read with ease."""


@app.command(
    epilog="""Examples:

    fxstudio plan banked_fire --decoder withybank_glim

    fxstudio plan my_fire.toml -d my_decoder.toml --to-read read_today.csv

    fxstudio plan my_fire.toml -d my_decoder.toml --present read_today.csv -o plan.txt

    fxstudio plan my_fire.toml -d my_decoder.toml --present read_today.csv -o plan.txt \
--restore back.txt

    fxstudio plan banked_fire -d withybank_glim --present read_today.csv \
--extra "3=20:starts more gently" """
)
def plan(
    effect: EffectName,
    decoder: DecoderName = None,
    present: PresentFile = None,
    extra: ExtraCvs = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output", "-o", help="Text file to print and tick off, the restore list at its end."
        ),
    ] = None,
    restore: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Text file with the restore list alone, to keep with the model."
        ),
    ] = None,
    after: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="List of what the decoder holds once all is written, for the next --present.",
        ),
    ] = None,
    blank: Annotated[
        Path | None,
        typer.Option(
            "--to-read",
            metavar="CSV",
            help="Before all else: write the list of CVs to read, to fill in for --present.",
        ),
    ] = None,
) -> None:
    """Plan the writing: fewest writes, in which order, what is seen after each, and the way back.

    A list of present values has the columns cv and value, and cv31 and cv32 for CVs on a page.
    """
    from fxstudio.decoder.values.compile import compile_effect
    from fxstudio.decoder.values.lists import list_kind, values_text
    from fxstudio.decoder.writing.plan import plan as make_plan
    from fxstudio.export.plan_table import (
        ASSUMED,
        KEPT,
        UNREAD,
        held_lines,
        nothing_words,
        plan_text,
        restore_heading,
        restore_text,
    )

    wanted, description, held, extras = read_asked(effect, decoder, present, extra)
    with naming(wanted.source):
        compiled = compile_effect(wanted, description)
    if blank:
        options = {"--present": present, "-o": output, "--restore": restore, "--after": after}
        _write_blank(blank, compiled, description, extras, [n for n, p in options.items() if p])
        return
    made = make_plan(compiled, held, description, extras)
    texts: list[tuple[str, Path | None, Callable[[], str], str]] = [
        (
            "--output", output,
            lambda: plan_text(wanted.title, description.title, made, compiled.compromises),
            "the plan, to print and tick off",
        ),
        (
            "--restore", restore,
            lambda: restore_text(wanted.title, description.title, made),
            "the restore list, to keep with the model",
        ),
        (
            "--after", after,
            lambda: values_text(_holds(held, made.steps), list_kind(after)),
            "what the decoder holds once all of it is written",
        ),
    ]  # fmt: skip
    wished = [(option, path, text(), what) for option, path, text, what in texts if path]
    outputs = [(option, path) for option, path, *_ in wished]
    check_apart([("EFFECT", wanted.source), ("--present", present), *outputs])
    _write_together({path: text for _, path, text, _ in wished})
    if made.steps:
        _show_cautions(*WRITING)
    for note in made.notes:
        console.label("note", f" {note}", "yellow")
    for heading, values in ((KEPT, made.kept), (UNREAD, made.unread)):
        if values:
            console.say(f"{heading}:")
        for line in held_lines(values):
            console.say(f"  {line}")
    if made.steps:
        _show_steps(f"{wanted.title}, on {description.title}: write in this order", made.steps)
        _show_steps(restore_heading(made), made.restore)
        if made.restores_assumed:
            console.label("note", f" {ASSUMED}", "yellow")
        _show_cautions("after writing")
    else:
        console.say(nothing_words(made))
    console.show_compromises(compiled)
    for _, path, _, what in wished:
        console.label(path, f": {what}")


def _write_blank(
    path: Path, compiled: Compiled, description: Description, extras: list[Extra], others: list[str]
) -> None:
    """The list of CVs to read; it is no plan, so options of a plan are refused."""
    from fxstudio.dcc.cv import PAGE_CVS
    from fxstudio.decoder.values.lists import blank_text
    from fxstudio.decoder.writing.plan import to_read

    if others:
        raise InputError(
            "comes before a plan", field="--to-read", given=str(path),
            remedy=f"leave out {' and '.join(others)}, and plan once the list is filled in",
        )  # fmt: skip
    check_kind("--to-read", path, ".csv")  # the other kind of list can have no blanks
    refuse_to_replace(path, "--to-read")
    cvs = to_read(compiled, description, extras)
    pages = {cv: "read it before you select a page" for cv in cvs if cv.number in PAGE_CVS}
    write_text(path, blank_text(cvs, pages))
    console.label(path, f": {len(cvs)} CVs to read; fill in the column 'value', then plan with")
    console.say(f"  --present {path}")


class Asked(NamedTuple):
    """What is wanted, on which decoder, and what that holds now."""

    effect: Effect
    description: Description
    held: dict[CvAddress, int] | None
    extras: list[Extra]


def read_asked(
    effect: str, decoder: str | None, present: Path | None, extra: list[str] | None
) -> Asked:
    """What the options of a plan name; raises ReadError or InputError."""
    from fxstudio.decoder.values.lists import read_values
    from fxstudio.effect.files import load_effect

    return Asked(
        load_effect(effect),
        description_for(decoder),
        read_values(present) if present else None,
        [parse_extra(text) for text in extra or ()],
    )


def _holds(held: dict[CvAddress, int] | None, steps: Iterable[Step]) -> dict[CvAddress, int]:
    """What the decoder holds after the steps, as far as it is known."""
    return {**(held or {}), **{step.cv: step.value for step in steps}}


def _write_together(texts: Mapping[Path, str]) -> None:
    """Write all of these files or, if one of them cannot be written, none; raises WriteError."""
    from fxstudio.whole_files import replacing

    with ExitStack() as files:
        for path, text in texts.items():
            file = files.enter_context(replacing(path))
            file.write(text.encode())
            file.flush()  # a full disk is told here, before any file is replaced


def parse_extra(text: str) -> Extra:
    """The CV to write in a text like `3=20:starts more gently`; raises InputError."""
    from fxstudio.dcc.cv import CvAddress
    from fxstudio.decoder.writing.extras import Extra, check_writable

    found = EXTRA.fullmatch(text.strip())
    if not found:
        raise InputError(
            "is not a CV, its value and a note", field="--extra", given=text,
            allowed="CV=VALUE:note, or CV/CV31/CV32=VALUE:note on a page, in whole numbers",
            remedy='write it like "3=20:starts more gently"',
        )  # fmt: skip
    number, cv31, cv32, value, note = found.groups()
    page = (int(cv31), int(cv32)) if cv31 else None
    note = " ".join("".join(c if c.isprintable() else " " for c in note or "").split())
    extra = Extra(CvAddress(int(number), page), int(value), note or "as you asked")
    with naming("--extra"):
        check_writable(extra.cv, extra.value)
    return extra


def _show_cautions(*steps: str) -> None:
    for step in steps:
        for caution in CAUTIONS[step]:
            console.label(step, f": {caution}", "yellow")


def _show_steps(title: str, steps: Sequence[Step]) -> None:
    """A table, or one write below the other where the terminal is too narrow for one."""
    from fxstudio.export.plan_table import HEADINGS, step_lines, step_rows

    if console.width() >= TABLE_WIDTH:
        console.show_table(title, HEADINGS, step_rows(steps))
    else:
        for line in step_lines(title, steps):
            console.say(line)
