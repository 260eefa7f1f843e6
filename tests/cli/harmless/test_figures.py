"""`fxstudio figures` as people use it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image

from fxstudio.effect.files import shipped_effects

SMALL = ("--size", "96x64", "--fps", "5")


def test_figures_say_what_was_rounded_as_film_does(run, tmp_path):
    fire = tmp_path / "fire.toml"
    text = shipped_effects()["ticking_fire"].read_text("utf-8")
    fire.write_text(re.sub(r"(?m)^rate_hz = .*", "rate_hz = 0.588", text), "utf-8")
    rounded = "to loop without a seam, flames: flicker rate: 0.588 Hz asked, 0.6667 Hz used"
    assert rounded in run("film", fire, *SMALL)[1]
    assert rounded in run("figures", fire)[1]


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


def test_a_title_of_any_letters_is_drawn_as_it_is(run, tmp_path):
    pytest.importorskip("matplotlib")
    fire = tmp_path / "fire.toml"
    text = shipped_effects()["banked_fire"].read_text("utf-8")
    fire.write_text(text.replace("Banked for the night", "cost $x_{ and $5"), "utf-8")
    assert run("figures", fire, "--plot", "fire.png")[0] == 0


def test_a_plot_of_unknown_kind_is_refused_before_any_work(run):
    code, out, error = run("figures", "banked_fire", "--plot", "fire.xyz")
    assert code == 2
    assert out == ""
    assert "--plot" in error
    assert ".png or .svg or .pdf" in error
    assert not Path("fire.xyz").exists()


def test_figures_of_what_a_decoder_does(run):
    code, out, _ = run("figures", "banked_fire", "--decoder", "withybank_glim")
    assert code == 0
    assert out != run("figures", "banked_fire")[1]
