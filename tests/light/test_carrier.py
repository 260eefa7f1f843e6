"""The PWM carrier before a camera, against exposures added up pulse by pulse."""

from __future__ import annotations

import numpy as np
import pytest
from sources import truth

from fxstudio.light.carrier import (
    CAMERA_FPS,
    LOW_RISK,
    NO_EFFECT,
    Carrier,
    bands,
    beat_hz,
    carrier_risk,
    exposure_flicker,
    modulation_limit,
    seen,
)


def added_up(rate_hz, duty, shutter_s, starts=4001):
    """Percent flicker of exposures: light of all pulses within each, begun at many phases."""
    begin = np.linspace(0, 1, starts)[:, None]  # in periods of the carrier
    end = begin + shutter_s * rate_hz
    on = np.arange(-1, int(shutter_s * rate_hz) + 3)
    light = np.clip(np.minimum(end, on + duty) - np.maximum(begin, on), 0, None).sum(axis=1)
    return (light.max() - light.min()) / (light.max() + light.min())


@pytest.mark.parametrize("rate_hz", [90, 125, 200, 487.5, 1000])
@pytest.mark.parametrize("shutter_s", [1 / 50, 1 / 60, 1 / 250, 1 / 1000])
def test_exposures_differ_as_their_pulses_add_up(rate_hz, shutter_s):
    for duty in (0.02, 0.3, 0.5, 0.81, 0.99):
        expected = added_up(rate_hz, duty, shutter_s)
        assert exposure_flicker(rate_hz, duty, shutter_s) == pytest.approx(expected, abs=2e-3)


def test_short_pulses_differ_by_one_in_two_n_and_one():
    # n or n + 1 of them fall into an exposure: ((n + 1) - n) / ((n + 1) + n).
    assert exposure_flicker(125, 0.01, 1 / 50) == pytest.approx(1 / 5)
    assert exposure_flicker(125, 0.01, 1 / 250) == pytest.approx(1.0)


def test_whole_pulses_leave_nothing():
    assert exposure_flicker(125, 0.3, np.arange(1, 6) / 125) == pytest.approx(0)


@pytest.mark.parametrize("fps", CAMERA_FPS)
@pytest.mark.parametrize("rate_hz", [100, 125, 142.9, 488.3])
def test_the_beat_is_the_strongest_line_of_the_filmed_brightness(rate_hz, fps):
    # 60 s of frames with a short shutter; their spectrum by numpy.
    frames = round(60 * fps)
    begin = np.arange(frames) * rate_hz / fps
    light = 0.5 + 0.5 * np.cos(2 * np.pi * begin)  # the carrier's first harmonic, sampled
    power = np.abs(np.fft.rfft(light - light.mean()))
    strongest = np.fft.rfftfreq(frames, 1 / fps)[power.argmax()] if power.max() > 1e-6 else 0
    assert beat_hz(rate_hz, fps) == pytest.approx(strongest, abs=1 / 60)


def test_bands_are_pulses_within_the_readout():
    assert bands(500, 1 / 50) == 10


@pytest.mark.parametrize("row", truth("ieee_1789.csv"), ids=lambda r: r["rate_hz"])
def test_limits_are_as_remembered(row):
    for column, rows in (("low_risk", LOW_RISK), ("no_effect", NO_EFFECT)):
        if row[column]:
            limit = modulation_limit(float(row["rate_hz"]), rows)
            assert limit == pytest.approx(float(row[column]), abs=5e-6)


def test_the_advice_names_a_shutter_that_hides_the_carrier():
    carrier = Carrier.of(refresh_ms=8.0, levels=64)
    assert carrier.rate_hz == 125
    assert carrier.duties[[0, -1]] == pytest.approx([1 / 63, 62 / 63])
    bad = seen(carrier, 25)  # 1/50 s holds two and a half pulses
    assert bad.shows
    assert bad.flicker == pytest.approx(1 / 5)
    assert bad.beat_hz == 0
    assert bad.better_flicker == pytest.approx(0)
    assert bad.better_s == pytest.approx(1 / 25)
    assert "use 1/25 s (clean)" in str(bad)
    good = seen(carrier, 25, 1 / 125)
    assert not good.shows
    assert str(good) == "nothing is seen at 1/125 s"
    assert "pulses 5 times a second or has up to 4 bands" in str(seen(carrier, 30))
    assert "5 bands stand still in the picture, up to 20% brighter and darker" in str(bad)
    assert "up to 1 band," in str(seen(carrier, 100))


def test_a_carrier_without_levels_between_is_never_seen():
    assert not seen(Carrier(100, 2), 25).shows


def test_risk_words_follow_the_limits():
    assert "headaches" in carrier_risk(125)
    assert carrier_risk(1250) == "fast enough for low risk"
    assert carrier_risk(4000) == "fast enough to have no known effect"
