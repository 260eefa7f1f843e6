"""What people see on the terminal: messages, tables and progress. Only `cli` uses it.

Rich is loaded when there is something to show, which keeps it off the way of `--help`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from itertools import zip_longest
from typing import TYPE_CHECKING

from fxstudio.cautions import IN_SHORT
from fxstudio.errors import FxError

if TYPE_CHECKING:
    from rich.console import Console

    from fxstudio.decoder.values.compile import Compiled


def _console(**how: bool) -> Console:
    from rich.console import Console

    return Console(highlight=False, **how)


def say(text: str, style: str = "") -> None:
    """A line of plain text, nothing in it taken for markup."""
    _console(soft_wrap=True).print(text, style=style or None, markup=False)


def label(name: object, text: str, style: str = "bold") -> None:
    """A line that begins with a name in a style of its own."""
    from rich.text import Text

    _console(soft_wrap=True).print(Text.assemble((str(name), style), text))


def caution(about: str, first: str = "") -> None:
    """The caution of IN_SHORT in one line, after what the caller has to add to it."""
    say(f"{first} {IN_SHORT[about]}".strip(), "dim")


def width() -> int:
    """Columns of the terminal."""
    return _console().width


def complain(error: FxError) -> None:
    """An error, on the error stream."""
    console = _console(stderr=True, soft_wrap=True)
    for each in error.each():
        console.print("[bold red]error[/] ", end="")
        console.print(each, markup=False)


def fault(error: Exception) -> None:
    """A mistake of fxstudio's own: what to say about it, without a traceback."""
    console = _console(stderr=True, soft_wrap=True)
    console.print(
        f"fault in fxstudio: {type(error).__name__}: {error}\n"
        "  do:      report it, with what FXSTUDIO_TRACEBACK=1 in the environment adds",
        markup=False,
    )


def show_rows(title: str, rows: Iterable[tuple[str, ...]]) -> None:
    """A plain table whose first column is a name to type."""
    from rich.markup import escape
    from rich.table import Table

    table = Table(
        title=title, title_justify="left", title_style="bold", box=None, show_header=False
    )
    for name, *texts in rows:
        table.add_row(f"[cyan]{escape(name)}[/]", *map(escape, texts))
    _console().print(table)


def show_table(
    title: str,
    headings: Iterable[tuple[str, str]],
    rows: Iterable[tuple[str, ...]],
    dim: Iterable[bool] = (),
) -> None:
    """A table with headings: name and alignment of each column; rows in `dim` stand dim."""
    from rich.markup import escape
    from rich.table import Table

    table = Table(title=escape(title), title_justify="left")
    for heading, justify in headings:
        table.add_column(heading, justify=justify)
    for row, faint in zip_longest(rows, dim, fillvalue=False):
        table.add_row(*map(escape, row), style="dim" if faint else None)
    _console().print(table)


def show_values(title: str, compiled: Compiled) -> None:
    """The values to write; those that stay as they are stand dim."""
    from fxstudio.export.table import value_table

    headings, rows, written = value_table(compiled)
    show_table(title, headings, rows, [not write for write in written])


def show_shared(compiled: Compiled) -> None:
    """Which values have bits that are not the effect's."""
    from fxstudio.export.table import shared_note

    if note := shared_note(compiled):
        label("note", f" {note}", "yellow")


def show_compromises(compiled: Compiled) -> None:
    """What the decoder cannot do, or that it does all."""
    if not compiled.compromises:
        say("The decoder does this as asked, to within half a percent of full brightness.")
    for entry in compiled.compromises:
        label("compromise", f" {entry}", "yellow")


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """A progress bar while the block runs; gives the function that moves it."""
    from rich.progress import Progress

    console = _console(stderr=True)
    # Into a file or a pipe nothing can be drawn, but the bar would leave an empty line.
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
