"""`fxstudio describe`: a description of one's own decoder."""

from __future__ import annotations

from pathlib import Path

import typer

from fxstudio.cli.codes import INTERRUPTED
from fxstudio.cli.decoder.options import DescribeOptions
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import write_text
from fxstudio.decoder.interview.interview import Interview, way_back
from fxstudio.decoder.interview.notebook import answers_text, read_answers
from fxstudio.errors import FxError, shorten


def new(asked: DescribeOptions) -> None:
    """Do what `DescribeOptions` asks for."""
    check_ending("describe new", "--output", asked.output)
    unfinished = asked.output.with_suffix(".unfinished.toml")
    check_files(
        [("the answers kept for it", unfinished)], [("--output", asked.output)], asked.replace
    )
    old = read_answers(unfinished) if unfinished.exists() else []
    console.say(
        "Have the decoder's leaflet at hand; it is right wherever it differs. Type list to see the "
        "answers so far, back or back 12 to change one."
    )
    if old:
        console.label(
            unfinished, f": goes on after its {len(old)} answers; delete it to begin anew"
        )
    interview = Interview(old)
    try:
        _ask_all(interview, unfinished)
    except typer.Abort:
        console.say("")
        if unfinished.exists():
            console.label(
                unfinished, ": interrupted; all answers are kept, the same command goes on"
            )
        else:
            console.say("interrupted; no file was written")
        raise typer.Exit(INTERRUPTED) from None
    write_text(asked.output, interview.text())
    unfinished.unlink(missing_ok=True)
    console.label(asked.output, ": the description; it passes every check")
    console.say(f"Next: fxstudio explain {asked.output}", "dim")


def _ask_all(interview: Interview, unfinished: Path) -> None:
    """Ask until all is answered; every answer is kept at once."""
    shown: tuple[str, ...] = ()
    while question := interview.question:
        examples = question.examples or interview.examples()
        if examples != shown:
            _show(examples)
            shown = examples
        console.say("")
        console.say(question.words, "bold")
        for way in question.told_ways:
            console.say(f"  {way}", "dim")
        default = interview.default
        typed = typer.prompt(">", prompt_suffix=" ", default=default, show_default=bool(default))
        typed = typed.encode(errors="replace").decode()  # bytes that are no letters of the terminal
        back = way_back(typed)
        try:
            if typed.strip().lower() == "list":
                _list(interview)
                continue
            if back is False:
                interview.answer(typed)
            else:
                interview.back(back)
        except FxError as error:
            console.complain(error)
            continue
        if kept := interview.kept():
            write_text(unfinished, answers_text(kept))
        else:
            unfinished.unlink(missing_ok=True)


def _show(examples: tuple[str, ...]) -> None:
    for line in examples:
        console.say(f"  {line}", "cyan")


def _list(interview: Interview) -> None:
    """The answers so far with their numbers."""
    for number, answer in enumerate(interview.so_far(), start=1):
        words = answer.question.splitlines()[-1]
        console.say(f"  {number:3}  {words}  {shorten(answer.answer, 60)}")
