"""One word for one thing: what stands in two modules under one name, and may for now."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import fxstudio

ALLOWED = {
    "Asked": "cli/asked models",
    "Message": "dcc/packets editing/studio",
    "Note": "dcc/write_rules window/toolkit/controls/notes",
    "Part": "dcc/sequences window/toolkit/parts",
    "Row": "decoder/values/lists window/toolkit/layout",
    "Step": "decoder/writing/steps effect/drive",
    "calm": "cli/light film/calmer",
    "codes": "decoder/description/checks decoder/interview/limits",
    "counted": "cli/film errors",
    "decode": "dcc/packets decoder/values/decode",
    "explain": "cli/exchanged cli/packets",
    "figures": "cli/light light/figures",
    "film": "cli/film film/making",
    "in_order": "decoder/writing/order effect/keys",
    "kind_of": "documents editing/fields",
    "move": "cli/moving decoder/move",
    "plan": "cli/writing decoder/writing/plan",
    "shipped": "decoder/description/files effect/files",
    "speed": "cli/packets_run dcc/packets",
    "suit": "cli/moving decoder/move",
    "to_text": "decoder/interview/describe effect/writing",
}
"""Names of two things, and their modules. The list may only become shorter."""


def public_names() -> dict[str, set[str]]:
    """The modules of each public function and class of the package."""
    found = defaultdict(set)
    package = Path(fxstudio.__file__).parent
    for path in package.rglob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].add(path.relative_to(package).with_suffix("").as_posix())
    return found


TWICE = {name: " ".join(sorted(where)) for name, where in public_names().items() if len(where) > 1}


def test_no_name_is_given_to_two_things():
    new = {name: where for name, where in TWICE.items() if ALLOWED.get(name) != where}
    assert new == {}, "find another word for one of the two"


def test_what_has_a_name_of_its_own_leaves_the_list():
    assert set(ALLOWED) - set(TWICE) == set(), "take these off the list"
