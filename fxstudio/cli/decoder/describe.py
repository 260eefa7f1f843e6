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
from fxstudio.decoder.interview.describe import Interview, to_text
from fxstudio.decoder.interview.notebook import Answer, Back, Notebook, answers_text, read_answers
from fxstudio.decoder.interview.question import TomlTable


def new(
    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "my_decoder.toml"
    ),
    replace: Replace = False,
) -> None:
    """Get a description of your decoder by answering questions, with its manual at hand.

    Each answer is checked at once and kept. Press Enter to take the answer shown in brackets, and
    type back to return to the question before. Ctrl-C stops; the same command goes on from there.

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
        "Have the decoder's manual at hand; it is right wherever it differs. Type back to be asked "
        "the question before once more."
    )
    if old:
        console.label(
            unfinished, f": goes on after its {len(old)} answers; delete it to begin anew"
        )
    data = _interview(unfinished, old)
    write_text(output, to_text(data))
    unfinished.unlink(missing_ok=True)
    console.label(output, ": the description; it passes every check")
    console.say(f"Next: fxstudio values banked_fire --decoder {output}", "dim")


def _interview(unfinished: Path, answers: list[Answer]) -> TomlTable:
    """The tables of a description, from old answers and the person's; what is given is kept."""

    def keep(answers: list[Answer]) -> None:
        if answers:
            write_text(unfinished, answers_text(answers))
        else:
            unfinished.unlink(missing_ok=True)

    while True:
        notebook = Notebook(_ask, _section, console.complain, keep, answers)
        try:
            return Interview(notebook.answer, notebook.head, notebook.refuse).run()
        except Back as back:
            answers = back.answers
            keep(answers)  # what was taken back must not come again in the next sitting
        except typer.Abort:
            console.say("")
            if unfinished.exists():
                console.label(
                    unfinished, ": interrupted; all answers are kept, the same command goes on"
                )
            else:
                console.say("interrupted; no file was written")
            raise typer.Exit(INTERRUPTED) from None


def _section(title: str, text: str) -> None:
    console.say("")
    console.label(title, f"  {text}" if text else "")


def _ask(words: str, allowed: str, default: str) -> str:
    typed: str = typer.prompt(
        f"{words}\n  ({allowed})", default=default, show_default=bool(default)
    )
    return typed.encode(errors="replace").decode()  # bytes that are no letters of the terminal


describe = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode="rich",
    add_completion=False,
    help="Describe a decoder of your own from its manual.",
)
add(describe, new)
add(describe, renew)
