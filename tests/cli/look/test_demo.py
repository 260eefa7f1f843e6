"""`fxstudio demo` as people use it."""

from __future__ import annotations

from pathlib import Path


def test_demo(run):
    code, out, _ = run("demo")
    assert code == 0
    assert Path("fxstudio-demo/banked_fire.gif").stat().st_size > 10_000
    assert "binary" in out
