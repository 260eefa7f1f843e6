"""The command line as people use it: what it prints, what it writes, how it ends."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from fxstudio.cli.commands import BY_NAME, COMMANDS

ROOT = Path(__file__).parents[2]


EFFECTS = ROOT / "effects"


def test_help_teaches_every_command(run):
    code, out, _ = run("--help")
    assert code == 0
    assert [heading for heading in COMMANDS if heading not in out] == []
    found = re.findall(r"^  ([a-z]+) {2,}[A-Z]", out, re.MULTILINE)
    assert found == list(BY_NAME)  # every command, each once, in the order of the table
    assert "Exit codes" in out
    assert "Examples" in run("film", "--help")[1]


@pytest.mark.parametrize("row", BY_NAME.values(), ids=lambda row: row.name)
def test_a_command_says_of_itself_what_the_table_says_of_it(run, row):
    code, out, _ = run(row.name, "--help")
    assert code == 0
    _, _, after_usage = " ".join(out.split()).partition(f"{row.name} ")
    assert f" {row.line} " in after_usage


@pytest.mark.parametrize(
    "path", sorted((ROOT / "fxstudio/cli").rglob("*.py")), ids=lambda p: p.stem
)
def test_a_module_says_at_its_top_what_it_needs(path):
    tree = ast.parse(path.read_text("utf-8"))
    inside = [
        ast.unparse(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, (ast.Import, ast.ImportFrom))
    ]
    assert inside == []


def test_a_module_of_a_command_is_imported_when_it_is_called():
    code = """
import sys, typer, fxstudio.cli
from fxstudio.cli.app import app
def commands(): return sorted(set(sys.modules) & modules)
from fxstudio.cli.commands import BY_NAME
modules = {f"fxstudio.cli.{row.where.split(':')[0]}" for row in BY_NAME.values()}
for words in (["--help"], ["wires"]):
    app(words, standalone_mode=False)
    print("imported", *commands())
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    told = re.findall("(?m)^imported *(.*)", done.stdout)
    assert told == ["", "fxstudio.cli.bench.wires"]


WRONG = {
    "no effect": (["film"], "no effect to film"),
    "unknown effect": (["film", "nosuch"], "there is no effect of this name"),
    "unknown decoder": (["values", "banked_fire", "-d", "nosuch"], "there is no decoder"),
    "no decoder": (["values", "banked_fire"], "which decoder?"),
    "size": (["film", "banked_fire", "--size", "big"], "is not a picture size"),
    "fps": (["film", "banked_fire", "--fps", "0"], "error field '--fps': this frame rate cannot"),
    "a word too many": (["schema", "mine.toml"], "fxstudio schema takes options and no other name"),
    "a name too many": (["values", "a", "b"], "fxstudio values takes EFFECT and no other name"),
    "key": (["film", "banked_fire", "--keys", "F29"], "'--keys': is not a function key"),
    "keys with a space": (["film", "banked_fire", "--keys", "F1", "f2"], "--keys F1,F2 or --keys"),
    "travel": (["film", "banked_fire", "--travel", "up"], "'--travel': is not one of"),
    "seconds": (["film", "banked_fire", "--seconds", "0"], "'--seconds': is too small"),
    "speed": (["film", "banked_fire", "--speed", "-1"], "'--speed': is too small"),
    "moving while standing": (
        ["film", "banked_fire", "--travel", "stopped", "--speed", "10"],
        "'--speed': a stopped locomotive has no speed",
    ),
    "one of several": (["film", "banked_fire", "nosuch", "--into", "out"], "there is no effect"),
    "two of one name": (
        ["film", "banked_fire", EFFECTS / "banked_fire.toml", "--into", "out"],
        "would be written twice",
    ),
    "check": (["check", "nosuch"], "there is no file of this name"),
    "many into one": (["film", "--all", "-o", "x.gif"], "one file cannot take several films"),
    "no folder": (["film", "banked_fire", "-o", "no/such/x.gif"], "cannot be written"),
    "a film over an effect": (["film", "banked_fire", "-o", "mine.toml"], "must end in .gif"),
    "a map over an effect": (
        ["check", "banked_fire", "--flash-map", "mine.toml"],
        "must end in .png",
    ),
    "drive and option": (
        ["film", "banked_fire", "--drive", "d.toml", "--speed", "3"],
        "a drive file already says this",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_calls_end_with_2_one_message_and_nothing_written(refused, case):
    arguments, problem = WRONG[case]
    refused(*arguments, problem=problem)


def test_runs_as_a_module_and_tells_its_version():
    done = subprocess.run(
        [sys.executable, "-m", "fxstudio", "--version"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
        env=os.environ,
    )
    assert done.stdout.startswith("fxstudio 0.")


def test_a_terminal_that_knows_few_letters():
    words = "packets write --address 3 --cv 49 --value 15 --bits"
    done = subprocess.run(
        [sys.executable, "-m", "fxstudio", *words.split()],
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 0
    assert b" bits, " in done.stdout


def test_help_loads_no_heavy_library():
    code = (
        "import sys, fxstudio.cli; "
        "print(sorted({'numpy', 'pydantic', 'pygame', 'imageio', 'PIL'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.strip() == "[]"
