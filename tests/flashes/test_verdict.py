"""Flash analysis: the worked cases of WCAG, rates and areas, and a slow reference."""

from __future__ import annotations

import colorsys

import numpy as np
import pytest
import slow_flashes
from scipy import signal
from sources import truth

from fxstudio.colour import LUMINANCE, srgb_decode
from fxstudio.flashes import rules as rules
from fxstudio.flashes.steps import follow
from fxstudio.flashes.verdict import ENLARGEMENTS, Viewing, judge

GENERAL, RED_20, RED_22 = range(3)


def rgb(text):
    return list(bytes.fromhex(text))


def blinking(first, second, rate_hz, shape=(160, 160), length_s=2):
    """Points of a picture that goes between two colours, evenly, all of it."""
    half_cs = round(50 / rate_hz)
    count = round(length_s * 100 / (2 * half_cs))
    numbers = np.tile([0, 1], count).astype(np.uint8)
    points = np.broadcast_to(numbers[:, None, None], (2 * count, *shape))
    return points, np.array([first, second]), np.full(2 * count, half_cs)


# The rules, colour by colour


@pytest.mark.parametrize("row", truth("wcag_general.csv"), ids=lambda r: r["darker"])
def test_general_changes_are_those_of_wcag(row):
    greys = [[int(row[side])] * 3 for side in ("darker", "brighter")]
    light = srgb_decode(np.array(greys) / 255) @ LUMINANCE
    assert light[0] == pytest.approx(float(row["darker_luminance"]), abs=1e-6)
    assert light[1] - light[0] == pytest.approx(float(row["change"]), abs=1e-6)
    rises = rules.general_rises(greys)
    assert rises[0, 1] == (row["counts"] == "yes")
    assert not rises[1, 0]


@pytest.mark.parametrize("row", truth("wcag_red.csv"), ids=lambda r: r["colour"])
def test_saturated_red_is_that_of_wcag(row):
    colour = rgb(row["colour"])
    linear = srgb_decode(np.array(colour) / 255)
    assert linear[0] / linear.sum() == pytest.approx(float(row["share"]), abs=5e-5)
    assert bool(rules.saturated_red(colour)) == (row["saturated"] == "yes")
    if row["u"]:
        assert linear @ LUMINANCE == pytest.approx(float(row["luminance"]), abs=1e-6)
        expected = float(row["u"]), float(row["v"])
        assert rules.chromaticity_uv(colour) == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("row", truth("wcag_red_pairs.csv"), ids=lambda r: r["to"])
def test_red_changes_are_those_of_both_wordings(row):
    pair = [rgb(row["from"]), rgb(row["to"])]
    if row["apart"]:
        apart = np.linalg.norm(np.subtract(*rules.chromaticity_uv(pair)))
        assert apart == pytest.approx(float(row["apart"]), abs=5e-5)
        assert rules.red_rises_22(pair)[0, 1] == (row["counts_22"] == "yes")
    if row["rise_20"]:
        assert np.diff(rules.redness(pair)) == pytest.approx(float(row["rise_20"]), abs=5e-4)
    assert rules.red_rises_20(pair)[0, 1] == (row["counts_20"] == "yes")


def test_chromaticity_agrees_with_the_reference_library():
    colour = pytest.importorskip("colour")  # colour-science, general-purpose
    codes = np.random.default_rng(5).integers(90, 256, (50, 3))
    xyz = colour.sRGB_to_XYZ(codes / 255)
    expected = colour.xy_to_Luv_uv(colour.XYZ_to_xy(xyz))
    assert rules.chromaticity_uv(codes) == pytest.approx(expected, abs=5e-4)


# "Red flash" of WCAG 2.2 knows no red that is too dark to count. Luminances by its formula.
DARK_REDS = {
    "beside blue": ((60, 0, 0), (20, 40, 60), True),  # 0.0095 and 0.0197, 0.33 apart
    "beside grey": ((8, 0, 0), (9, 9, 9), True),
    "beside red": ((60, 0, 0), (255, 0, 0), False),  # one chromaticity
    "beside black": ((0, 0, 0), (60, 0, 0), True),  # open in WCAG: the careful side
    "orange beside black": ((0, 0, 0), (255, 128, 0), True),  # only 0.12 from white
    "grey beside black": ((0, 0, 0), (60, 60, 60), False),
}


@pytest.mark.parametrize(("first", "second", "counts"), DARK_REDS.values(), ids=DARK_REDS)
def test_a_dark_red_is_a_red(first, second, counts):
    verdict = judge(*blinking(first, second, 5))
    found = verdict.findings[RED_22]
    assert found.flashes == (5 if counts else 0)
    assert found.passes == (not counts)


# Rates


@pytest.mark.parametrize(
    ("rate_hz", "flashes"), [(1, 1), (2, 2), (2.5, 3), (25 / 8, 3), (25 / 7, 4), (5, 5), (10, 10)]
)
def test_flashes_of_an_even_blink_are_counted(rate_hz, flashes):
    # WCAG: a flash is a pair of opposing changes. A second that holds both its ends meets
    # 2 f + 1 changes of a blink at a whole rate f, which are f pairs.
    verdict = judge(*blinking([0] * 3, [255] * 3, rate_hz))
    general = verdict.findings[GENERAL]
    assert general.flashes == flashes
    assert general.passes == (flashes <= 3)
    assert verdict.passes == general.passes


@pytest.mark.parametrize(
    ("rate_hz", "flashes"), [(2.9, 3), (3.0, 3), (3.1, 4)], ids=["2.9", "3.0", "3.1"]
)
@pytest.mark.parametrize("seam_cs", [0, 6, 40, 95])
def test_the_limit_is_sharp_wherever_the_seam_lies(rate_hz, flashes, seam_cs):
    # Of short flashes at 3.1 Hz the fourth ends 3 / 3.1 + 0.02 s after the first begins, within
    # one second; at 3 Hz it ends after 1.02 s.
    lit = np.zeros(1000, np.uint8)
    begins = np.floor(np.arange(round(10 * rate_hz)) * 100 / rate_hz).astype(int)
    lit[begins], lit[begins + 1] = 1, 1
    points = np.broadcast_to(np.roll(lit, seam_cs)[::2, None, None], (500, 160, 160))
    general = judge(points, [[0] * 3, [255] * 3], np.full(500, 2)).findings[GENERAL]
    assert general.flashes == flashes
    assert general.passes == (flashes == 3)


def test_each_rule_sees_its_own_flashes():
    def fails(first, second):
        verdict = judge(*blinking(rgb(first), rgb(second), 5))
        return [not finding.passes for finding in verdict.findings]

    assert fails("000000", "595959") == [False, False, False]  # grey 89
    assert fails("000000", "5a5a5a") == [True, False, False]  # grey 90
    assert fails("ffffff", "e7e7e7") == [True, False, False]  # grey 231
    assert fails("ffffff", "e8e8e8") == [False, False, False]  # grey 232
    assert fails("800000", "000000") == [False, True, True]  # dark red, too dark for the first
    assert fails("ff8000", "ff4500") == [True, True, False]
    assert fails("ff0000", "808080") == [False, True, True]  # alike in luminance


def test_ripples_neither_hide_a_flash_nor_add_one():
    up = [0, 60, 55, 90, 80, 120, 110, 160]  # every single step is below a tenth of white
    course = up + up[::-1]
    colours = np.array([[value] * 3 for value in range(256)])
    light = srgb_decode(np.array(course) / 255)
    assert np.abs(np.diff(light)).max() < 0.2
    points = np.array(course * 2, np.uint8)[:, None, None] * np.ones((1, 160, 160), np.uint8)
    verdict = judge(points, colours, np.full(len(points), 3))
    assert verdict.findings[GENERAL].flashes == 2  # 0.48 s for each swing up and down
    gentle = np.array([0, 60, 0, 60] * 12, np.uint8)[:, None, None] * np.ones(
        (1, 160, 160), np.uint8
    )
    assert judge(gentle, colours, np.full(48, 4)).findings[GENERAL].flashes == 0


@pytest.mark.parametrize("seed", range(40))
def test_rises_are_the_prominent_peaks_of_scipy(seed):
    # A peak with a prominence of a tenth (scipy.signal.find_peaks) has a rise and a fall of
    # that much beside it with nothing higher between: the changes of WCAG, ripples left aside.
    rng = np.random.default_rng(seed)
    walk = np.cumsum(rng.normal(0, 25, 200)) + 30 * rng.normal(size=200)
    codes = np.interp(walk, [walk.min(), walk.max()], [0, 225]).astype(np.uint8)
    codes = np.roll(codes, -codes.argmin())  # a loop from its darkest; all below 0.8
    greys = np.repeat(np.arange(256)[:, None], 3, axis=1)
    light = srgb_decode(np.append(codes, codes[0]) / 255)
    light += 1e-9 * np.arange(len(light))  # of peaks of one height, scipy would name each
    peaks, _ = signal.find_peaks(light, prominence=0.1)
    steps = follow(codes[:, None], rules.general_rises(greys), rounds=2)
    assert (np.stack(list(steps.way))[200:] == 1).sum() == len(peaks) > 2


def test_the_second_may_lie_across_the_seam():
    # Two flashes at the end and two at the beginning of a loop of four seconds.
    numbers = np.zeros(100, np.uint8)
    numbers[[0, 4, 92, 96]] = 1
    points = np.broadcast_to(numbers[:, None, None], (100, 160, 160))
    finding = judge(points, [[0] * 3, [255] * 3], np.full(100, 4)).findings[GENERAL]
    assert finding.flashes == 4
    assert finding.at_s > 3
    once = numbers.copy()
    once[[92, 96]] = 0
    points = np.broadcast_to(once[:, None, None], (100, 160, 160))
    assert judge(points, [[0] * 3, [255] * 3], np.full(100, 4)).findings[GENERAL].flashes == 2


def test_a_loop_shorter_than_a_second_is_played_until_a_second_is_full():
    points = np.zeros((2, 160, 160), np.uint8)
    points[1] = 1
    finding = judge(points, [[0] * 3, [255] * 3], [10, 10]).findings[GENERAL]
    assert finding.flashes == 5


# Areas


def blinking_part(width, height, shape=(256, 341), at=(0, 0)):
    """A part of the picture, in pixels, blinks at 5 Hz."""
    points = np.zeros((20, *shape), np.uint8)
    y, x = at
    points[1::2, y : y + height, x : x + width] = 1
    return points, [[0] * 3, [255] * 3], np.full(20, 10)


def test_a_quarter_of_the_field_may_flash_and_no_more():
    # "Understanding SC 2.3.1": 25 % of 341 x 256 pixels, 21 824 pixels.
    assert Viewing().limit_px == 21824
    assert 176 * 124 == 21824
    allowed = judge(*blinking_part(176, 124)).findings[GENERAL]
    assert allowed.passes
    assert allowed.quick_area == pytest.approx(0.25)
    too_much = judge(*blinking_part(177, 124)).findings[GENERAL]
    assert not too_much.passes
    assert too_much.flashes == 5
    assert too_much.box == (0, 0, 177, 124)


def test_the_quarter_is_that_of_the_solid_angle():
    # "Understanding SC 2.3.1": 0.006 steradian is a quarter of a cone of 10 degrees.
    cone_sr = 2 * np.pi * (1 - np.cos(np.radians(5)))
    assert cone_sr / 4 == pytest.approx(0.006, abs=5e-5)


@pytest.mark.parametrize(
    ("width", "height", "factor", "words"),
    [
        (176, 124, 1.0, "but not shown larger"),
        (110, 79, 1.5, "also 1.5 times as large, but not larger"),  # 8690 px times 1.5^2, 2^2
        (30, 40, 4.0, "also 4 times as large, but not larger"),  # 19 200 px at 4, 43 200 at 6
        (15, 20, 1920 / 341, "also on a whole screen"),  # 300 px times 5.63^2 are 9511
    ],
)
def test_how_much_larger_it_may_be_shown(width, height, factor, words):
    verdict = judge(*blinking_part(width, height))
    assert verdict.safe_enlargement == factor
    assert verdict.summary.endswith(words)
    assert "25% are allowed" in verdict.summary


def test_a_small_picture_is_judged_up_to_a_whole_screen():
    # 24 x 24 px are 20 736 px six times larger and 36 864 px eight times; a screen of 1920 px
    # is thirty times as wide as the picture.
    verdict = judge(*blinking_part(24, 24, (64, 64)))
    assert verdict.safe_enlargement == 6
    steady = judge(*blinking_part(0, 0, (64, 64)))
    assert steady.safe_enlargement == 30
    assert judge(*blinking_part(20, 20, (400, 1920))).safe_enlargement == 1
    assert steady.summary.endswith("also on a whole screen")


@pytest.mark.parametrize("seed", range(6))
def test_the_largest_safe_size_is_found_as_by_trying_each(seed):
    rng = np.random.default_rng(seed)
    width, height = rng.integers(12, 90, 2)  # 12 x 12 px are 36 864 px sixteen times larger
    points, colours, delays = blinking_part(width, height, (90, 120))
    points &= rng.random((90, 120)) < 0.9
    verdict = judge(points, colours, delays)
    factors = [1.0, *(f for f in ENLARGEMENTS if f < 16), 16.0]  # 1920 to 120 pixels
    enlarged = [Viewing().enlarged(factor) for factor in factors]
    safe = [judge(points, colours, delays, viewing).passes for viewing in enlarged]
    assert verdict.safe_enlargement == factors[safe.index(False) - 1] < 16


def test_the_stated_distance_gives_the_field_of_the_standard():
    # "Understanding SC 2.3.1", from memory: 1024 x 768 on 15 to 17 inches, 22 to 26 inches away.
    for diagonal, distance in ((15, 22), (17, 26)):
        pixels = 2 * distance * np.tan(np.radians(5)) / (diagonal * 0.8 / 1024)
        assert pixels == pytest.approx(341, rel=0.05)
    assert 2 * 57 * np.tan(np.radians(5)) == pytest.approx(10, abs=0.05)
    assert "10 cm wide from 57 cm away" in str(Viewing())


def test_what_fails_is_safe_at_no_size():
    verdict = judge(*blinking_part(200, 200))
    assert verdict.safe_enlargement is None
    assert verdict.summary.startswith("flashes too much: general flashes")


def test_what_flashes_far_apart_is_not_added_up():
    shape = (256, 1000)
    points, colours, delays = blinking_part(150, 120, shape)
    points[1::2, :120, 850:] = 1
    verdict = judge(points, colours, delays)
    assert verdict.passes
    points[1::2, :120, 200:260] = 1
    finding = judge(points, colours, delays).findings[GENERAL]
    assert not finding.passes
    assert finding.box == (0, 0, 260, 120)


def test_flashes_that_wander_are_found():
    # Left and right half take turns, two flashes a second each: four in the field.
    points = np.zeros((8, 60, 120), np.uint8)
    points[0:8:4, :, :60] = 1
    points[2:8:4, :, 60:] = 1
    half = Viewing(field_px=(120, 60))
    colours, delays = [[0] * 3, [255] * 3], np.full(8, 12)
    finding = judge(points, colours, delays, half).findings[GENERAL]
    assert finding.flashes == 4
    assert finding.quick_area == 0  # no one place flashes that often
    together = points.max(axis=2, keepdims=True) * 0
    together[0:8:4] = 1
    both = np.broadcast_to(together, (8, 60, 120))
    assert judge(both, colours, delays, half).findings[GENERAL].flashes == 2


def test_a_slow_wave_is_one_change():
    # A bright edge crosses the picture in half a second and back: one flash a second.
    points = np.zeros((20, 60, 120), np.uint8)
    for k in range(10):
        points[k, :, : 12 * (k + 1)] = 1
        points[10 + k, :, : 120 - 12 * (k + 1)] = 1
    view = Viewing(field_px=(120, 60))
    finding = judge(points, [[0] * 3, [255] * 3], np.full(20, 5), view).findings[GENERAL]
    assert finding.flashes == 1


def test_points_out_of_step_still_count():
    # Every place flashes five times a second, each in its own time: never a quarter at once.
    rng = np.random.default_rng(2)
    start = rng.integers(0, 10, (60, 90))
    frame = np.arange(50)[:, None, None]
    points = ((frame + start) % 10 == 0).astype(np.uint8)
    view = Viewing(field_px=(90, 60))
    finding = judge(points, [[0] * 3, [255] * 3], np.full(50, 2), view).findings[GENERAL]
    assert finding.flashes == 5


# Against the slow reference


def hues(count, rng):
    """Colours of which many are near to a limit: greys, reds, oranges and black."""
    warm = [colorsys.hsv_to_rgb(rng.uniform(0, 0.12), 1, rng.uniform(0.2, 1)) for _ in range(count)]
    grey = [[value] * 3 for value in rng.uniform(0, 1, count)]
    some = rng.permutation(np.array([*warm, *grey, *rng.uniform(0, 1, (count, 3))]))[:count]
    return np.unique(np.rint(255 * some).astype(int), axis=0)


def spread_out(shape, rng):
    """Which of four courses each pixel takes: patches, stripes, lattices or a block, [h, w]."""
    y, x = np.indices(shape)
    kind, step, start, size = rng.integers([0, 1, 0, 1], [5, 6, 4, 8])
    within = (y >= start) & (y < start + size) & (x >= start // 2) & (x < start // 2 + 8 - size)
    rest = rng.integers(0, 4) * rng.integers(0, 2)
    return (
        rng.integers(0, 4, shape),
        np.where(x % step == start % step, 3, rest),
        np.where(y % step == start % step, 3, rest),
        np.where((x + start) % step + y % 2 == 0, 3, rest),
        np.where(within, 3, rest),
    )[kind]


def flicker(count, kinds, rng):
    """Four courses through `kinds` colours [count, 4]: at random, or to and fro."""
    courses = rng.integers(0, kinds, (count, 4))
    frame = np.arange(count)[:, None]
    lively = rng.uniform(0.05, 0.9)
    for k in range(1, count):
        stays = rng.random(4) > lively
        courses[k, stays] = courses[k - 1, stays]
    pair = rng.integers(0, kinds, (2, 4))
    blink = np.where((frame // rng.integers(1, 4)) % 2 == 1, *pair)
    return np.where(rng.random(4) < 0.5, blink, courses)


FIELDS = [(4, 3), (5, 4), (6, 3), (7.5, 2.5)]


@pytest.mark.parametrize("seed", range(20))
def test_random_pictures_agree_with_the_slow_reference(seed):
    """A hundred each: no pixel is missed, wherever it lies, and none is found that is not."""
    rng = np.random.default_rng(seed)
    failed = 0
    for _ in range(100):
        colours = hues(rng.integers(2, 24), rng)
        count, shape = rng.integers(2, 24), rng.integers(2, 8, 2)
        shown = flicker(count, len(colours), rng)[:, spread_out(shape, rng)].astype(np.uint8)
        delays = rng.integers(4, 18, count)
        field = FIELDS[rng.integers(len(FIELDS))]
        frames = [[[tuple(map(int, colours[n])) for n in row] for row in f] for f in shown]
        expected = slow_flashes.judge(frames, delays.tolist(), field)
        verdict = judge(shown, colours, delays, Viewing(field))
        assert [(f.flashes, f.quick_px) for f in verdict.findings] == expected
        assert verdict.passes == all(flashes <= slow_flashes.MOST for flashes, _ in expected)
        failed += not verdict.passes
    assert 10 < failed < 90


def lit_where(where, rate_hz=5):
    """Those pixels blink."""
    half_cs = round(50 / rate_hz)
    shown = np.zeros((20, *where.shape), np.uint8)
    shown[1::2] = where
    return shown, [[0] * 3, [255] * 3], np.full(20, half_cs)


Y, X = np.indices((256, 341))
PATTERNS = {
    "columns 0 and 2 of 3": (X % 3 != 1, 227 * 256),
    "columns 0 of 3": (X % 3 == 0, 114 * 256),
    "rows 0 of 3": (Y % 3 == 0, 86 * 341),
    "a lattice": ((X + Y) % 3 == 0, 29099),
    "148 x 148": ((X >= 1) & (X < 149) & (Y >= 2) & (Y < 150), 21904),
    "149 x 149": ((X >= 2) & (X < 151) & (Y >= 2) & (Y < 151), 22201),
    "one column more than a quarter": ((X < 85) | (X == 86) & (Y < 65), 21825),
    "a quarter": ((X < 85) | (X == 86) & (Y < 64), 21824),
    "every fifth column": (X % 5 == 1, 68 * 256),
}


@pytest.mark.parametrize(("where", "pixels"), PATTERNS.values(), ids=PATTERNS)
def test_every_pixel_of_a_stripe_counts(where, pixels):
    # "Understanding SC 2.3.1": 25 % of 341 x 256 pixels are 21 824 pixels.
    assert where.sum() == pixels
    verdict = judge(*lit_where(where))
    assert verdict.passes == (pixels <= 21824)
    finding = verdict.findings[GENERAL]
    assert finding.quick_px == pixels
    assert f"{pixels / 87296:.2%} of a field of view ({pixels:,} of its 87,296" in str(finding)


@pytest.mark.parametrize("seed", range(30))
def test_what_is_safe_up_to_a_size_is_safe_at_all_sizes_below(seed):
    rng = np.random.default_rng(seed)
    courses, places = flicker(20, 2, rng), spread_out((24, 36), rng)
    shown = courses[:, places] * (rng.random((24, 36)) < 0.5)
    about = [[0] * 3, [255] * 3], rng.integers(5, 12, 20)
    near = Viewing((30, 24), 0.6)
    safe = judge(shown, *about, near).safe_enlargement
    sizes = np.linspace(1, safe, 7) if safe else []
    assert all(judge(shown, *about, near.enlarged(size)).passes for size in sizes)


# What is said and kept


def test_the_verdict_says_when_where_and_how_many():
    verdict = judge(*blinking([0] * 3, [255] * 3, 5, shape=(200, 200)))
    text = str(verdict)
    assert "general flashes (WCAG 2.x): TOO MANY, 5 in the second from" in text
    assert "x 0 to 200, y 0 to 200" in text
    assert "red flashes (WCAG 2.2): passes" in text
    assert [finding.rule.name for finding in verdict.failures] == ["general flashes (WCAG 2.x)"]
    assert "341 x 256" in str(verdict.viewing)
    assert verdict.most.max() == 5
