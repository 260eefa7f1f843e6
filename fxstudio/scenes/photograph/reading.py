"""A photograph as linear light: its profile, its orientation and its exposure.

Codes become light before anything is scaled, so that small and large pictures hold the same
light. EXIF is read here and goes no further than the orientation and the exposure.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from hashlib import sha256
from math import isfinite
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from fxstudio.arrays import Bools, Bytes, Floats
from fxstudio.colour import srgb_decode
from fxstudio.errors import InputError, ReadError

from .maps import MOST_HIGH_PX, MOST_WIDE_PX

LEAST_PX = 64
MOST_PIXELS = 64_000_000
MOST_BYTES = 200_000_000

CLIPPED_CODE = 250
"""Codes from here on may stand for any light above: compression does not leave 255 as it is."""

MODES: Final = ("RGB", "RGBA", "L", "LA", "P")
OTHER_MODES: Final = {
    "CMYK": "is in printing inks (CMYK), which say nothing of light",
    "LAB": "is in Lab, as no camera saves it",
    "YCbCr": "is in YCbCr without a conversion",
    "1": "is in black and white only",
}
FORMATS: Final = "a JPEG, PNG, WebP or TIFF picture with 8 bits a colour"
SAVE_ANEW: Final = "save it as JPEG or PNG with 8 bits a colour, in sRGB or Display P3"

# Tags of Exif 2.32 (CIPA DC-008).
EXIF_IFD, EXPOSURE_TIME, F_NUMBER, ISO = 0x8769, 0x829A, 0x829D, 0x8827


@dataclass(frozen=True)
class Exposure:
    """How much light a camera took, as it wrote it into the picture.

    seconds : exposure time
    iso : sensitivity
    f_number : focal length by aperture; None if the camera does not say, as with a fixed one
    """

    seconds: float
    iso: float
    f_number: float | None

    def times(self, other: Exposure) -> float | None:
        """How many times as bright this one shows the same light as `other` does, or None."""
        if (self.f_number is None) != (other.f_number is None):
            return None
        return self._light / other._light

    @property
    def _light(self) -> float:
        return self.seconds * self.iso / (self.f_number or 1.0) ** 2


@dataclass(frozen=True)
class Framing:
    """Which part of each photograph is taken, and which way up.

    turn : degrees clockwise: 0, 90, 180 or 270, after the camera's own orientation
    crop : left, top, right and bottom of the part, as shares of the turned picture
    """

    turn: int = 0
    crop: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True, eq=False)
class Photograph:
    """A photograph in linear light.

    file : where it was read from
    light : linear sRGB [3, h, w], single precision; 1 is the brightest that the picture can hold
        and colours beyond sRGB have values below 0
    clipped : [h, w] where the camera took in more light than the picture can hold
    exposure : as the camera says, or None
    taken_px : width and height before it was made smaller
    digest : of the file's bytes, equal for equal files
    """

    file: Path
    light: Floats
    clipped: Bools
    exposure: Exposure | None
    taken_px: tuple[int, int]
    digest: str


def read_photograph(file: Path, framing: Framing = Framing()) -> Photograph:
    """The photograph in `file`, at most 1600 x 1200 pixels (1200 x 1600 if it stands upright).

    Raises ReadError for a file that is no whole picture, and InputError for one that cannot be
    used; both name it.
    """
    data = _bytes_of(file)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            stored = Image.open(io.BytesIO(data))
            _check(stored, file)
            exposure = _exposure(stored)
            to_light = _Profile(stored.info.get("icc_profile"), file)
            stored.load()
            image = ImageOps.exif_transpose(stored)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise _too_many_pixels(file) from error
    except UnidentifiedImageError as error:
        raise ReadError("is not a picture that can be read", file).allowing(
            FORMATS, remedy=SAVE_ANEW
        ) from error
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, TypeError) as error:
        raise ReadError(
            f"is a damaged picture: {error}", file, remedy="copy it from the camera again"
        ) from error
    bands = [
        _framed(np.asarray(band), framing) for band in to_light.flat(image.convert("RGB")).split()
    ]
    rows, columns = bands[0].shape
    if min(rows, columns) < LEAST_PX:
        raise InputError("is too small", file, given=f"{columns} x {rows} pixels").allowing(
            f"{LEAST_PX} x {LEAST_PX} pixels or more", remedy="take a larger part of it"
        )
    size = _smaller(columns, rows)
    brightest = np.maximum(np.maximum(bands[0], bands[1]), bands[2])
    clipped = _scaled((brightest >= CLIPPED_CODE).view(np.uint8) * np.uint8(255), size) > 0
    light = np.stack([_scaled(to_light.curve.take(band), size) for band in bands])
    if to_light.matrix is not None:
        light = np.einsum("ij,jhw->ihw", to_light.matrix, light)
    digest = sha256(data).hexdigest()
    return Photograph(file, light, clipped, exposure, (columns, rows), digest)


def _bytes_of(file: Path) -> bytes:
    try:
        if file.is_file() and file.stat().st_size > MOST_BYTES:
            raise InputError(
                "is too large for a photograph", file, given=f"{file.stat().st_size} bytes"
            ).allowing(f"{MOST_BYTES // 1_000_000} MB", remedy=SAVE_ANEW)
        return file.read_bytes()
    except FileNotFoundError as error:
        raise ReadError("there is no such file", file, remedy="check the path") from error
    except OSError as error:
        raise ReadError(
            f"cannot be read ({error.strerror})", file, remedy="check the path and its permissions"
        ) from error


def _too_many_pixels(file: Path, given: str | None = None) -> InputError:
    return InputError("has too many pixels", file, given=given).allowing(
        f"{MOST_PIXELS // 1_000_000} megapixels",
        remedy="have the camera take smaller ones, or save it smaller",
    )


def _check(image: Image.Image, file: Path) -> None:
    """Refuse what its head says of a picture, before any of it is unpacked."""
    width, height = image.size
    if width * height > MOST_PIXELS:
        raise _too_many_pixels(file, f"{width} x {height} pixels")
    # A phone's JPEG may carry a second picture of its own (MPO); the first is the photograph.
    pictures = getattr(image, "n_frames", 1)
    if pictures > 1 and image.format != "MPO":
        raise InputError(
            "moves, or has several pictures in it", file, given=f"{pictures} pictures"
        ).allowing("one still picture", remedy="save the picture you mean alone")
    problem = OTHER_MODES.get(image.mode)
    if problem is None and image.mode not in MODES:
        problem = "has more than 8 bits a colour"
    if problem:
        raise InputError(problem, file, given=image.mode).allowing(FORMATS, remedy=SAVE_ANEW)


def _exposure(image: Image.Image) -> Exposure | None:
    """Exposure time, sensitivity and aperture by EXIF; None without the first two."""
    tags = image.getexif().get_ifd(EXIF_IFD)
    seconds, iso, f_number = (_number(tags.get(tag)) for tag in (EXPOSURE_TIME, ISO, F_NUMBER))
    return None if seconds is None or iso is None else Exposure(seconds, iso, f_number)


def _number(tag: Any) -> float | None:
    """A positive number of an EXIF tag, which may hold several, or none, or nonsense."""
    try:
        number = float(tag[0] if isinstance(tag, tuple) else tag)
    except (TypeError, ValueError, ZeroDivisionError, IndexError):
        return None
    return number if isfinite(number) and number > 0 else None


class _Profile:
    """How the codes of a picture become linear sRGB.

    curve : linear light [256] of a code
    matrix : [3, 3] from the light of the picture's primaries to that of sRGB; None for sRGB

    A profile with the curve of sRGB and primaries of its own, such as Display P3, is undone
    exactly and keeps colours that sRGB has not. Any other goes through Pillow's ImageCms to 8-bit
    sRGB first, by `flat`.
    """

    curve = srgb_decode(np.arange(256) / 255).astype(np.float32)

    def __init__(self, icc: bytes | None, file: Path) -> None:
        self.matrix: Floats | None = None
        self._convert: ImageCms.ImageCmsTransform | None = None
        if not icc:
            return
        srgb = ImageCms.createProfile("sRGB")
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(icc))
            if own.profile.xcolor_space.strip() != "RGB":
                return  # greys: their curve is taken for that of sRGB
            convert = ImageCms.buildTransform(own, srgb, "RGB", "RGB")
        except (ImageCms.PyCMSError, OSError) as error:
            raise ReadError(
                "has a colour profile that cannot be read", file, remedy=SAVE_ANEW
            ) from error
        primaries = _primaries(own.profile)
        standard = _primaries(ImageCms.ImageCmsProfile(srgb).profile)
        if primaries is not None and standard is not None and _keeps_greys(convert):
            matrix = np.linalg.inv(standard) @ primaries
            is_srgb = np.abs(matrix - np.eye(3)).max() < 0.005  # two ways of rounding the same
            self.matrix = None if is_srgb else matrix.astype(np.float32)
        else:
            self._convert = convert

    def flat(self, image: Image.Image) -> Image.Image:
        """`image` with codes that `curve` is true of."""
        if self._convert is None:
            return image
        converted = ImageCms.applyTransform(image, self._convert)
        assert converted is not None  # it is not done in place
        return converted


def _primaries(profile: Any) -> NDArray[np.float64] | None:
    """XYZ [3, 3] of a profile's red, green and blue, a column each; None if it has none."""
    colours = (profile.red_colorant, profile.green_colorant, profile.blue_colorant)
    if any(colour is None for colour in colours):
        return None
    columns = np.array([colour[0] for colour in colours]).T
    return columns if abs(np.linalg.det(columns)) > 1e-3 else None


def _keeps_greys(convert: ImageCms.ImageCmsTransform) -> bool:
    """Whether every grey keeps its code on the way to sRGB, as with one curve it must."""
    ramp = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    there = ImageCms.applyTransform(Image.fromarray(ramp), convert)
    return bool(np.abs(np.asarray(there).astype(int) - ramp).max() <= 1)


def _framed(codes: Bytes, framing: Framing) -> Bytes:
    """The part of a plane [h, w] that is asked for, turned."""
    turned = np.rot90(codes, -(framing.turn // 90))
    rows, columns = turned.shape[:2]
    left, top, right, bottom = framing.crop
    part = np.s_[
        round(top * rows) : round(bottom * rows), round(left * columns) : round(right * columns)
    ]
    return np.ascontiguousarray(turned[part])


def _smaller(width: int, height: int) -> tuple[int, int]:
    """The size at which a picture is within the most pixels, no larger than it was."""
    long, short = max(width, height), min(width, height)
    by = min(1.0, MOST_WIDE_PX / long, MOST_HIGH_PX / short)
    return max(1, round(width * by)), max(1, round(height * by))


def _scaled(plane: NDArray[Any], size: tuple[int, int]) -> NDArray[Any]:
    """A plane [h, w] in another size, each pixel the mean of what it covers."""
    if plane.shape == size[::-1]:
        return plane
    small = Image.fromarray(plane).resize(size, Image.Resampling.BOX)
    return np.asarray(small)
