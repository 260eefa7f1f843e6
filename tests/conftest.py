"""Helpers shared by the tests."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from fxstudio import cli


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


@pytest.fixture
def small_stills(monkeypatch):
    """Bench sheets with pictures that are drawn and packed in no time."""
    monkeypatch.setattr("fxstudio.export.bench_sheet.STILL_SIZE", (48, 32))


@pytest.fixture
def refused(run, tmp_path):
    """Call the command line with something it cannot use.

    One message, exit code 2, no traceback, and all in the folder is as it was.
    """

    def files() -> dict[Path, bytes | None]:
        return {path: path.read_bytes() if path.is_file() else None for path in tmp_path.rglob("*")}

    def call(*arguments: object, problem: str) -> None:
        before = files()
        code, _, err = run(*arguments)
        assert code == 2
        assert problem in err
        assert sum(line.startswith("error ") for line in err.splitlines()) == 1
        assert "Traceback" not in err
        assert files() == before

    return call
