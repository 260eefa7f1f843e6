"""What people see on the terminal: messages, tables and progress. Only `cli` uses it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import chain, repeat

from rich import progress as rich
from rich.console import Console, ConsoleOptions, RenderResult
from rich.markup import escape
from rich.table import Table
from rich.text import Text

from fxstudio.cautions import IN_SHORT
from fxstudio.errors import FxError
from fxstudio.progress import Progress
from fxstudio.units import NO_BREAK, unbroken


def _console(stderr: bool = False, soft_wrap: bool = False) -> Console:
    return Console(highlight=False, stderr=stderr, soft_wrap=soft_wrap)


def say(text: str, style: str = "") -> None:
    """A line of plain text, nothing in it taken for markup."""
    _console(soft_wrap=True).print(text, style=style or None, markup=False)


def label(name: object, text: str, style: str = "bold") -> None:
    """A line that begins with a name in a style of its own."""
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
        "  do:      report it, with what is printed if FXSTUDIO_TRACEBACK=1 is set",
        markup=False,
    )


_HELD = "\ue000"
"""Stands for a space at which no line may end: a table breaks lines at no-break spaces too."""


class _Whole:
    """A table in which a number stays with its unit."""

    def __init__(self, table: Table) -> None:
        self.table = table

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for part in console.render(self.table, options):
            yield part._replace(text=part.text.replace(_HELD, " "))


def _cell(text: str) -> str:
    return escape(unbroken(text).replace(NO_BREAK, _HELD))


def show_rows(title: str, rows: Iterable[tuple[str, ...]]) -> None:
    """A plain table whose first column is a name to type."""
    table = Table(
        title=title, title_justify="left", title_style="bold", box=None, show_header=False
    )
    for name, *texts in rows:
        table.add_row(f"[cyan]{escape(name)}[/]", *map(_cell, texts))
    _console().print(_Whole(table))


def show_table(
    title: str,
    headings: Iterable[tuple[str, str]],
    rows: Iterable[tuple[str, ...]],
    dim: Iterable[bool] = (),
) -> None:
    """A table with headings: name and side of each column; rows in `dim` stand dim."""
    table = Table(title=escape(title), title_justify="left")
    for heading, side in headings:
        table.add_column(_cell(heading), justify="right" if side == "right" else "left")
    for row, faint in zip(rows, chain(dim, repeat(False)), strict=False):
        table.add_row(*map(_cell, row), style="dim" if faint else None)
    _console().print(_Whole(table))


@contextmanager
def progress(what: str) -> Iterator[Progress]:
    """A progress bar while the block runs; gives the progress that moves it."""
    console = _console(stderr=True)
    # Into a file or a pipe nothing can be drawn, but the bar would leave an empty line.
    with rich.Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(what, total=None)
        yield Progress(lambda share: bar.update(task, completed=share, total=1))
