"""`fxstudio figures` and `camera` as people use them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image


def test_figures_name_every_lamp_and_the_picture(run):
    code, out, _ = run("figures", "banked_fire")
    assert code == 0
    assert "Banked for the night" in out
    bed = next(line for line in out.splitlines() if "bed" in line)
    assert "steady" in bed
    assert "0%" in bed
    flames = next(line for line in out.splitlines() if "flames" in line)
    assert "steady" not in flames
    assert "picture" in out
    assert "photosensitive" in out


def test_figures_are_drawn(run):
    pytest.importorskip("matplotlib")
    code, out, _ = run("figures", "banked_fire", "--plot", "fire.png")
    assert code == 0
    assert "fire.png" in out
    with Image.open("fire.png") as picture:
        assert picture.width > 800
        assert len(set(picture.convert("RGB").get_flattened_data())) > 50


def test_a_plot_of_unknown_kind_is_refused_before_any_work(run):
    code, out, error = run("figures", "banked_fire", "--plot", "fire.xyz")
    assert code == 2
    assert out == ""
    assert "--plot" in error
    assert ".png, .svg, .pdf" in error
    assert not Path("fire.xyz").exists()


def test_figures_of_what_a_decoder_does(run):
    code, out, _ = run("figures", "banked_fire", "--decoder", "withybank_glim")
    assert code == 0
    assert out != run("figures", "banked_fire")[1]


def test_the_camera_is_advised_a_shutter(run):
    code, out, _ = run("camera", "withybank_glim")
    assert code == 0
    assert "125 pulses a second" in out
    assert "1/50 s" in out
    assert "(clean)" in out
    assert "as remembered" in out
    hidden = run("camera", "withybank_glim", "--shutter", "1/125")[1]
    assert "nothing is seen at 1/125 s" in hidden


def test_a_bad_shutter_is_refused(run):
    for text in ("fast", "1/0", "2", "-1/50"):
        code, _, error = run("camera", "withybank_glim", "--shutter", text)
        assert code == 2
        assert "write it like 1/50" in error
