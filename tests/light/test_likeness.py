"""How different two effects look: against closed forms and reference libraries."""

from __future__ import annotations

import numpy as np
import pytest
from colour.colorimetry import lightness_CIE1976
from decoders import FLICKER, effect
from scipy.integrate import quad
from scipy.stats import beta, norm, uniform
from sources import truth

from fxstudio.effect.drive import constant_drive
from fxstudio.light.likeness import DARK, appearance, compare, pattern_lost
from fxstudio.light.simulation import Simulation

ON_F1 = {"output": 3, "key": "F1"}


def lightness(light: float) -> float:
    """L* of CIE 015 by the reference library colour-science."""
    return float(lightness_CIE1976(100 * light))


def pattern_of(**pattern):
    return effect(x={**ON_F1, "pattern": pattern}).lamps["x"].pattern


def look_of(rate_hz: float = 5.0, **pattern):
    return appearance(pattern_of(**pattern), rate_hz)


@pytest.mark.parametrize("row", truth("lightness.csv"), ids=lambda row: row["luminance"])
def test_a_steady_lamp_has_the_lightness_of_its_level(row):
    seen = look_of(kind="steady", level=float(row["luminance"]))
    assert seen.level == pytest.approx(float(row["lightness"]), abs=1e-3)
    assert (seen.modulation, seen.rate_hz, seen.switching) == (pytest.approx(0), None, 0)


@pytest.mark.parametrize("share", [0.5, 0.2])
def test_a_full_flash_has_the_mean_and_deviation_of_two_levels(share):
    seen = look_of(kind="flash", period_s=2.0, on_share=share)
    assert seen.level == pytest.approx(100 * share, abs=0.1)
    assert seen.modulation == pytest.approx(200 * (share * (1 - share)) ** 0.5, abs=0.1)


@pytest.mark.parametrize("on_share", [0.1, 0.5, 0.8])
@pytest.mark.parametrize("period_s", [0.25, 2.0])
def test_a_flash_measures_at_its_period_however_long_it_is_on(period_s, on_share):
    seen = look_of(kind="flash", period_s=period_s, on_share=on_share)
    assert seen.rate_hz == pytest.approx(1 / period_s, rel=0.01)


def test_exhaust_beats_measure_at_their_pace():
    # 20 km/h on 1.4 m wheels, four beats a turn: 5.05 beats a second.
    expected = 4 * (20 / 3.6) / (np.pi * 1.4)
    assert look_of(kind="beat", wheel_m=1.4).rate_hz == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(("style", "spread"), [("hold", uniform()), ("smooth", beta(2, 2))])
def test_a_flicker_has_the_lightness_of_its_spread_of_levels(style, spread):
    low, high = 0.1, 0.9

    def mean(of) -> float:
        return quad(lambda x: of(lightness(low + (high - low) * x)) * spread.pdf(x), 0, 1)[0]

    level = mean(float)
    deviation = mean(lambda value: (value - level) ** 2) ** 0.5
    seen = look_of(kind="flicker", style=style, lowest=low, highest=high)
    assert seen.level == pytest.approx(level, abs=0.01)
    assert seen.modulation == pytest.approx(2 * deviation, abs=0.01)


STYLES, RATES_HZ = ("hold", "smooth"), (0.5, 1.0, 4.0, 12.0)
WITHIN = norm.isf(0.01 / 2 / (2 * len(STYLES) * len(RATES_HZ)))
"""Standard errors: the 99 % interval of all figures below together (Bonferroni)."""


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("rate_hz", RATES_HZ)
def test_the_look_is_what_200_simulations_come_to(style, rate_hz):
    kind = {"kind": "flicker", "style": style, "lowest": 0.1}
    lit = effect(rate_hz, x={**ON_F1, "pattern": kind})
    drive = constant_drive(keys=("F1",), length_s=20.0)
    light = np.hstack([Simulation(lit, drive, seed).loop.light for seed in range(200)])
    shown = lightness_CIE1976(100 * light.astype(float))
    seen = look_of(rate_hz, **kind)
    for found, expected in (
        (shown, seen.level),
        ((shown - seen.level) ** 2, (seen.modulation / 2) ** 2),
    ):
        each = found.mean(axis=0)
        assert abs(each.mean() - expected) < WITHIN * each.std(ddof=1) / 200**0.5


@pytest.mark.parametrize("rate_hz", RATES_HZ)
@pytest.mark.parametrize("style", STYLES)
def test_no_name_decides_and_equal_rates_are_never_told_apart(rate_hz, style):
    """The other style has its own spread of levels, but never another rate."""
    names = ("fire", *(f"lamp {k}" for k in range(39)))
    lost, told = set(), set()
    for name in names:
        asked, seen = (
            effect(rate_hz, **{name: {**ON_F1, "pattern": {**FLICKER, "style": each}}})
            for each in (style, "hold")
        )
        (lamp,) = compare(asked, seen).lamps
        lost.add(lamp.lost)
        told.add(lamp.words())
    assert len(lost) == len(told) == 1
    assert "Hz" not in "".join(*told)


def test_a_filament_lags_by_its_two_exponentials():
    rise_s, fall_s, level = 0.3, 0.4, 0.8
    up = quad(lambda t: lightness(level) - lightness(level * (1 - np.exp(-t / rise_s))), 0, 1)[0]
    down = quad(lambda t: lightness(level * np.exp(-t / fall_s)), 0, 1)[0]
    seen = look_of(kind="filament", level=level, rise_s=rise_s, fall_s=fall_s)
    assert seen.switching == pytest.approx((up + down) / 2, abs=0.2)


@pytest.mark.parametrize("kind", ["steady", "flicker", "flash", "beat"])
def test_nothing_but_a_filament_lags(kind):
    assert look_of(kind=kind).switching == 0


# (key, travel) asked and seen, share of states that differ; counted by hand
GATES = [
    (("F1", "both"), ("F1", "both"), 0.0),
    (("F1", "both"), ("F1", "forward"), 1 / 4),
    (("F1", "forward"), ("F1", "reverse"), 2 / 4),
    (("F1", "both"), ("F2", "both"), 4 / 8),
    (("F1", "forward"), ("F2", "forward"), 2 / 8),
    (("F1", "both"), ("always", "both"), 2 / 4),
    (("always", "both"), ("always", "forward"), 1 / 2),
]


@pytest.mark.parametrize(("asked", "seen", "share"), GATES)
def test_gating_is_the_share_of_states_that_differ(asked, seen, share):
    one, other = (
        effect(x={"output": 3, "key": key, "travel": travel}) for key, travel in (asked, seen)
    )
    assert compare(one, other).lamps[0].gating == share
    assert compare(one, other).lost == pytest.approx(share)


def two(**pattern):
    return effect(4.0, bed=ON_F1, flames={"output": 4, "key": "F1", "pattern": pattern})


def test_an_effect_is_like_itself():
    same = compare(two(**FLICKER), two(**FLICKER))
    assert same.lost == 0
    assert [lamp.words() for lamp in same.lamps] == [(), ()]


def test_a_lamp_that_is_gone_is_lost_and_the_other_is_not():
    gone = compare(two(**FLICKER), effect(bed=ON_F1))
    assert [lamp.seen == DARK for lamp in gone.lamps] == [False, True]
    assert [round(lamp.lost, 2) for lamp in gone.lamps] == [0.0, 1.0]
    assert gone.lost == pytest.approx(0.5)
    assert gone.lamps[1].words() == ("stays dark",)
    dark = compare(two(**FLICKER), two(kind="steady", level=0.0))
    assert dark.lost == gone.lost


def test_it_does_not_matter_which_is_asked():
    pair = two(**FLICKER), two(kind="flash", lowest=0.2, period_s=1.5)
    assert compare(*pair).lost == pytest.approx(compare(*reversed(pair)).lost)


def test_what_looks_alike_is_nearer_than_what_does_not():
    wish = two(kind="flicker", style="smooth", lowest=0.2)
    lost = [
        compare(wish, two(**pattern)).lost
        for pattern in (
            {"kind": "flicker", "style": "smooth", "lowest": 0.25},
            {"kind": "flicker", "style": "hold", "lowest": 0.2},
            {"kind": "steady", "level": 0.6},
            {"kind": "flash", "period_s": 2.0},
            {"kind": "steady", "level": 0.0},
        )
    ]
    assert lost == sorted(lost)
    assert lost[0] < 0.02
    assert lost[-1] == pytest.approx(0.5)


def test_another_course_is_told_and_costs_in_proportion_to_its_swing():
    def differs(lowest: float, style: str):
        pair = [two(**{**FLICKER, "lowest": lowest, "style": each}) for each in ("smooth", style)]
        return compare(*pair).lamps[1]

    assert "hold flicker instead of smooth flicker" in differs(0.1, "hold").words()
    assert differs(0.95, "hold").words() == ("hold flicker instead of smooth flicker",)
    assert differs(0.95, "hold").lost < differs(0.1, "hold").lost / 10
    assert differs(0.1, "smooth").words() == ()


@pytest.mark.parametrize("level", [1e-4, 0.02, 1.0])
def test_a_lamp_that_stays_dark_is_wholly_lost_however_dim_it_was_asked(level):
    dim, dark = pattern_of(kind="steady", level=level), pattern_of(kind="steady", level=0.0)
    assert pattern_lost(dim, dark, 4.0, 4.0) == 1.0
    assert pattern_lost(dark, dim, 4.0, 4.0) == 1.0
    assert pattern_lost(dim, dim, 4.0, 8.0) == 0.0


def test_another_rate_is_a_loss_in_proportion_to_its_swing():
    def lost(lowest: float, rate_hz: float) -> float:
        pair = [
            effect(hz, x={**ON_F1, "pattern": {**FLICKER, "lowest": lowest}})
            for hz in (4.0, rate_hz)
        ]
        return compare(*pair).lost

    assert 0 < lost(0.1, 8.0) < lost(0.1, 16.0)
    assert lost(0.8, 16.0) < lost(0.1, 16.0) / 3


def test_differences_in_words():
    seen = effect(12.0, x={**ON_F1, "travel": "forward", "pattern": {**FLICKER, "lowest": 0.5}})
    asked = effect(4.0, x={**ON_F1, "pattern": {**FLICKER, "lowest": 0.1}})
    brighter, less, changes, gates = compare(asked, seen).lamps[0].words()
    assert brighter.startswith("brighter by 1")
    assert less.startswith("varies less by")
    assert changes == "changes at 12 Hz instead of 4 Hz"
    assert gates == "on F1, forward only, instead of on F1, both directions"
    always = effect(x={**ON_F1, "key": "always", "pattern": {**FLICKER, "lowest": 0.5}})
    words = compare(asked, always).lamps[0].words()
    assert words[-1] == "lit without a key, both directions, instead of on F1, both directions"
