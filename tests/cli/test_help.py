"""The help of each command: it ends with an example that can be pasted in a new folder."""

from __future__ import annotations

import io
import shlex
import subprocess
import sys

import pygame
import pytest
from decoder.interview.answering import answers_in

from fxstudio.cli.commands import BY_NAME, built

TRY = "Try it in a new folder:"


def calls(command, *words):
    """The words of every command that does something."""
    for name, part in getattr(command, "commands", {}).items():
        yield from calls(part, *words, name)
    if not hasattr(command, "commands"):
        yield words


COMMANDS = [words for name, row in BY_NAME.items() for words in calls(built(row), name)]


def test_all_commands_are_looked_at():
    assert {("film",), ("describe", "new"), ("packets", "write")} <= set(COMMANDS)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_the_last_example_works_in_a_new_folder(run, monkeypatch, words):
    code, text, _ = run(*words, "--help", columns=80)
    assert code == 0
    assert text.count(TRY) == 1
    lines = [line.strip() for line in text.split(TRY)[1].splitlines() if line.strip()]
    calls = [shlex.split(line) for line in lines]
    assert calls[-1][: len(words) + 1] == ["fxstudio", *words]
    # The hands of the person: they answer an interview, and close a window.
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join([*answers_in("rook_lane"), ""])))
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    closed = pygame.event.Event(pygame.QUIT)
    monkeypatch.setattr("pygame.event.get", lambda *_: [closed])
    for program, *arguments in calls:
        assert program == "fxstudio"
        code, _, err = run(*arguments)
        assert (code, "Traceback" in err) == (0, False), err


@pytest.mark.parametrize("name", BY_NAME)
def test_help_imports_nothing_that_the_command_needs(name):
    """Numbers, models and the files of effects: they take longer than all the rest."""
    code = (
        "import sys; from fxstudio.cli.commands import BY_NAME, built; "
        f"built(BY_NAME[{name!r}]); "
        "print(sorted({'numpy', 'pydantic', 'fxstudio.effect'} & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_it_opens_with_what_a_person_gets(run, words):
    """A verb that says what the person does or gets, in a whole sentence."""
    text = run(*words, "--help", columns=400)[1]
    usage, opening, *_ = [line.strip() for line in text.splitlines() if line.strip()]
    assert usage.startswith("Usage")
    verb = opening.split()[0]
    assert verb in VERBS
    assert opening.endswith(".")


VERBS = {
    "Add",
    "Film",
    "Find",
    "Get",
    "List",
    "Make",
    "Open",
    "Put",
    "Rank",
    "See",
    "Show",
    "Write",
}
