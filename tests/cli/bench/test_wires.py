"""`fxstudio wires` as people use it."""

from __future__ import annotations


def test_wires(run):
    code, out, _ = run("wires")
    assert code == 0
    assert "common positive of all lamps" in out
    assert "NEM 651" in out
    assert "their manual decides" in out
    only = run("wires", "--plug", "nem652")[1]
    assert "diode to protect it" in only
    assert "NEM 651" not in only
