"""`fxstudio values` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest


def test_values_shows_the_table(run):
    code, out, _ = run("values", "banked_fire", "--decoder", "carrow_lantern")
    assert code == 0
    for heading in ("CV", "decimal", "binary", "delivered", "meaning"):
        assert heading in out
    assert "programming track" in out


HELD = "cv,value,note\n1,3,address\n3,5,motor\n143,154,\n144,250,\n149,78,\n35,12,\n36,0,\n"


@pytest.fixture
def held(tmp_path):
    """A list of values read from a locomotive."""
    path = tmp_path / "held.csv"
    path.write_text(HELD)
    return path


def test_values_tell_whose_bits_they_are(run, tmp_path):
    """A decoder that holds other bits there gets another value from plan than values shows."""
    code, out, _ = run("values", "banked_fire", "-d", "withybank_glim")
    assert code == 0
    assert "shown as delivered in CV35, CV36. If your decoder has been changed" in out
    (tmp_path / "held.csv").write_text("cv,value\n35,12\n36,3\n")
    options = ("-d", "withybank_glim", "--present", "held.csv", "-o", "plan.txt")
    run("plan", "banked_fire", *options)
    text = Path("plan.txt").read_text()
    assert "CV35 = 4 " in text
    assert "CV36 = 11 " in text  # 8 for output 4, 3 for outputs 1 and 2 as it was
    code, out, _ = run("values", "banked_fire", "-d", "carrow_lantern")
    assert "shown as delivered in CV137, CV138." in out
