"""`fxstudio figures` and `camera` as people use them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from fxstudio.effect.files import shipped


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
    text = shipped()["banked_fire"].read_text("utf-8")
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


STROBE = """\
# a door lamp gone wild
title = "Strobe"

[lamps.door]
output = 5
key = "F3"
colour = { temperature_k = 2100 }
pattern = { kind = "flash", period_s = 0.2 } # far too quick

[lamps.bed]
output = 3
key = "F3"
colour = { wavelength_nm = 605 }
pattern = { kind = "flash", period_s = 0.2 }

[drive]
length_s = 0.4
steps = [{ at_s = 0.0, keys = ["F3"] }]
"""
FAILING = ("--size", "280x400")


@pytest.fixture
def strobe(run):
    """Writes the file after `run` has moved to an empty folder."""
    Path("strobe.toml").write_text(STROBE, "utf-8")


@pytest.mark.usefixtures("strobe")
def test_film_refuses_what_flashes_too_much_and_calms_it_as_it_offers(run):
    code, out, error = run("film", "strobe.toml", *FAILING)
    assert code == 2
    assert out == ""
    assert "strobe.toml: the film would flash more than is safe to show" in error
    assert "5 in the second from" in error
    assert "--accept-flashes" in error
    assert not Path("strobe.gif").exists()
    offer = next(line for line in error.splitlines() if "--calm: " in line)
    assert "of its look is lost" in offer
    code, out, _ = run("film", "strobe.toml", "--calm", *FAILING)
    assert code == 0
    assert "calmer door: " in out
    assert "of its look is lost" in out
    assert "flashes: passes WCAG 2.3.1" in out
    told = [line.strip() for line in out.splitlines() if "  calmer " in line]
    changes = [line.removeprefix("calmer ") for line in told]
    assert changes
    assert all(change in offer for change in changes)


def test_nothing_is_offered_where_nothing_calmer_passes(run):
    steps = ", ".join(f"{{ at_s = {k / 10}, keys = {['F3'] if k % 2 else []} }}" for k in range(20))
    text = STROBE.replace('kind = "flash", period_s = 0.2', 'kind = "steady"')
    Path("keys.toml").write_text(
        text[: text.index("[drive]")] + f"[drive]\nlength_s = 2.0\nsteps = [{steps}]\n", "utf-8"
    )
    code, _, error = run("film", "keys.toml", *FAILING)
    assert code == 2
    assert "do:      no calmer version of it passes: its keys may go on and off" in error
    assert "--calm:" not in error
    error = run("film", "keys.toml", *FAILING, "--decoder", "tolley_hearth")[2]
    assert "do:      write a calm effect with `fxstudio calm`" in error


@pytest.mark.usefixtures("strobe")
def test_film_takes_it_if_told_so_and_says_it(run):
    code, out, error = run("film", "strobe.toml", "--accept-flashes", *FAILING)
    assert (code, error) == (0, "")
    assert "WARNING red flashes" in out
    with Image.open("strobe.gif") as gif:
        assert b"WARNING" in gif.info["comment"]


@pytest.mark.usefixtures("strobe")
def test_film_does_not_calm_what_a_decoder_does(run):
    code, _, error = run("film", "strobe.toml", "--calm", "--decoder", "tolley_hearth")
    assert code == 2
    assert "fxstudio calm" in error


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


@pytest.mark.usefixtures("strobe")
def test_check_judges_flashes_and_draws_where(run):
    code, out, _ = run("check", "strobe.toml", "--flash-map", "where.png")
    assert code == 2
    assert "WARNING red flashes" in out
    assert "no medical and no legal judgement" in out
    with Image.open("where.png") as picture:
        assert picture.size == (480, 320)
    assert "341 x 256 of its pixels filling 10 degrees of view" in out
    code, out, _ = run("check", "banked_fire", "--size", "120x80")
    assert code == 0
    assert "flashes: passes WCAG 2.3.1" in out
    assert run("check", "strobe.toml", "--size", "120x80")[0] == 0


def test_one_map_for_one_effect(run):
    code, _, error = run("check", "banked_fire", "ticking_fire", "--flash-map", "where.png")
    assert code == 2
    assert "--flash-map" in error
