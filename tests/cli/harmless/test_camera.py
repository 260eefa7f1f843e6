"""`fxstudio camera` as people use it."""

from __future__ import annotations

from pathlib import Path

FILES = Path(__file__).parents[2] / "decoder" / "leaflet" / "files"


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


def test_a_decoder_whose_dimming_is_not_printed_is_refused_in_words(run):
    code, _, error = run("camera", FILES / "marsh_hollow.toml")
    assert code == 2
    assert "Marsh Hollow 5 does not say how it dims" in error
    assert "under [pwm]" in error
