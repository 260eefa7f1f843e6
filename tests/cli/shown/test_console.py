"""What stands on the terminal."""

from __future__ import annotations

import pytest

from fxstudio.cli.shown.console import show_rows, show_table

ROW = ("a", "bright 100 % at 4 Hz")


def in_table(row):
    show_table("t", [("name", "left"), ("what", "left")], [row])


def in_rows(row):
    show_rows("t", [row])


@pytest.mark.parametrize("show", [in_table, in_rows])
@pytest.mark.parametrize("columns", range(20, 34))
def test_a_number_stands_in_one_line_with_its_unit(monkeypatch, capsys, show, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    show(ROW)
    told = capsys.readouterr().out
    assert "100 %" in told
    assert "4 Hz" in told
