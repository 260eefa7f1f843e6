"""`fxstudio calm` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest

FAILING = ("--size", "280x400")


@pytest.mark.usefixtures("strobe")
def test_calm_writes_an_effect_that_passes_and_keeps_its_comments(run):
    code, out, _ = run("calm", "strobe.toml", "-o", "calm.toml", *FAILING)
    assert code == 0
    assert "calm.toml: the calmer effect" in out
    text = Path("calm.toml").read_text("utf-8")
    assert "# a door lamp gone wild" in text
    assert "# far too quick" in text
    code, out, _ = run("calm", "calm.toml", "-o", "other.toml", *FAILING)
    assert code == 0
    assert "nothing was written" in out
    assert not Path("other.toml").exists()
