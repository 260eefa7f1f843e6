"""Imports go down only; heavy libraries stay where they belong."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "fxstudio"

LAYERS = (
    ("arrays",),
    ("cautions", "colour", "errors", "progress", "units"),
    ("models",),
    ("documents", "electrics", "flashes", "scenes", "whole_files"),
    ("effect",),
    ("dcc", "light"),
    ("decoder", "film"),
    ("editing", "export"),
    ("window",),
    ("cli",),
    ("__main__",),
)
"""From the bottom up. Modules of one layer import each other only inside their package."""

ONLY_IN = {
    "pygame": ("window/",),
    "imageio": ("film/gif.py", "film/png.py"),
    "jinja2": ("export/sheet.py",),
    "matplotlib": ("export/plot.py",),
    "PIL": ("film/gif.py",),
    "typer": ("cli/",),
    "rich": ("cli/",),
}

LEVEL = {name: level for level, names in enumerate(LAYERS) for name in names}
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path.name != "__init__.py")


def imports(path: Path):
    """Dotted names of all that a module imports, wherever in it; relative ones made whole."""
    parents = path.relative_to(PACKAGE.parent).with_suffix("").parts
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = parents[: len(parents) - node.level] if node.level else ()
            module = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                yield f"{module}.{alias.name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_go_down(path):
    own = path.relative_to(PACKAGE).with_suffix("").parts[0]
    assert own in LEVEL, f"{own} has no layer: give it one in LAYERS"
    for name in imports(path):
        parts = name.split(".")
        if parts[0] != "fxstudio" or len(parts) < 2 or parts[1] not in LEVEL or parts[1] == own:
            continue
        assert LEVEL[parts[1]] < LEVEL[own], f"{path.name} imports {name}, which is not below it"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_heavy_libraries_stay_in_their_place(path):
    where = str(path.relative_to(PACKAGE).as_posix())
    for name in imports(path):
        allowed = ONLY_IN.get(name.split(".")[0])
        assert allowed is None or where.startswith(allowed), f"{where} may not import {name}"


def test_only_the_command_line_prints():
    for path in MODULES:
        if path.parent.name == "cli":
            continue
        calls = [
            n.func for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)
        ]
        names = {f.id for f in calls if isinstance(f, ast.Name)}
        assert "print" not in names, f"{path.name} prints"
