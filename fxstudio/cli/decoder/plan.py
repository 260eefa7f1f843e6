"""`fxstudio plan`: write values safely, and find the way back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cautions import CAUTIONS, WRITING
from fxstudio.cli.decoder.asked import (
    AcceptDark,
    Asked,
    ExtraCvs,
    PresentFile,
    read_asked,
    renewing,
)
from fxstudio.cli.decoder.goal import Goal, check_goal, effect_goal, list_goal, printable
from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import DecoderName, Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_currents
from fxstudio.cli.shown.written import write_text, write_together
from fxstudio.dcc.cv import PAGE_CVS
from fxstudio.decoder.values.lists import (
    blank_text,
    list_kind,
    set_back_by,
    values_text,
)
from fxstudio.decoder.writing.plan import plan as make_plan
from fxstudio.decoder.writing.plan import to_read
from fxstudio.decoder.writing.steps import Plan, Step
from fxstudio.effect.files import find_effect
from fxstudio.errors import InputError
from fxstudio.export.plan_table import (
    ASSUMED,
    HEADINGS,
    KEPT,
    UNREAD,
    held_lines,
    nothing_words,
    plan_text,
    restore_heading,
    restore_text,
    step_lines,
    step_rows,
)

TABLE_WIDTH = 110
"""Columns that a table of writes needs to be read with ease."""


def plan(
    effect: Annotated[
        str | None,
        typer.Argument(
            metavar="[EFFECT]",
            help="A shipped effect by name, or the path of a file; none with --back-to.",
        ),
    ] = None,
    decoder: DecoderName = None,
    present: PresentFile = None,
    extra: ExtraCvs = None,
    back_to: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Earlier list of values to go back to, instead of an effect.",
        ),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            help="Text file to print and tick off, with the restore list at its end.",
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
            help="List to write: what the decoder holds after the plan, for the next --present.",
        ),
    ] = None,
    blank: Annotated[
        Path | None,
        typer.Option(
            "--to-read",
            metavar="CSV",
            help="List to write first: the CVs to read. Fill it in and give it as --present.",
        ),
    ] = None,
    accept_dark: AcceptDark = False,
    replace: Replace = False,
) -> None:
    """Get a plan of the fewest writes: their order, what you see after each, and the way back.

    A list of present values has the columns cv and value, and cv31 and cv32 for CVs on a page.
    The list that --after writes names the restore list of this plan; a plan that starts from it
    says in its own restore list that the earlier one leads further back.

    A restore list is replaced only by one from the same present values, even with --replace.

    Examples:
        fxstudio plan my_fire.toml -d my_decoder.toml --to-read now.csv
        fxstudio plan my_fire.toml -d my_decoder.toml --present now.csv -o plan.txt
        fxstudio plan my_fire.toml -d my_decoder.toml --extra "3=20:starts gently"
        fxstudio plan --back-to first.csv -d my_decoder.toml --present now.csv

    Try it in a new folder:
        fxstudio plan banked_fire -d withybank_glim -o plan.txt --restore back.txt
    """
    source = find_effect(effect) if effect else None
    kept = {"--output": output, "--restore": restore, "--after": after}
    check_goal(source, back_to)
    for option, path in (*kept.items(), ("--to-read", blank)):
        check_ending("plan", option, path)
    if blank:
        _check_blank(blank, {"--present": present, "--back-to": back_to, **kept})
    check_files(
        [
            ("EFFECT", source),
            ("--decoder", description_file(decoder)),
            ("--present", present),
            ("--back-to", back_to),
        ],
        [*kept.items(), ("--to-read", blank)],
        replace,
        renewing(decoder, present),
    )
    asked = read_asked(decoder, present, extra)
    goal = effect_goal(source, asked) if source else list_goal(back_to, asked)
    if blank:
        _write_blank(blank, goal, asked)
    else:
        _plan(goal, asked, kept, accept_dark)


def _plan(goal: Goal, asked: Asked, files: Mapping[str, Path | None], accept_dark: bool) -> None:
    """Make the plan, write its files and show it."""
    description = asked.description
    wanted = goal.compiled or goal.values
    made = make_plan(wanted, asked.held, description, asked.extras, accept_dark)
    notes = made.notes
    if goal.missing:
        named = ", ".join(map(str, goal.missing))
        notes = (*notes, f"Not in the list to go back to, so set as delivered: {named}.")
    made = replace(made, notes=notes, day=date.today(), earlier=asked.earlier)
    compromises = goal.compiled.compromises if goal.compiled else ()
    texts: dict[str, tuple[Callable[[], str], str]] = {
        "--output": (
            lambda: plan_text(goal.title, description.title, made, compromises),
            "the plan, to print and tick off",
        ),
        "--restore": (
            lambda: restore_text(goal.title, description.title, made),
            "the restore list, to keep with the model",
        ),
        "--after": (
            lambda: _after_text(made, files),
            "what the decoder holds once all of it is written",
        ),
    }
    wished = {path: texts[option] for option, path in files.items() if path}
    write_together({path: text() for path, (text, _) in wished.items()})
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
        _show_steps(f"{goal.title}, on {description.title}: write in this order", made.steps)
        _show_steps(restore_heading(made), made.restore)
        if made.restores_assumed:
            console.label("note", f" {ASSUMED}", "yellow")
        _show_cautions("after writing")
    else:
        console.say(nothing_words(made))
    if goal.compiled:
        show_compromises(goal.compiled)
        if description.limit_ma is not None:
            show_currents(goal.effect, description, goal.compiled)
    for path, (_, what) in wished.items():
        console.label(path, f": {what}")


def _check_blank(path: Path, others: Mapping[str, Path | None]) -> None:
    """Raise InputError with options of a plan: the list of CVs to read comes before it."""
    if given := [option for option, other in others.items() if other]:
        raise InputError(
            "comes before a plan",
            field="--to-read",
            given=str(path),
            remedy=f"leave out {' and '.join(given)}, and plan once the list is filled in",
        )


def _write_blank(path: Path, goal: Goal, asked: Asked) -> None:
    cvs = to_read(goal.compiled, asked.description, asked.extras)
    pages = {cv: "read it before you select a page" for cv in cvs if cv.number in PAGE_CVS}
    write_text(path, blank_text(cvs, pages))
    console.label(path, f": {len(cvs)} CVs to read; fill in the column 'value', then plan with")
    console.say(f"  --present {path}")


def _after_text(made: Plan, files: Mapping[str, Path | None]) -> str:
    """What the decoder holds after the steps, as far as it is known, and what undoes them."""
    values = {**(made.present or {}), **{step.cv: step.value for step in made.steps}}
    undone_by = files["--restore"] or files["--output"]
    if not made.steps:
        restore_list, noted = made.earlier, values
    else:
        restore_list = f"{printable(undone_by.name)} of {made.day}" if undone_by else ""
        noted = {step.cv for step in made.steps}
    notes = {cv: set_back_by(restore_list) for cv in noted} if restore_list else {}
    return values_text(values, list_kind(files["--after"]), notes)


def _show_cautions(*steps: str) -> None:
    for step in steps:
        for caution in CAUTIONS[step]:
            console.label(step, f": {caution}", "yellow")


def _show_steps(title: str, steps: Sequence[Step]) -> None:
    """A table, or one write below the other where the terminal is too narrow for one."""
    if console.width() >= TABLE_WIDTH:
        console.show_table(title, HEADINGS, step_rows(steps))
    else:
        for line in step_lines(title, steps):
            console.say(line)
