"""`fxstudio plan`: write values safely, and find the way back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
from fxstudio.cli.decoder.goal import Goal, goal_reader
from fxstudio.cli.decoder.kept import Kept
from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import DecoderName, Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.decoder import show_compromises, show_currents
from fxstudio.cli.shown.written import write_text, write_together
from fxstudio.dcc.cv import PAGE_CVS
from fxstudio.decoder.values.compile import Compiled
from fxstudio.decoder.values.lists import blank_text
from fxstudio.decoder.writing.plan import plan as make_plan
from fxstudio.decoder.writing.plan import to_read
from fxstudio.decoder.writing.steps import Plan, PlanStep
from fxstudio.effect.files import find_effect
from fxstudio.errors import InputError
from fxstudio.export.plan_table import (
    ASSUMED,
    HEADINGS,
    KEPT,
    TO_NOTE,
    UNREAD,
    held_lines,
    nothing_words,
    restore_heading,
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
        fxstudio plan my_fire.toml -d my_decoder.toml --present now.csv --extra "3=20:starts gently"
        fxstudio plan --back-to first.csv -d my_decoder.toml --present now.csv

    Try it in a new folder:
        fxstudio plan banked_fire -d withybank_glim -o plan.txt --restore back.txt
    """
    source = find_effect(effect) if effect else None
    kept = Kept(output, restore, after)
    read_goal = goal_reader(source, back_to)
    for option, path in (*kept.options().items(), ("--to-read", blank)):
        check_ending("plan", option, path)
    if blank:
        _check_blank(blank, {"--present": present, "--back-to": back_to, **kept.options()})
    check_files(
        [
            ("EFFECT", source),
            ("--decoder", description_file(decoder)),
            ("--present", present),
            ("--back-to", back_to),
        ],
        [*kept.options().items(), ("--to-read", blank)],
        replace,
        renewing(decoder, present),
    )
    asked = read_asked(decoder, present, extra)
    goal = read_goal(asked)
    if blank and isinstance(goal.wanted, Compiled):  # an earlier list was refused with it
        _write_blank(blank, goal.wanted, asked)
    else:
        _plan(goal, asked, kept, accept_dark)


def _plan(goal: Goal, asked: Asked, kept: Kept, accept_dark: bool) -> None:
    """Make the plan, write its files and show it."""
    made = _made(goal, asked, accept_dark)
    files = kept.texts(goal, asked.leaflet, made)
    write_together({path: text for path, (text, _) in files.items()})
    _show_held(made)
    if made.steps:
        _show_steps(f"{goal.title}, on {asked.leaflet.title}: write in this order", made.steps)
        _show_steps(restore_heading(made), made.restore)
        if made.restores_assumed:
            console.label("note", f" {ASSUMED}", "yellow")
        if made.to_note:
            console.label("note", f" {TO_NOTE}", "yellow")
        _show_cautions("after writing")
    else:
        console.say(nothing_words(made))
    if isinstance(goal.wanted, Compiled):
        show_compromises(goal.wanted)
        if goal.effect and (asked.leaflet.limit_ma is not None or asked.leaflet.limits):
            show_currents(goal.effect, asked.leaflet, goal.wanted)
    for path, (_, what) in files.items():
        console.label(path, f": {what}")


def _made(goal: Goal, asked: Asked, accept_dark: bool) -> Plan:
    """The plan, with its day, its notes and the restore list that leads further back."""
    made = make_plan(goal.wanted, asked.held, asked.leaflet, asked.extras, accept_dark)
    notes = made.notes
    if goal.missing:
        named = ", ".join(map(str, goal.missing))
        notes = (*notes, f"Not in the list to go back to, so set as delivered: {named}.")
    return replace(made, notes=notes, day=date.today(), earlier=asked.earlier)


def _show_held(made: Plan) -> None:
    """What to mind before writing, and the values that stay as they are."""
    if made.steps:
        _show_cautions(*WRITING)
    for note in made.notes:
        console.label("note", f" {note}", "yellow")
    for heading, values in ((KEPT, made.kept), (UNREAD, made.unread)):
        if values:
            console.say(f"{heading}:")
        for line in held_lines(values):
            console.say(f"  {line}")


def _check_blank(path: Path, others: Mapping[str, Path | None]) -> None:
    """Raise InputError with options of a plan: the list of CVs to read comes before it."""
    if given := [option for option, other in others.items() if other]:
        raise InputError("comes before a plan", field="--to-read", given=str(path)).advising(
            f"leave out {' and '.join(given)}, and plan once the list is filled in"
        )


def _write_blank(path: Path, wanted: Compiled, asked: Asked) -> None:
    cvs = to_read(wanted, asked.leaflet, asked.extras)
    pages = {cv: "read it before you select a page" for cv in cvs if cv.number in PAGE_CVS}
    write_text(path, blank_text(cvs, pages))
    console.label(path, f": {len(cvs)} CVs to read; fill in the column 'value', then plan with")
    console.say(f"  --present {path}")


def _show_cautions(*steps: str) -> None:
    for step in steps:
        for caution in CAUTIONS[step]:
            console.label(step, f": {caution}", "yellow")


def _show_steps(title: str, steps: Sequence[PlanStep]) -> None:
    """A table, or one write below the other where the terminal is too narrow for one."""
    if console.width() >= TABLE_WIDTH:
        console.show_table(title, HEADINGS, step_rows(steps))
    else:
        for line in step_lines(title, steps):
            console.say(line)
