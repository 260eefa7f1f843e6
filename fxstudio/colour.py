"""Colour of light: CIE 1931 colorimetry, sRGB and lightness, on numpy arrays.

Inside the project light is linear: 0..1 relative to the brightest white of the screen.
Only a finished picture is encoded as sRGB.
"""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

XYZ_TO_RGB = np.array(
    [
        [3.2406, -1.5372, -0.4986],
        [-0.9689, 1.8758, 0.0415],
        [0.0557, -0.2040, 1.0570],
    ]
)
"""CIE XYZ to linear sRGB, white D65. Source: IEC 61966-2-1:1999, four-digit matrix."""

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""Relative luminance of the sRGB primaries. Source: IEC 61966-2-1:1999, rounded row Y."""

SECOND_RADIATION_CONSTANT_M_K = 1.4388e-2
"""c2 in Planck's law, m K. Source: ITS-90 value, as used with CIE 015."""

SHORTEST_NM, LONGEST_NM = 380, 780
COOLEST_K, HOTTEST_K = 1000, 12000


@lru_cache(maxsize=1)
def observer() -> tuple[NDArray[np.floating], NDArray[np.floating]]:
    """The CIE 1931 2 degree observer: wavelengths [81] in nm, functions [81, 3].

    Source: CIE 018:2019 in steps of 5 nm; the data file names where it was taken from.
    """
    text = files("fxstudio").joinpath("data/cie1931_2deg_5nm.csv").read_text("utf-8")
    table = np.loadtxt(text.splitlines(), delimiter=",", comments="#")
    return table[:, 0], table[:, 1:]


def wavelength_to_xyz(wavelength_nm: ArrayLike) -> NDArray[np.floating]:
    """XYZ [..., 3] of one wavelength each, in nm, linear between the 5 nm rows.

    Raises ValueError outside 380..780 nm. Source: CIE 018:2019.
    """
    nm = np.asarray(wavelength_nm, dtype=float)
    if np.any((nm < SHORTEST_NM) | (nm > LONGEST_NM)):
        raise ValueError(f"wavelength outside {SHORTEST_NM}..{LONGEST_NM} nm")
    table_nm, functions = observer()
    return np.stack([np.interp(nm, table_nm, column) for column in functions.T], axis=-1)


def temperature_to_xyz(temperature_k: ArrayLike) -> NDArray[np.floating]:
    """XYZ [..., 3] of a black body in K, scaled to Y = 1.

    Source: Planck's law over the CIE 1931 observer, 380..780 nm in steps of 5 nm.
    """
    kelvin = np.asarray(temperature_k, dtype=float)[..., None]
    table_nm, functions = observer()
    metres = table_nm * 1e-9
    radiance = metres**-5 / np.expm1(SECOND_RADIATION_CONSTANT_M_K / (metres * kelvin))
    xyz = radiance @ functions
    answer: NDArray[np.floating] = xyz / xyz[..., 1:2]
    return answer


def xyz_to_rgb(xyz: ArrayLike) -> NDArray[np.floating]:
    """Linear sRGB [..., 3] of XYZ, not clipped. Source: IEC 61966-2-1."""
    answer: NDArray[np.floating] = np.asarray(xyz, dtype=float) @ XYZ_TO_RGB.T
    return answer


def lamp_rgb(xyz: ArrayLike) -> NDArray[np.floating]:
    """Linear sRGB [..., 3] of a lamp: the screen's nearest colour at its full strength.

    Light outside the screen's gamut is clipped at zero; then the largest channel is 1.
    """
    rgb = np.clip(xyz_to_rgb(xyz), 0.0, None)
    answer: NDArray[np.floating] = rgb / rgb.max(axis=-1, keepdims=True)
    return answer


def srgb_encode(linear: ArrayLike) -> NDArray[np.floating]:
    """sRGB signal 0..1 of linear light 0..1. Source: IEC 61966-2-1."""
    light = np.clip(np.asarray(linear, dtype=float), 0.0, 1.0)
    answer: NDArray[np.floating] = np.where(
        light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055
    )
    return answer


def srgb_decode(signal: ArrayLike) -> NDArray[np.floating]:
    """Linear light 0..1 of an sRGB signal 0..1. Source: IEC 61966-2-1, knee 0.04045."""
    value = np.asarray(signal, dtype=float)
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def srgb8(linear: ArrayLike) -> NDArray[np.uint8]:
    """8-bit sRGB of linear light, rounded to nearest."""
    codes: NDArray[np.uint8] = np.rint(255 * srgb_encode(linear)).astype(np.uint8)
    return codes


HEX_COLOUR = "^#[0-9A-Fa-f]{6}$"
"""The regular expression of a screen colour, as Python and JSON Schema both read it."""


def hex_to_rgb(text: str) -> NDArray[np.floating]:
    """Linear sRGB [3] of `#rrggbb`; raises ValueError for anything else."""
    if not re.fullmatch(HEX_COLOUR, text):
        raise ValueError("a colour is written #rrggbb")
    return srgb_decode(np.array(list(bytes.fromhex(text[1:]))) / 255)


def rgb_to_hex(linear: ArrayLike) -> str:
    """`#rrggbb` of one linear sRGB colour [3]."""
    return "#" + bytes(srgb8(linear)).hex()


def luminance(linear: ArrayLike) -> NDArray[np.floating]:
    """Relative luminance Y 0..1 of linear sRGB [..., 3]. Source: IEC 61966-2-1."""
    answer: NDArray[np.floating] = np.asarray(linear, dtype=float) @ LUMINANCE
    return answer


def lightness(relative_luminance: ArrayLike) -> NDArray[np.floating]:
    """CIE 1976 lightness L* 0..100 of relative luminance 0..1. Source: CIE 015."""
    y = np.asarray(relative_luminance, dtype=float)
    return np.where(y > 216 / 24389, 116 * np.cbrt(y) - 16, y * 24389 / 27)
