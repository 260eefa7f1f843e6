"""What the README shows is real: its commands exist, its files load, its output is what comes."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import html5lib
import pytest
import typer

from fxstudio.cli.app import app
from fxstudio.documents.reading import parse
from fxstudio.effect.model import Effect

ROOT = Path(__file__).parent.parent
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"```(\w*)\n(.*?)```", README, re.S)
SHOWN = re.findall(r"^\$ fxstudio (.*)\n((?:(?!\$ |```).+\n)*)", README, re.M)


def test_every_command_exists():
    commands = typer.main.get_command(app).commands
    named = {name for name in re.findall(r"[`$] ?fxstudio (\w+)", README) if name.islower()}
    assert named <= set(commands)
    assert len(named) > 10


@pytest.mark.parametrize("text", [text for kind, text in BLOCKS if kind == "toml"])
def test_every_file_loads(text):
    tables = tomllib.loads(text)
    if "drive" in tables and "lamps" not in tables:
        lamp = {"output": 3, "colour": "#ff8000", "pattern": {"kind": "steady"}}
        tables |= {"title": "x", "lamps": {"bed": lamp}}
    parse(Effect, tables)


@pytest.mark.parametrize(("call", "output"), [row for row in SHOWN if row[1]], ids=lambda t: t[:30])
def test_output_is_what_comes(run, call, output):
    # Sizes and times of a film are those of one machine and version of the libraries.
    code, out, _ = run(*call.split(), columns=92)
    assert code == 0

    def plain(text):
        return re.sub(r"[\d.]+ MB", "MB", "\n".join(line.rstrip() for line in text.splitlines()))

    assert plain(output) in plain(out)


def test_pictures_exist():
    for path in re.findall(r"!\[.*?\]\((.*?)\)", README):
        assert (ROOT / path).is_file()


def part(heading):
    """What stands under a heading of the README."""
    return re.split(r"^## ", README.split(f"\n## {heading}\n")[1], flags=re.M)[0]


def test_the_script_runs(monkeypatch, tmp_path, capsys):
    monkeypatch.chdir(tmp_path)
    (script,) = re.findall(r"```python\n(.*?)```", part("A script"), re.S)
    exec(compile(script, "README.md", "exec"), {})
    assert "CV144 = 250" in capsys.readouterr().out
    assert [path.name for path in tmp_path.iterdir()] == ["on_my_decoder.gif"]


def shown_by(cell, names):
    """What a notebook shows of a cell: the last expression, as HTML if it has any, else as text."""
    *before, last = ast.parse(cell).body
    exec(compile(ast.Module(before, []), "README.md", "exec"), names)
    value = eval(compile(ast.Expression(last.value), "README.md", "eval"), names)
    if not hasattr(value, "_repr_html_"):
        return repr(value)
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    html = parser.parseFragment(value._repr_html_())
    rows = [" | ".join("".join(cell.itertext()) for cell in row) for row in html.iter("tr")]
    return "\n".join(rows) or "".join(html.find(".//figcaption").itertext())


def test_the_notebook_shows_what_it_says(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    names = {}
    cells = re.findall(
        r"```python\n(.*?)```\n\n(?:```text\n(.*?)```|((?:\|[^\n]*\n)+))",
        part("A notebook"),
        re.S,
    )
    assert len(cells) == part("A notebook").count("```python")
    for cell, text, table in cells:
        lines = [line.strip("| ") for line in table.splitlines() if "---" not in line]
        assert shown_by(cell, names) == (text.strip() or "\n".join(lines))


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_files_that_are_named_exist(text):
    named = set(re.findall(r"(?:fxstudio|tests|effects|previews|\.ci)/[\w/.]*\w/?", text))
    assert len(named) > 3
    assert [path for path in sorted(named) if not (ROOT / path).exists()] == []


def test_the_call_for_one_test_runs_some():
    (call,) = re.findall(r"`python (-m pytest -n 0 .*?)`", DEVELOPERS)
    done = subprocess.run(
        [sys.executable, *call.split()], cwd=ROOT, capture_output=True, timeout=120, check=False
    )
    assert done.returncode == 0  # 5 if there is no such test
