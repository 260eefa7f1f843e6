"""Patterns against closed forms and scipy; loops without a seam."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal, stats

from fxstudio.effect.patterns import (
    KINDS,
    PATTERNS,
    Beat,
    Filament,
    Flash,
    Flicker,
    Steady,
    Timeline,
)
from fxstudio.effect.patterns.beat import ASSUMED_BEAT_RISE_S
from fxstudio.effect.patterns.motion import beats_per_second
from fxstudio.effect.patterns.signals import circular_ar1, lag


def timeline(loop_s=6.0, rate_hz=4.0, lit=True, speed_kmh=0.0, seed=1, grid_hz=600):
    count = round(loop_s * grid_hz)
    return Timeline(
        loop_s=loop_s,
        rate_hz=rate_hz,
        lit=np.broadcast_to(np.asarray(lit), count),
        speed_kmh=np.broadcast_to(np.asarray(speed_kmh, float), count),
        rng=np.random.default_rng(seed),
    )


def percent_flicker(light):
    """Source: CIE e-ILV, amplitude of fluctuation of the luminous flux, note 1."""
    return (light.max() - light.min()) / (light.max() + light.min())


def light_of(pattern, line):
    """Brightness [n] of a lamp with a pattern over a loop."""
    return pattern.light(line).brightness


def flicker_index(light):
    """Source: IEC 60050 (IEV) 845-22-094: area above the mean over total area."""
    return np.maximum(light - light.mean(), 0).sum() / light.sum()


def test_steady_has_no_flicker():
    light = light_of(Steady(level=0.35), timeline())
    assert (light == 0.35).all()
    assert percent_flicker(light) == 0


def test_hold_keeps_each_level_for_one_tick():
    line = timeline(loop_s=6, rate_hz=4)
    wave = Flicker(style="hold", lowest=0.2, highest=0.8).light(line)
    light = wave.brightness
    assert len(np.flatnonzero(np.diff(light))) == 23  # 24 ticks, 23 changes inside the loop
    assert (np.diff(np.flatnonzero(np.diff(light))) == 150).all()
    assert light.min() >= 0.2
    assert light.max() <= 0.8
    assert not wave.fitted


def test_hold_levels_are_spread_evenly():
    light = light_of(Flicker(style="hold", lowest=0, highest=1), timeline(600, 25, grid_hz=25))
    assert stats.kstest(light, "uniform").pvalue > 0.01


def test_hold_rate_is_fitted_to_the_loop_and_told():
    line = timeline(loop_s=6, rate_hz=4.1)
    (fitted,) = Flicker(style="hold").light(line).fitted
    assert fitted.used == pytest.approx(25 / 6)
    assert str(fitted) == "flicker rate: 4.1 Hz asked, 4.167 Hz used"


def test_smooth_levels_follow_beta_2_2():
    light = light_of(Flicker(style="smooth", lowest=0, highest=1), timeline(600, 20, grid_hz=60))
    independent = light[::30]  # ten time constants apart
    assert stats.kstest(independent, stats.beta(2, 2).cdf).pvalue > 0.01
    assert light.mean() == pytest.approx(0.5, abs=0.01)
    assert light.var() == pytest.approx(0.05, rel=0.05)  # beta(2, 2): 1/20


@pytest.mark.parametrize("time_constant_s", [0.05, 0.1, 0.5])
def test_ar1_autocorrelation(time_constant_s):
    # Closed form exp(-t / time constant) of an AR(1) process; identity from memory.
    step_s, count = 0.02, 1 << 18
    noise = circular_ar1(np.random.default_rng(3), count, step_s, time_constant_s)
    assert noise.var() == pytest.approx(1, abs=0.05)
    spectrum = np.abs(np.fft.rfft(noise)) ** 2
    correlation = np.fft.irfft(spectrum)[:50] / count
    expected = np.exp(-np.arange(50) * step_s / time_constant_s)
    np.testing.assert_allclose(correlation, expected, atol=0.05)


def test_ar1_spectrum_against_welch():
    # Sampled AR(1): 2 dt (1 - a^2) / (1 - 2 a cos(2 pi f dt) + a^2), one-sided, unit variance.
    step_s, time_constant_s = 0.01, 0.5
    noise = circular_ar1(np.random.default_rng(4), 1 << 20, step_s, time_constant_s)
    frequency, density = signal.welch(noise, fs=1 / step_s, nperseg=8192)
    a = np.exp(-step_s / time_constant_s)
    expected = 2 * step_s * (1 - a**2) / (1 - 2 * a * np.cos(2 * np.pi * frequency * step_s) + a**2)
    smooth = np.ones(11) / 11
    inside = slice(20, -20)
    ratio = (
        np.convolve(density, smooth, "same")[inside] / np.convolve(expected, smooth, "same")[inside]
    )
    assert np.abs(ratio - 1).mean() < 0.06
    assert 0.8 < ratio.min() <= ratio.max() < 1.2


def test_ar1_is_periodic():
    # The step over the seam is as likely as any other: variance 2 (1 - a) over many seeds.
    a = np.exp(-0.02 / 0.2)
    steps = [
        (noise := circular_ar1(np.random.default_rng(seed), 100, 0.02, 0.2))[0] - noise[-1]
        for seed in range(2000)
    ]
    assert np.var(steps) == pytest.approx(2 * (1 - a), rel=0.1)


def test_both_flicker_styles_share_one_correlation_time():
    # Integral of the correlation: one tick for held levels, twice the time constant for AR(1).
    def correlation_time(style):
        light = (
            Flicker(style=style, lowest=0, highest=1)
            .light(timeline(600, 4, grid_hz=100))
            .brightness
        )
        spectrum = np.abs(np.fft.rfft(light - light.mean())) ** 2
        correlation = np.fft.irfft(spectrum)
        return 2 * correlation[:60].sum() / correlation[0] / 100

    assert correlation_time("hold") == pytest.approx(0.25, rel=0.2)
    assert correlation_time("smooth") == pytest.approx(0.25, rel=0.2)


@pytest.mark.parametrize("duty", [0.2, 0.5, 0.7])
def test_flash_figures(duty):
    # Full-depth rectangle of duty d: percent flicker 1, flicker index 1 - d. Closed form.
    light = light_of(Flash(period_s=1.0, on_share=duty), timeline())
    assert percent_flicker(light) == 1
    assert flicker_index(light) == pytest.approx(1 - duty, abs=1e-3)


def test_two_level_flash_figures():
    # Two levels a (duty d) and b: index d (1-d) (a-b) / (d a + (1-d) b). Closed form.
    light = light_of(Flash(period_s=1.0, on_share=0.3, lowest=0.4, highest=1.0), timeline())
    assert percent_flicker(light) == pytest.approx(0.428571, abs=1e-6)
    assert flicker_index(light) == pytest.approx(0.217241, abs=1e-4)


def test_flash_period_is_fitted_and_start_share_alternates():
    line = timeline(loop_s=6)
    wave = Flash(period_s=1.4).light(line)
    assert wave.fitted[0].used == pytest.approx(4 / 6)
    other = light_of(Flash(period_s=1.4, start_share=0.5), timeline(loop_s=6))
    np.testing.assert_array_equal(wave.brightness + other, np.ones_like(other))


def test_beat_pace():
    # 60 km/h on 1.9 m wheels: 11.1688 beats a second, so 67 in 6 s.
    line = timeline(speed_kmh=60)
    wave = Beat(lowest=0, highest=1, wheel_m=1.9, fall_s=0.01).light(line)
    light = wave.brightness
    peaks = signal.find_peaks(np.concatenate([light, light]), height=0.5)[0]
    assert len(peaks) == 2 * 67
    assert wave.fitted[0].asked == pytest.approx(11.1688, abs=1e-3)


@pytest.mark.parametrize("speed_kmh", [5, 20, 40, 60, 120])
def test_beat_falls_from_its_highest_until_the_next(speed_kmh):
    """An exponential decay (closed form) over one period, less what the rise takes of it."""
    line = timeline(speed_kmh=speed_kmh, loop_s=60)
    light = light_of(Beat(lowest=0, fall_s=0.15), line)
    period_s = 1 / beats_per_second(speed_kmh, 1.4, 4)
    assert light.max() == pytest.approx(1, abs=0.05)
    assert np.exp(-period_s / 0.15) < light.min() * 1.02
    assert light.min() * 0.9 < np.exp(-(period_s - ASSUMED_BEAT_RISE_S) / 0.15)
    assert light.max() - light.min() > 0.1  # it never runs into a steady light


def test_beat_has_no_seam():
    light = light_of(Beat(lowest=0, fall_s=5), timeline(speed_kmh=3, loop_s=2.0))
    assert np.abs(np.diff(light, append=light[0])).max() < 0.1


def test_beat_rests_when_standing():
    assert (light_of(Beat(lowest=0.3), timeline(speed_kmh=0)) == 0.3).all()


def test_filament_rises_by_its_time_constant():
    # First-order lag: 1 - 1/e after one time constant. Closed form.
    lit = np.arange(3600) < 1800
    answer = lag(lit, 1 / 600, 0.2, 0.4)
    assert answer[120] == pytest.approx(1 - np.exp(-1), abs=1e-3)
    assert answer[1800 + 240] == pytest.approx(np.exp(-1), abs=1e-3)
    assert light_of(Filament(level=0.5), timeline(lit=True)).max() == 0.5


def test_filament_is_periodic_even_when_slow():
    lit = np.arange(600) < 300
    answer = lag(lit, 1 / 600, 5.0, 5.0)
    assert answer[0] == pytest.approx(answer[-1], abs=1e-3)
    assert answer.mean() == pytest.approx(0.5, abs=1e-3)


@pytest.mark.parametrize("row", PATTERNS)
def test_every_pattern_is_dark_when_not_lit_and_bounded_when_lit(row):
    pattern = row()
    assert KINDS[pattern.kind] is row
    assert (light_of(pattern, timeline(lit=False, speed_kmh=20)) == 0).all()
    light = light_of(pattern, timeline(speed_kmh=20))
    assert ((light >= 0) & (light <= 1)).all()
    assert pattern.summary()


@pytest.mark.parametrize(
    "pattern",
    [
        Steady(level=0.4),
        Filament(level=0.7),
        Flicker(style="hold", lowest=0.2, highest=0.6),
        Flicker(style="smooth", lowest=0.1, highest=0.9),
        Flash(on_share=0.1, lowest=0.05, highest=0.8),
    ],
)
def test_the_mean_of_a_pattern_is_that_of_its_light(pattern):
    light = light_of(pattern, timeline(loop_s=600.0))
    assert pattern.mean == pytest.approx(light.mean(), abs=0.01)


@pytest.mark.parametrize("row", [Steady, Flicker, Beat, Filament])
def test_seam_is_no_larger_a_step_than_any_other(row):
    light = light_of(row(), timeline(speed_kmh=20))
    assert abs(light[0] - light[-1]) <= np.abs(np.diff(light)).max() + 1e-12
