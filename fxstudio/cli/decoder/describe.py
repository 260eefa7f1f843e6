"""`fxstudio describe`: a description of one's own decoder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fxstudio.cli.codes import INTERRUPTED
from fxstudio.cli.commands import add
from fxstudio.cli.decoder.renew import renew
from fxstudio.cli.given.endings import check_ending
from fxstudio.cli.given.files import check_files
from fxstudio.cli.given.options import Replace
from fxstudio.cli.shown import console
from fxstudio.cli.shown.written import write_text
from fxstudio.decoder.interview.interview import Interview, way_back
from fxstudio.decoder.interview.notebook import answers_text, read_answers
from fxstudio.errors import FxError, shorten


def new(
    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "my_decoder.toml"
    ),
    replace: Replace = False,
) -> None:
    """Get a description of your decoder by answering questions, with its leaflet at hand.

    Copy the leaflet's sentences one by one and say what each means. Worked examples show how it is
    understood: hold them against the paper. What the leaflet leaves out is not known, and no
    figure has to be made up.

    Press Enter to take the answer shown in brackets. Type list to see the answers so far, back to
    return to the question before, and back 12 to change answer 12; all others stay. Ctrl-C stops;
    the same command goes on from there.

    Examples:
        fxstudio describe new -o fire_decoder.toml

    Try it in a new folder:
        fxstudio describe new
    """
    check_ending("describe new", "--output", output)
    unfinished = output.with_suffix(".unfinished.toml")
    check_files([("the answers kept for it", unfinished)], [("--output", output)], replace)
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
    write_text(output, interview.text())
    unfinished.unlink(missing_ok=True)
    console.label(output, ": the description; it passes every check")
    console.say(f"Next: fxstudio explain {output}", "dim")


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


describe = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode="rich",
    add_completion=False,
    help="Describe a decoder of your own from its leaflet.",
)
add(describe, new)
add(describe, renew)
