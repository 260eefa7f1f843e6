"""Imports go down only, between rooms and inside them; heavy libraries stay in their place."""

from __future__ import annotations

import ast

import pytest
from house import PACKAGE, PAGE, dotted, floors, imported, modules, written

ONLY_IN = {
    "pygame": ("window/",),
    "imageio": ("film/",),
    "jinja2": ("export/sheet.py",),
    "matplotlib": ("export/plot.py",),
    "PIL": ("film/", "scenes/photograph/"),
    "cv2": ("scenes/photograph/",),
    "tifffile": ("scenes/photograph/",),
    "typer": ("cli/",),
    "rich": ("cli/",),
}
MODULES = pytest.mark.parametrize("path", modules(), ids=dotted)


@pytest.mark.parametrize("room", sorted({p.parent for p in modules()}), ids=dotted)
def test_the_table_has_every_room_and_all_in_it(room):
    files = {p.stem for p in room.glob("*.py")} - {"__init__"}
    folders = {p.name for p in room.iterdir() if list(p.glob("*.py"))}
    assert set(floors(str(room.relative_to(PACKAGE.parent).as_posix()))) == files | folders
    assert len(files) <= 12, "more than a dozen files in a folder are two things"


@MODULES
def test_imports_go_down(path):
    """From where two dotted names part, the importing side stands on the higher floor."""
    own = dotted(path).split(".")
    for name in imported(path):
        other = name.split(".")
        if other[0] != "fxstudio":
            continue
        parted = next((n for n, (a, b) in enumerate(zip(own, other, strict=False)) if a != b), None)
        if parted is None:
            continue
        floor = floors("/".join(own[:parted]))
        if other[parted] in floor:
            assert floor[other[parted]] < floor[own[parted]], f"{'.'.join(own)} imports {name}"


@MODULES
def test_heavy_libraries_stay_in_their_place(path):
    where = str(path.relative_to(PACKAGE).as_posix())
    for name in imported(path):
        allowed = ONLY_IN.get(name.split(".")[0])
        assert allowed is None or where.startswith(allowed), f"{where} may not import {name}"


@MODULES
def test_only_the_command_line_prints(path):
    calls = [
        n.func for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)
    ]
    names = {f.id for f in calls if isinstance(f, ast.Name)}
    assert path.parent.name == "cli" or "print" not in names


def test_nine_floors_are_enough():
    assert max(floors("fxstudio").values()) < 9


def test_the_page_for_developers_shows_the_table_of_today():
    text = PAGE.read_text("utf-8")
    assert written(text) == text, "run `python tests/house.py`"
