"""`fxstudio plan`: write values safely, and find the way back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from fxstudio.cautions import CAUTIONS, WRITING
from fxstudio.cli.decoder.asked import Asked, read_asked, renewing
from fxstudio.cli.decoder.goal import Goal, goal_reader
from fxstudio.cli.decoder.kept import Kept
from fxstudio.cli.decoder.options import PlanOptions
from fxstudio.cli.given.decoders import description_file
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
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


def plan(asked: PlanOptions) -> None:
    """Do what `PlanOptions` asks for."""
    source = find_effect(asked.effect) if asked.effect else None
    kept = Kept(asked.output, asked.restore, asked.after)
    read_goal = goal_reader(source, asked.back_to)
    for option, path in (*kept.options().items(), ("--to-read", asked.blank)):
        check_ending("plan", option, path)
    if asked.blank:
        _check_blank(
            asked.blank, {"--present": asked.present, "--back-to": asked.back_to, **kept.options()}
        )
    check_files(
        [
            ("EFFECT", source),
            ("--decoder", description_file(asked.decoder)),
            ("--present", asked.present),
            ("--back-to", asked.back_to),
        ],
        [*kept.options().items(), ("--to-read", asked.blank)],
        asked.replace,
        renewing(asked.decoder, asked.present),
    )
    start = read_asked(asked.decoder, asked.present, asked.extra)
    goal = read_goal(start)
    if asked.blank and isinstance(goal.wanted, Compiled):  # an earlier list was refused with it
        _write_blank(asked.blank, goal.wanted, start)
    else:
        _plan(goal, start, kept, asked.accept_dark)


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
