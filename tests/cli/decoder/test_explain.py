"""`fxstudio explain` as people use it."""

from __future__ import annotations

from pathlib import Path

import pytest

FILES = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"


def test_a_shipped_decoder_is_printed_back(run):
    code, out, _ = run("explain", "withybank_glim")
    assert code == 0
    assert "Which key lights what: CV33 to CV46" in out
    assert "output 1: steady at 100 %, on F0, forward only." in out


@pytest.mark.parametrize("path", sorted(FILES.glob("*.toml")), ids=lambda path: path.stem)
def test_a_leaflet_is_printed_back(run, path):
    code, out, _ = run("explain", path)
    assert code == 0
    assert "Delivered:" in out


def test_worked_examples_and_what_is_not_known(run):
    _, out, _ = run("explain", FILES / "marsh_hollow.toml")
    assert "So 6 = 1 + 5 means: steady, forward only." in out
    assert "CV141, shared rate for random flicker: how fast" in out


COPSE = """
title = "Copse Halt 3"
outputs = { red = { key = "F4" } }
effects = { lightning = { kind = "flash", lowest = 0.0, on_share = 0.2 } }
limits = [{ of = ["red"], limit_ma = 60 }]
also = [{ name = "gentle", cv = 120, value = 3, why = "a gentler start" }]

[[cells]]
cv = { red = 180 }
before = { 64 = 7 }
after = { 64 = 0 }
parts = [{ says = "effect", ranges = [
    { from = 1, to = 99, effect = "steady", level = [0.01, 1.0] },
    { from = 200, to = 200, effect = "lightning", period_s = "unknown" },
] }]
delivered = 200

[[cells]]
cv = 190
parts = [{ says = "period", each_s = 2.0, plus = 1.0, from = 0, to = 15 }]
delivered = 3
"""


def test_locks_ends_of_ranges_and_what_is_written_only_when_asked_for(run):
    Path("copse.toml").write_text(COPSE)
    code, out, _ = run("explain", "copse.toml")
    assert code == 0
    rows = [line.split("│")[1:3] for line in out.splitlines() if line.startswith("│")]
    said = [(code.strip(), words.strip()) for code, words in rows]
    assert ("1", "steady, level 1 %") in said
    assert ("99", "steady, level 100 %") in said
    assert "Before it write CV64 = 7." in out
    assert "After it write CV64 = 0." in out
    assert "red together: at most 60 mA." in out
    assert "Only when you ask for it, gentle: CV120 = 3, a gentler start." in out
    assert "red (output 1): flash every 7 s" in out  # what CV190 says goes before "unknown"


def test_what_is_held_is_told(run):
    Path("now.csv").write_text("cv,value\n117,12\n118,0\n")
    _, out, _ = run("explain", FILES / "marsh_hollow.toml", "--present", "now.csv")
    assert "violet (output 4): random flicker, on F2, reverse only." in out
    assert "brown (output 5): never lights." in out


def test_a_value_that_the_leaflet_forbids_is_refused(run):
    Path("now.csv").write_text("cv,value\n117,200\n")
    code, _, err = run("explain", FILES / "marsh_hollow.toml", "--present", "now.csv")
    assert code == 2
    assert "now.csv" in err
    assert "is no value of Marsh Hollow 5" in err
    assert "0 to 14" in err


def test_other_commands_read_it_too(run):
    code, out, _ = run("values", "banked_fire", "-d", FILES / "marsh_hollow.toml")
    assert code == 0
    assert "flames (output 4): random flicker, both directions" in out


def test_check_finds_it_usable(run):
    code, out, _ = run("check", FILES / "rook_lane.toml")
    assert code == 0
    assert "a usable decoder description" in out


def test_an_effect_is_told_as_one(run):
    Path("fire.toml").write_text('title = "Fire"\n[lamps.bed]\noutput = 3\n')
    code, _, err = run("explain", "fire.toml")
    assert code == 2
    assert "is an effect" in err


def test_cvs_of_keys_and_rules_that_say_the_same_stand_together(run):
    _, out, _ = run("explain", FILES / "penny_cross.toml", columns=400)
    assert out.count("a sum for lights (1 for A (output 1)") == 1
    assert "CV150 for F0 forward, CV151 for F0 reverse" in out
    assert "Delivered: 1, 2, 4, 4, 8, 8, 0, 0." in out
    assert "means: F0 forward lights: A (output 1)." in out
