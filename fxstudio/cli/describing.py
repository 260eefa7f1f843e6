"""`fxstudio describe new` and `fxstudio schema`: files for decoders and for editors."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fxstudio.cli import console
from fxstudio.cli.app import INTERRUPTED, Group, app, make_folder, write_text
from fxstudio.cli.endings import check_ending, check_folder
from fxstudio.cli.files import Replace, check_files

if TYPE_CHECKING:
    from fxstudio.decoder.interview.notebook import Answer
    from fxstudio.decoder.interview.question import Table

describe_app = typer.Typer(
    name="describe",
    cls=Group,
    no_args_is_help=True,
    help="Describe a decoder of your own from its manual.",
)
app.add_typer(describe_app)


@describe_app.callback()
def _describe() -> None:
    pass


@describe_app.command(
    epilog="""More examples:

    fxstudio describe new -o fire_decoder.toml

Try it in a new folder:

    fxstudio describe new"""
)
def new(
    output: Annotated[Path, typer.Option("--output", "-o", help="Description to write.")] = Path(
        "my_decoder.toml"
    ),
    replace: Replace = False,
) -> None:
    """Get a description of your decoder by answering questions, with its manual at hand.

    Each answer is checked at once and kept. Press Enter to take the answer shown in brackets, and
    type back to return to the question before. Ctrl-C stops; the same command goes on from there.
    """
    from fxstudio.decoder.interview.describe import to_text
    from fxstudio.decoder.interview.notebook import read_answers

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


def _interview(unfinished: Path, answers: list[Answer]) -> Table:
    """The tables of a description, from old answers and the person's; what is given is kept."""
    from fxstudio.decoder.interview.describe import Interview
    from fxstudio.decoder.interview.notebook import Back, Notebook, answers_text

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


@app.command(
    epilog="""More examples:

    fxstudio schema --into .schemas

Try it in a new folder:

    fxstudio schema"""
)
def schema(
    into: Annotated[Path, typer.Option(help="Folder to write to; made if it is not there.")] = Path(
        "schemas"
    ),
    replace: Replace = False,
) -> None:
    """Write JSON Schema files, with which an editor completes and checks your TOML files.

    The help of your editor says how to join a schema to a file. A schema checks each field alone;
    `fxstudio check` also checks that the fields fit together.
    """
    from fxstudio.export.schema import MODELS, schema_text

    check_folder("--into", into)
    paths = {kind: into / f"{kind}.schema.json" for kind in MODELS}
    check_files([], [("--into", path) for path in paths.values()], replace)
    make_folder(into)
    for kind, path in paths.items():
        write_text(path, schema_text(kind))
        console.label(path, f": for {kind} files")


def _section(title: str, text: str) -> None:
    console.say("")
    console.label(title, f"  {text}" if text else "")


def _ask(words: str, allowed: str, default: str) -> str:
    typed = typer.prompt(f"{words}\n  ({allowed})", default=default, show_default=bool(default))
    return typed.encode(errors="replace").decode()  # bytes that are no letters of the terminal
