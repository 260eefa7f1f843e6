"""Scenes and frames.

Outside truths: the sRGB coding of IEC 61966-2-1:1999 (values computed from its published
formula, see `SRGB_CODES`) and colour-science's own implementation of it.
"""

from __future__ import annotations

import colour as colour_science
import numpy as np
import pytest

from fxstudio import colour
from fxstudio.errors import InputError
from fxstudio.scenes.catalogue import SCENES, Scene, draw_scene, find_scene
from fxstudio.scenes.drawn import cab
from fxstudio.scenes.drawn.fittings import lamp_case, lens_glare
from fxstudio.scenes.drawn.surface import Canvas
from fxstudio.scenes.render import BRIGHTEST, KNEE, Renderer, tone_curve

ORANGE = colour.lamp_rgb(colour.wavelength_to_xyz(605))
YELLOW = colour.lamp_rgb(colour.temperature_to_xyz(1900))
WHITE = np.ones(3)

SIZE = (120, 80)
PLACES = [(scene, place) for scene, row in SCENES.items() for place in row.places]

# Linear light -> 8-bit code. Source: IEC 61966-2-1:1999, computed from the transfer function
# 12.92 L up to 0.0031308, else 1.055 L^(1/2.4) - 0.055; 0 and 1 are its ends.
SRGB_CODES = {0: 0, 0.01: 25, 0.05: 63, 0.1: 89, 0.18: 118, 0.2: 124, 0.25: 137}


def plain_scene(light: float = 1.0, ambient: float = 0.0, shape: tuple[int, int] = (2, 3)) -> Scene:
    """An evenly lit scene with one place, for exact sums."""
    full = np.full((3, *shape), light, np.float32)
    return Scene("plain", np.full_like(full, ambient), {"bed": full})


def exact_frame(renderer: Renderer, scene: Scene, places, colours, brightness) -> np.ndarray:
    """The frame in float64 without tables: sum, tone curve, colour-science's sRGB."""
    light = scene.ambient.astype(float)
    for place, rgb, strength in zip(places, colours, brightness, strict=True):
        light = light + scene.light[place].astype(float) * np.reshape(rgb, (3, 1, 1)) * strength
    largest = np.maximum(light.max(axis=0), 1e-12)
    shown = light * tone_curve(largest) / largest
    return np.rint(255 * colour_science.cctf_encoding(shown, "sRGB")).transpose(1, 2, 0)


def chromaticity(linear: np.ndarray) -> np.ndarray:
    return linear / linear.sum(axis=-1, keepdims=True)


# Frames


@pytest.mark.parametrize(("light", "code"), SRGB_CODES.items())
def test_light_is_coded_as_srgb(light: float, code: int) -> None:
    assert light <= KNEE, "only light below the knee is shown as it is"
    frame = Renderer(plain_scene(), ["bed"], [WHITE]).frame([light])
    assert (frame == code).all()


def test_frame_is_within_one_code_of_an_exact_sum() -> None:
    scene = draw_scene(find_scene("cab"), 240, 160)
    places, colours = ["bed", "flames", "door", "bed"], [ORANGE, YELLOW, WHITE, YELLOW]
    renderer = Renderer(scene, places, colours)
    for brightness in ([0, 0, 0, 0], [0.35, 0.4, 0, 0], [1, 1, 1, 1], [0.013, 0.002, 0.5, 0.9]):
        exact = exact_frame(renderer, scene, places, colours, brightness)
        assert np.abs(renderer.frame(brightness).astype(float) - exact).max() <= 1


def test_every_level_of_light_is_within_one_code() -> None:
    ramp = np.geomspace(1e-5, BRIGHTEST, 30_000, dtype=np.float32).reshape(1, 150, 200)
    tinted = ramp * np.reshape([1.0, 0.31, 0.02], (3, 1, 1)).astype(np.float32)
    scene = Scene("ramp", np.zeros_like(tinted), {"bed": tinted})
    renderer = Renderer(scene, ["bed"], [WHITE])
    exact = exact_frame(renderer, scene, ["bed"], [WHITE], [1.0])
    assert np.abs(renderer.frame([1.0]).astype(float) - exact).max() <= 1


def test_light_adds_up_before_the_tone_curve() -> None:
    renderer = Renderer(draw_scene(find_scene("cab"), *SIZE), ["bed", "flames"], [ORANGE, YELLOW])
    dark, bed = renderer.linear([0, 0]), renderer.linear([0.7, 0]) - renderer.linear([0, 0])
    flames = renderer.linear([0, 0.4]) - dark
    np.testing.assert_allclose(renderer.linear([0.7, 0.4]), dark + bed + flames, atol=2e-6)
    np.testing.assert_allclose(renderer.linear([0.35, 0]) - dark, bed / 2, atol=2e-6)


def test_lamps_that_share_a_place_add() -> None:
    scene = draw_scene(find_scene("cab"), *SIZE)
    two = Renderer(scene, ["bed", "bed"], [ORANGE, ORANGE])
    one = Renderer(scene, ["bed"], [ORANGE])
    np.testing.assert_allclose(two.linear([0.2, 0.3]), one.linear([0.5]), atol=2e-6)


def test_dark_lamps_leave_the_ambient_light() -> None:
    scene = draw_scene(find_scene("front"), *SIZE)
    renderer = Renderer(scene, ["head_left", "tail"], [WHITE, ORANGE])
    np.testing.assert_array_equal(renderer.linear([0, 0]), scene.ambient)
    np.testing.assert_array_equal(renderer.frame([0, 0]), Renderer(scene, [], []).frame([]))


@pytest.mark.parametrize("overload", [1.0, 4.0, 15.0, 60.0])
def test_bright_fire_keeps_its_hue(overload: float) -> None:
    lamp = np.array([1.0, 0.45, 0.18])  # all channels well above the steps of 8 bit
    frame = Renderer(plain_scene(), ["bed"], [lamp]).frame([overload])
    shown = colour.srgb_decode(frame[0, 0] / 255)
    np.testing.assert_allclose(chromaticity(shown), chromaticity(lamp), atol=0.004)
    assert frame[0, 0, 0] < 255


def test_tone_curve_is_straight_then_bends_and_never_reaches_one() -> None:
    light = np.linspace(0, 60, 20_001)
    shown = tone_curve(light)
    np.testing.assert_array_equal(shown[light <= KNEE], light[light <= KNEE])
    slope = np.diff(shown) / np.diff(light)
    assert (slope > 0).all()
    assert (np.diff(slope) < 1e-9).all()
    assert shown.max() < 1


def test_more_light_is_never_darker() -> None:
    renderer = Renderer(draw_scene(find_scene("cab"), *SIZE), ["bed", "flames"], [ORANGE, YELLOW])
    steps = np.linspace(0, 1, 25)
    last = renderer.frame([0.35, 0]).astype(int).max(axis=2)
    for step in steps[1:]:
        largest = renderer.frame([0.35, step]).astype(int).max(axis=2)
        assert (largest >= last).all()
        last = largest


def test_frame_and_frames_give_the_same_bytes() -> None:
    renderer = Renderer(draw_scene(find_scene("cab"), *SIZE), ["bed", "flames"], [ORANGE, YELLOW])
    rows = np.random.default_rng(5).random((7, 2))
    pictures = list(renderer.frames(rows))
    for row, picture in zip(rows, pictures, strict=True):
        assert picture.tobytes() == renderer.frame(row).tobytes()
    assert pictures[0].tobytes() != pictures[1].tobytes(), "frames must not share one buffer"


def test_frame_has_the_shape_that_pictures_have() -> None:
    renderer = Renderer(draw_scene(find_scene("front"), *SIZE), ["tail"], [WHITE])
    frame = renderer.frame([1])
    assert renderer.shape == (80, 120)
    assert frame.shape == (80, 120, 3)
    assert frame.dtype == np.uint8
    assert frame.flags.c_contiguous


# Scenes


@pytest.mark.parametrize("size", [(48, 32), (120, 80), (64, 96)])
@pytest.mark.parametrize("name", SCENES)
def test_scene_draws_at_any_size(name: str, size: tuple[int, int]) -> None:
    scene = draw_scene(find_scene(name), *size)
    assert set(scene.light) == set(SCENES[name].places)
    for planes in (scene.ambient, *scene.light.values()):
        assert planes.shape == (3, size[1], size[0])
        assert planes.dtype == np.float32
        assert np.isfinite(planes).all()
        assert planes.min() >= 0


@pytest.mark.parametrize(("name", "place"), PLACES)
def test_every_place_lights_the_picture(name: str, place: str) -> None:
    renderer = Renderer(draw_scene(find_scene(name), *SIZE), [place], [YELLOW])
    change = np.abs(renderer.frame([1]).astype(int) - renderer.frame([0])).max(axis=2)
    assert change.max() >= 60
    assert (change >= 3).mean() > 0.02, "light must reach more than the lamp itself"


@pytest.mark.parametrize("name", SCENES)
def test_the_dark_scene_is_dim_and_can_be_made_out(name: str) -> None:
    scene = draw_scene(find_scene(name), *SIZE)
    lightness = colour.lightness(colour.luminance(np.moveaxis(scene.ambient, 0, -1)))
    assert 3 < lightness.mean() < 30
    red, _, blue = scene.ambient.mean(axis=(1, 2))
    assert blue > red, "dusk is bluer than the fire"


@pytest.mark.parametrize("name", SCENES)
def test_a_larger_picture_shows_the_same_scene(name: str) -> None:
    small, large = draw_scene(find_scene(name), 120, 80), draw_scene(find_scene(name), 240, 160)
    for place in SCENES[name].places:
        # Compared in blocks of a twentieth of the height: grain finer than a pixel may differ.
        one = small.light[place].reshape(3, 20, 4, 30, 4).mean(axis=(2, 4))
        other = large.light[place].reshape(3, 20, 8, 30, 8).mean(axis=(2, 4))
        assert np.corrcoef(one.ravel(), other.ravel())[0, 1] > 0.97
        assert one.mean() == pytest.approx(other.mean(), rel=0.1)


def test_the_fire_burns_in_the_firehole() -> None:
    scene = draw_scene(find_scene("cab"), 240, 160)
    x, y, a, b = cab.HOLE
    row, column = np.mgrid[0:160, 0:240]
    px, py = (column + 0.5 - 120) / 160, (row + 0.5) / 160
    hole = ((px - x) / a) ** 2 + ((py - y) / b) ** 2 < 1
    for place in ("bed", "flames"):
        light = scene.light[place][0]
        assert light[hole].mean() > 4 * light[~hole].mean()
    above, below = hole & (py < y), hole & (py > y + 0.03)
    assert scene.light["flames"][0][above].mean() > 3 * scene.light["bed"][0][above].mean()
    assert scene.light["bed"][0][below].mean() > scene.light["flames"][0][below].mean()
    far = ~hole & (py > 0.85)
    assert scene.light["door"][0][far].mean() > 3 * scene.light["bed"][0][far].mean()


def test_a_lamp_of_the_kit_fits_any_scene_at_any_size() -> None:
    """One lens twice as large, in a picture half as high, fills the same pixels."""

    def lamp(height: int, lens: float) -> tuple[np.ndarray, np.ndarray]:
        canvas = Canvas(height, height, (0.0, 0.5, 2.0))
        lamp_case(canvas, 0.0, 0.5, lens=lens)
        return canvas.solid, lens_glare(canvas, 0.0, 0.5, lens)

    (small, small_light), (large, large_light) = lamp(80, 0.08), lamp(160, 0.04)
    middle = np.s_[40:120, 40:120]
    np.testing.assert_allclose(large[middle], small, atol=0.02)
    assert small_light.argmax() // 80 == large_light[middle].argmax() // 80
    assert small_light[40, 40] == pytest.approx(large_light[80, 80], rel=0.1)


def test_drawing_again_gives_the_same_light() -> None:
    draw_scene.cache_clear()
    first = draw_scene(find_scene("cab"), *SIZE)
    assert draw_scene(find_scene("cab"), *SIZE) is first
    draw_scene.cache_clear()
    second = draw_scene(find_scene("cab"), *SIZE)
    assert second is not first
    assert first.ambient.tobytes() == second.ambient.tobytes()
    for place in first.light:
        assert first.light[place].tobytes() == second.light[place].tobytes()


def test_a_drawn_scene_cannot_be_changed_by_accident() -> None:
    with pytest.raises(ValueError, match="read-only"):
        draw_scene(find_scene("cab"), *SIZE).ambient[:] = 0


# Errors


def test_unknown_scene_names_those_there_are() -> None:
    with pytest.raises(InputError) as caught:
        find_scene("kitchen")
    assert str(caught.value) == (
        "field 'scene': is not a scene\n"
        "  given:   kitchen\n"
        "  allowed: cab, front, ashpan, side, saloon\n"
        "  do:      choose one of these, or the folder of a photographed scene beside the file"
    )


@pytest.mark.parametrize(("size", "field"), [((8, 64), "width"), ((64, 5000), "height")])
def test_size_out_of_range(size: tuple[int, int], field: str) -> None:
    with pytest.raises(InputError, match=f"field '{field}'") as caught:
        draw_scene(find_scene("cab"), *size)
    assert "allowed: 16 to 4096 pixels" in str(caught.value)


def test_unknown_place_names_those_of_the_scene() -> None:
    with pytest.raises(InputError) as caught:
        Renderer(draw_scene(find_scene("cab"), *SIZE), ["bed", "tail"], [WHITE, WHITE])
    assert str(caught.value) == (
        "field 'places[1]': the scene 'cab' has no place 'tail'\n"
        "  given:   tail\n"
        "  allowed: bed, flames, door, gauge\n"
        "  do:      give the lamp one of these places, or choose another scene"
    )


@pytest.mark.parametrize("colours", [[[1, 1, 1], [1, 1, 1]], [1, 1, 1], [[1, -1, 0]]])
def test_colours_that_do_not_fit(colours: list) -> None:
    with pytest.raises(InputError) as caught:
        Renderer(plain_scene(), ["bed"], colours)
    assert caught.value.field == "colours"
    assert caught.value.allowed == "1 rows of red, green and blue, each 0 or more"


@pytest.mark.parametrize("brightness", [[], [1, 1], [[1]], [-0.1], [float("nan")]])
def test_brightness_that_does_not_fit(brightness: list) -> None:
    with pytest.raises(InputError) as caught:
        Renderer(plain_scene(), ["bed"], [WHITE]).frame(brightness)
    assert caught.value.field == "brightness"


# What the renderer shall draw, in plain words and all of the picture at once. Its bands, and what
# it leaves out where no lamp reaches or the tone curve is straight, may change no byte.
def plain_frame(scene: Scene, places, colours, brightness) -> np.ndarray:
    """One float32 product of the maps, the table of the tone curve, the table of sRGB."""
    maps = [scene.ambient.ravel()]
    for place, rgb in zip(places, np.asarray(colours, np.float32), strict=True):
        maps.append((scene.light[place] * rgb[:, None, None]).ravel())
    planes = (np.float32([1, *brightness]) @ np.stack(maps)).reshape(3, -1)
    largest = planes.max(axis=0)
    planes *= np.where(largest > BRIGHTEST, BRIGHTEST / np.maximum(largest, BRIGHTEST), 1)
    steps = np.float32(((1 << 15) - 1) / BRIGHTEST)
    level = (np.arange(1 << 15) + 0.5) / steps
    tone = ((1 << 16) * tone_curve(level) / level).astype(np.float32)
    factor = tone[(np.minimum(largest, np.float32(BRIGHTEST)) * steps).astype(int)]
    codes = colour.srgb8((np.arange(1 << 16) + 0.5) / (1 << 16))
    picture = codes[(planes * factor).astype(int).clip(0, (1 << 16) - 1)]
    return picture.T.reshape(*scene.ambient.shape[1:], 3)


@pytest.mark.parametrize("size", [(480, 320), (96, 133), (121, 80)])
@pytest.mark.parametrize("name", SCENES)
def test_a_frame_is_byte_for_byte_that_of_the_plain_formula(name, size) -> None:
    chance = np.random.default_rng(7)
    scene = draw_scene(find_scene(name), *size)
    for count in (1, 2, 4):
        places = chance.choice(sorted(scene.light), count)
        colours = chance.uniform(0, 1.4, (count, 3))
        renderer = Renderer(scene, places, colours)
        for most in (1.0, 1.0, 0.02, 1.0, 40.0):
            brightness = most * chance.random(count).astype(np.float32)
            plain = plain_frame(scene, places, colours, brightness)
            assert np.array_equal(renderer.frame(brightness), plain)


def test_what_no_lamp_reaches_stays_as_it_is() -> None:
    light = np.zeros((3, 400, 200), np.float32)
    light[:, 300:, 150:] = 0.3
    ambient = np.random.default_rng(2).random(light.shape).astype(np.float32)
    scene = Scene("corner", ambient, {"bed": light})
    renderer = Renderer(scene, ["bed"], [WHITE])
    for brightness in ([0.0], [1.0], [3.0], [0.2]):
        plain = plain_frame(scene, ["bed"], [WHITE], brightness)
        assert np.array_equal(renderer.frame(brightness), plain)
