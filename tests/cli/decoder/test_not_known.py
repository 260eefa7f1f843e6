"""What a leaflet does not say is told by each command that shows a decoder's light."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

FILES = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"
MARSH = FILES / "marsh_hollow.toml"
TOLD = "flames: how fast: not known, drawn at 4 a second"


@pytest.mark.parametrize("command", ["values", "plan", "truth", "figures"])
def test_the_command_tells_it(run, command):
    code, out, _ = run(command, "banked_fire", "-d", MARSH)
    assert code == 0
    assert f"note {TOLD}" in out
    assert "how fast" not in run(command, "banked_fire", "-d", "withybank_glim")[1]


def test_a_film_tells_it_in_its_comment_and_beside_it(run):
    call = ("film", "banked_fire", "-d", MARSH, "--size", "96x64", "--fps", 5)
    assert f"note {TOLD}" in run(*call)[1]
    assert f"Note: {TOLD}" in Path("banked_fire.values.txt").read_text("utf-8")
    with Image.open("banked_fire.gif") as gif:
        assert f"Note: {TOLD}" in gif.info["comment"].decode()


def test_a_plan_on_paper_has_a_line_to_fill_in(run):
    run("plan", "banked_fire", "-d", MARSH, "-o", "plan.txt")
    text = " ".join(Path("plan.txt").read_text("utf-8").split())
    assert "flames: how fast (drawn at 4 a second); count its changes in ten seconds" in text


def test_check_lists_how_each_is_found(run):
    code, out, _ = run("check", MARSH, FILES / "tarn_end.toml")
    assert code == 0
    assert "how fast. Count its changes in ten seconds, or compare it with films." in out
    assert "whether it jumps or drifts. Compare it with films." in out
    assert "how long it takes to die away. Take a clip of it and count its pictures." in out
    assert out.count("rate: how fast") == 1  # of eight outputs alike


def test_all_as_asked_is_said_only_as_far_as_it_is_known(run):
    out = run("check", "banked_fire", FILES / "tarn_end.toml")[1]
    assert "as far as its description says" in out


def test_read_tells_rates_of_their_own_and_none_that_is_not_known(run, tmp_path):
    (tmp_path / "own.csv").write_text(
        "cv,value,cv31,cv32\n257,2,16,4\n262,9,16,4\n265,2,16,4\n273,2,16,4\n278,0,16,4\n"
    )
    code, out, _ = run("read", "own.csv", "-d", FILES / "tarn_end.toml")
    assert code == 0
    # Its words: the rate is half a change a second for each step; 0 is not explained.
    assert "rate 4.5 Hz: output 1\n" in out
    assert "rate 4 Hz: output 2\n" in out
    assert "output 3: how fast: not known" in out
    assert "Hz: output 3" not in out


def test_a_shared_level_names_both_ends_and_who_else_changes_for_what_is_held(run, tmp_path):
    """CV126 of this leaflet dims three wires together; it holds 20 now, and brown goes along."""
    (tmp_path / "held.csv").write_text("cv,value\n117,3\n126,20\n")
    (tmp_path / "fire.toml").write_text(FIRE_ON_3_AND_4, "utf-8")
    options = ("-d", LEAFLETS / "marsh_hollow.toml", "--present", "held.csv")
    code, out, err = run("plan", "fire.toml", *options, "-o", "plan.txt")
    assert code == 0, err
    paper = " ".join((tmp_path / "plan.txt").read_text("utf-8").split())
    for told in (" ".join(out.split()), paper):
        assert "25 would be best for bed, 63 would be best for flames" in told
        assert "brown (output 5): steady at 100 %, on F3, and not, as before" in told
    code, _, err = run("sheet", "fire.toml", *options, "--no-film", "-o", "sheet.html")
    assert code == 0, err
    assert "25 would be best for bed" in (tmp_path / "sheet.html").read_text("utf-8")


LEAFLETS = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"
FIRE_ON_3_AND_4 = """
title = "Fire"
rate_hz = 4.0
[lamps.bed]
output = 3
key = "F1"
colour = { wavelength_nm = 605 }
pattern = { kind = "steady", level = 0.4 }
[lamps.flames]
output = 4
key = "F2"
colour = { wavelength_nm = 590 }
pattern = { kind = "flicker", style = "hold", lowest = 0.2, highest = 1.0 }
"""
