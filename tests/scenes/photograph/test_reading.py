"""Photographs as linear light, and what is no photograph."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image
from scenes.photograph.camera import P3, SRGB, Camera, packed, profile

from fxstudio.errors import FxError
from fxstudio.scenes.photograph.reading import Framing, read_photograph

RNG = np.random.default_rng(5)
PATCHES = RNG.uniform(0.02, 0.95, (3, 6, 8)).repeat(16, axis=1).repeat(16, axis=2)
SIZE = (128, 96)


def patches(light):
    """The mean of the inside of each patch [3, 6, 8]."""
    return light.reshape(3, 6, 16, 8, 16)[:, :, 4:12, :, 4:12].mean(axis=(2, 4))


@pytest.mark.parametrize(("quality", "within"), [(None, 0.006), (95, 0.02)], ids=["png", "jpeg"])
@pytest.mark.parametrize("p3", [False, True], ids=["sRGB", "Display P3"])
def test_codes_become_the_light_they_stand_for(tmp_path, p3, quality, within):
    """IEC 61966-2-1 and the P3 primaries, by colour-science."""
    file = tmp_path / "a.jpg"
    file.write_bytes(Camera(p3=p3, quality=quality).file(PATCHES, SIZE, RNG))
    assert np.allclose(patches(read_photograph(file).light), patches(PATCHES), atol=within)


def test_a_red_that_srgb_has_not_is_kept(tmp_path):
    """The P3 red is (1.2249, -0.0420, -0.0196) in linear sRGB, by colour-science."""
    file = tmp_path / "red.png"
    image = Image.new("RGB", (64, 64), (255, 0, 0))
    image.save(file, icc_profile=profile(P3))
    expected = np.linalg.inv(SRGB.matrix_RGB_to_XYZ) @ P3.matrix_RGB_to_XYZ @ [1, 0, 0]
    assert np.allclose(read_photograph(file).light.mean((1, 2)), expected, atol=0.003)


def test_a_profile_with_another_curve_is_undone(tmp_path):
    """A power law of 1.8: ICC.1:2010, curve type 0."""
    file = tmp_path / "grey.png"
    Image.new("RGB", (64, 64), (128, 128, 128)).save(file, icc_profile=profile(SRGB, gamma=1.8))
    assert read_photograph(file).light == pytest.approx((128 / 255) ** 1.8, abs=0.004)


def test_light_is_averaged_when_a_picture_becomes_smaller(tmp_path):
    """Lines of black and white are half as bright as white, not code 128."""
    lines = np.zeros((3200, 2400, 3), np.uint8)
    lines[:, ::2] = 255
    Image.fromarray(lines).save(tmp_path / "lines.png", compress_level=1)
    photograph = read_photograph(tmp_path / "lines.png")
    assert photograph.light.shape == (3, 1600, 1200)
    assert photograph.light.mean() == pytest.approx(0.5, abs=0.002)
    assert photograph.clipped.all()


# Where the first row and column of the stored picture are seen: Exif 2.32, tag Orientation.
@pytest.mark.parametrize(
    ("orientation", "corner"), [(1, (0, 0)), (3, (-1, -1)), (6, (0, -1)), (8, (-1, 0))]
)
def test_it_stands_as_the_camera_was_held(tmp_path, orientation, corner):
    codes = np.zeros((96, 128, 3), np.uint8)
    codes[:16, :16] = 255
    file = tmp_path / "a.png"
    file.write_bytes(packed(Image.fromarray(codes), Camera(quality=None), t274=orientation))
    light = read_photograph(file).light
    assert light[0][corner] == 1
    assert light[0].mean() == pytest.approx(256 / (96 * 128), rel=0.01)


def test_a_part_of_it_turned(tmp_path):
    codes = np.zeros((96, 192, 3), np.uint8)
    codes[:, 96:] = 255
    Image.fromarray(codes).save(tmp_path / "a.png")
    photograph = read_photograph(tmp_path / "a.png", Framing(90, (0.0, 0.5, 1.0, 1.0)))
    assert photograph.light.shape == (3, 96, 96)
    assert photograph.light.min() == 1  # its right half lies below when turned clockwise


def test_the_exposure_is_what_the_camera_says(tmp_path):
    for name, camera in {"a": Camera(), "b": Camera(seconds=1 / 8, iso=200, f_number=4.0)}.items():
        (tmp_path / name).write_bytes(camera.file(PATCHES, SIZE, RNG))
    one, other = (read_photograph(tmp_path / name).exposure for name in "ab")
    assert other.times(one) == pytest.approx(30 / 8 * 2 / 4)


@pytest.mark.parametrize("camera", [Camera(exif=False), Camera(seconds=0)])
def test_a_camera_that_says_nothing_of_use(tmp_path, camera):
    (tmp_path / "a.jpg").write_bytes(packed(Image.new("RGB", (64, 64)), camera))
    assert read_photograph(tmp_path / "a.jpg").exposure is None


def saved(image, kind, **settings):
    file = io.BytesIO()
    image.save(file, kind, **settings)
    return file.getvalue()


def png_head(width, height):
    """A PNG that claims to be so large and holds one row; chunks by the PNG specification."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    packed = [
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


PLAIN = Image.fromarray(RNG.integers(0, 255, (96, 128, 3), dtype=np.uint8))
BAD = {
    "a text": (b"this is no picture", "is not a picture that can be read"),
    "nothing": (b"", "is not a picture that can be read"),
    "0 x 0": (png_head(0, 0), "picture"),
    "200 megapixels": (png_head(20000, 10000), "has too many pixels"),
    "a bomb": (png_head(100000, 100000), "has too many pixels"),
    "70 megapixels": (png_head(10000, 7000), "has too many pixels"),
    "inks": (saved(PLAIN.convert("CMYK"), "JPEG"), "printing inks"),
    "16 bits": (saved(Image.new("I;16", (96, 96)), "PNG"), "more than 8 bits"),
    "floats": (saved(Image.new("F", (96, 96)), "TIFF"), "more than 8 bits"),
    "bits": (saved(Image.new("1", (96, 96)), "PNG"), "black and white only"),
    "moving": (
        saved(PLAIN, "GIF", save_all=True, append_images=[PLAIN.rotate(90)]),
        "moves, or has several",
    ),
    "truncated JPEG": (saved(PLAIN, "JPEG")[:900], "is a damaged picture"),
    "truncated PNG": (saved(PLAIN, "PNG")[:900], "is a damaged picture"),
    "small": (saved(PLAIN.resize((40, 90)), "PNG"), "is too small"),
    "a wrong profile": (saved(PLAIN, "PNG", icc_profile=b"none"), "colour profile"),
}


@pytest.mark.parametrize(("data", "problem"), BAD.values(), ids=BAD)
def test_what_cannot_be_used_is_named_and_refused(tmp_path, data, problem):
    file = tmp_path / "lamp.jpg"
    file.write_bytes(data)
    with pytest.raises(FxError) as error:
        read_photograph(file)
    assert error.value.file == file
    assert problem in error.value.problem
    assert error.value.remedy


@pytest.mark.parametrize("name", ["none.jpg", "."])
def test_a_file_that_is_not_there(tmp_path, name):
    with pytest.raises(FxError) as error:
        read_photograph(tmp_path / name)
    assert error.value.file == tmp_path / name


def test_a_phones_picture_with_a_second_one_in_it(tmp_path):
    """Multi-Picture Format, CIPA DC-007: the first is the photograph."""
    file = tmp_path / "a.jpg"
    file.write_bytes(saved(PLAIN, "MPO", save_all=True, append_images=[PLAIN.rotate(180)]))
    assert read_photograph(file).taken_px == (128, 96)
