"""Flicker figures against closed forms of their definitions and against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal
from sources import truth

from fxstudio.colour import lightness
from fxstudio.effect.patterns.signals import circular_ar1
from fxstudio.light.figures import (
    band,
    dominant_rate,
    figures,
    flicker_index,
    octave_power,
    percent_flicker,
    spectrum,
)

PHASE = (np.arange(200_000) + 0.5) / 200_000


def wave(row):
    """One period of a wave shape."""
    depth = float(row["depth"] or 0)
    duty = float(row["duty"] or 0)
    return {
        "sine": lambda: 1 + depth * np.sin(2 * np.pi * PHASE),
        "square": lambda: 1 + depth * np.where(PHASE < 0.5, 1, -1),
        "rectangle": lambda: (duty > PHASE).astype(float),
        "triangle": lambda: 1 + depth * (4 * np.abs(PHASE - 0.5) - 1),
        "ramp": lambda: PHASE,
        "rectified": lambda: np.abs(np.sin(2 * np.pi * PHASE)),
        "two_levels": lambda: np.where(duty > PHASE, 1.0, 0.4),
    }[row["shape"]]()


@pytest.mark.parametrize(
    "row", truth("flicker_shapes.csv"), ids=lambda r: f"{r['shape']} {r['depth']} {r['duty']}"
)
def test_plain_shapes_have_their_closed_forms(row):
    light = wave(row)
    assert percent_flicker(light) == pytest.approx(float(row["percent_flicker"]), abs=5e-5)
    assert flicker_index(light) == pytest.approx(float(row["flicker_index"]), abs=5e-5)


def test_darkness_and_steady_light_do_not_flicker():
    for level in (0.0, 0.4):
        found = figures(np.full(600, level), 1 / 600)
        assert (found.percent_flicker, found.flicker_index) == (0, 0)
        assert found.dominant_hz is None
        assert found.band_hz is None
        assert found.lowest_lightness == found.highest_lightness


@pytest.mark.parametrize("count", [600, 601])
def test_the_spectrum_is_that_of_scipy(count):
    light = np.random.default_rng(3).random(count)
    rates, power = spectrum(light, 0.02)
    expected_rates, expected = signal.periodogram(light, fs=50, detrend="constant")
    assert rates == pytest.approx(expected_rates[1:])
    assert power == pytest.approx(expected[1:])
    assert power.sum() * rates[0] == pytest.approx(light.var())


def test_a_tone_has_its_own_rate_and_no_width():
    time_s = np.arange(3600) / 600
    rates, power = spectrum(0.5 + 0.2 * np.sin(2 * np.pi * 3.5 * time_s), 1 / 600)
    assert dominant_rate(rates, power) == pytest.approx(3.5)
    assert band(rates, power) == pytest.approx((3.5, 3.5))


def test_a_square_wave_is_named_by_its_pace_not_by_its_harmonics():
    square = ((np.arange(3600) // 100) % 2).astype(float)  # 3 Hz
    found = figures(square, 1 / 600)
    assert found.dominant_hz == pytest.approx(3.0)
    low, high = found.band_hz
    assert low == pytest.approx(3.0)
    # The odd harmonics up to the seventh hold 8/pi^2 (1 + 1/9 + 1/25 + 1/49) = 94.96 % of a
    # square wave (Fourier); the band leaves 5 % above it and so ends with the ninth.
    assert high == pytest.approx(9 * 3.0)


def test_noise_is_named_by_its_corner():
    # f / (1 + (2 pi f t)^2) is largest at f = 1 / (2 pi t): the spectrum of a first-order
    # process (Ornstein-Uhlenbeck), here 2 Hz, taken per octave.
    rng = np.random.default_rng(11)
    step_s, time_constant_s = 1 / 200, 1 / (2 * np.pi * 2.0)
    noise = circular_ar1(rng, 2**19, step_s, time_constant_s)
    rates, power = spectrum(noise, step_s)
    assert dominant_rate(rates, power) == pytest.approx(2.0, rel=0.2)
    # The distribution of its power is 2/pi atan(f / corner): 5 % at 0.157 Hz, 95 % at 25.4 Hz;
    # sampling at 200 Hz folds a little of what lies above 100 Hz.
    low, high = band(rates, power)
    assert low == pytest.approx(2 * np.tan(np.pi / 40), rel=0.05)
    assert high == pytest.approx(2 * np.tan(0.95 * np.pi / 2), rel=0.1)
    expected_rates, expected = signal.welch(noise, fs=200, nperseg=4096)
    for rate in (0.5, 2.0, 8.0):
        near = np.abs(rates - rate) < 0.2
        near_expected = np.abs(expected_rates - rate) < 0.2
        assert power[near].mean() == pytest.approx(expected[near_expected].mean(), rel=0.06)


def test_a_third_of_an_octave_holds_its_share_of_an_even_spectrum():
    # 2^(1/6) - 2^(-1/6) = 0.2316 of the middle rate: arithmetic.
    rates = np.arange(1, 400) / 6
    assert octave_power(rates, np.full(399, 3.0)) == pytest.approx(3 * 0.23156 * rates, rel=1e-4)


def test_a_tone_swings_as_far_as_it_does():
    rates, power = spectrum(0.5 + 0.2 * np.sin(2 * np.pi * 8 * np.arange(6000) / 600), 1 / 600)
    swing = np.sqrt(2 * octave_power(rates, power))
    assert swing[rates.searchsorted(8)] == pytest.approx(0.2, rel=0.05)


def test_lightness_figures_are_those_of_cie():
    light = np.array([0.18, 0.5] * 30)
    found = figures(light, 0.04)
    # CIE 015: L* of 0.18 is 49.4961 and of 0.5 is 76.0693 (facts computed from the formula).
    assert found.lowest_lightness == pytest.approx(49.4961, abs=1e-4)
    assert found.highest_lightness == pytest.approx(76.0693, abs=1e-4)
    assert found.mean_lightness == pytest.approx(lightness(light).mean())
    assert found.mean == pytest.approx(0.34)
