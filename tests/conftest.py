"""Helpers shared by the tests."""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import pytest

from fxstudio import cli

TRUTHS = Path(__file__).parent / "truths"


def truth(name: str) -> list[dict[str, str]]:
    """Rows of a truth file; its first line says where the values are from."""
    lines = (TRUTHS / name).read_text("utf-8").splitlines()
    assert lines[0].startswith("# "), f"{name} does not say its source"
    return list(csv.DictReader(lines[1:]))


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Call the command line in an empty folder: exit code, output, error output."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "140")

    def call(*arguments: object, columns: int | None = None) -> tuple[int, str, str]:
        if columns is not None:
            monkeypatch.setenv("COLUMNS", str(columns))
        monkeypatch.setattr(sys, "argv", ["fxstudio", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        out, err = capsys.readouterr()
        return ended.value.code or 0, out, err

    return call
