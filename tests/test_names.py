"""One word for one thing: what stands in two modules under one name, and may for now."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import fxstudio

COMMANDS = {"calm", "explain", "figures", "film", "move", "plan", "suit"}
"""A command has the name of what it runs."""

CLASSES = {"Asked", "Kept", "Message", "Note", "Part", "Row"}
FUNCTIONS = {"codes", "counted", "decode", "in_order", "kind_of", "shipped", "speed", "to_text"}
ALLOWED = COMMANDS | CLASSES | FUNCTIONS
"""Names of two things. The list may only become shorter."""


def public_names() -> dict[str, set[str]]:
    """The modules of each public function and class of the package."""
    found = defaultdict(set)
    package = Path(fxstudio.__file__).parent
    for path in package.rglob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].add(path.relative_to(package).with_suffix("").as_posix())
    return found


TWICE = {name: where for name, where in public_names().items() if len(where) > 1}


def test_no_name_is_given_to_two_things():
    new = {name: w for name, w in TWICE.items() if name not in ALLOWED or len(w) > 2}
    assert new == {}, "find another word for one of the two"


def test_what_has_a_name_of_its_own_leaves_the_list():
    assert ALLOWED - set(TWICE) == set(), "take these off the list"
