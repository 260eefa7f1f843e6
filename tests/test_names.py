"""One word for one thing: what stands in two modules under one name, and may for now."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import fxstudio
from fxstudio.cli.commands import BY_NAME
from fxstudio.cli.packets.options import packets

ALLOWED = {"Kept", "Row"}
"""Names of two things. The list may only become shorter."""


def public_names() -> dict[str, list[str]]:
    """The modules of each public function and class of the package."""
    found = defaultdict(list)
    package = Path(fxstudio.__file__).parent
    for path in sorted(package.rglob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(path.relative_to(package).with_suffix("").as_posix())
    return found


COMMANDS = {row.where.partition(":")[2] for row in BY_NAME.values()} | {
    command.callback.__name__ for command in packets.registered_commands
}


def is_command_and_what_it_runs(name: str, where: list[str]) -> bool:
    """A command may have the name of what it runs, which is no part of the command line."""
    return name in COMMANDS and [place.startswith("cli/") for place in where] == [True, False]


TWICE = {
    name: where
    for name, where in public_names().items()
    if len(where) > 1 and not is_command_and_what_it_runs(name, where)
}


def test_no_name_is_given_to_two_things():
    new = {name: w for name, w in TWICE.items() if name not in ALLOWED or len(w) > 2}
    assert new == {}, "find another word for one of the two"


def test_what_has_a_name_of_its_own_leaves_the_list():
    assert ALLOWED - set(TWICE) == set(), "take these off the list"
