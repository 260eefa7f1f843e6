"""Colour against CIE and IEC values; the truth files name their sources."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from sources import truth

from fxstudio import colour

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as reference  # colour-science, a general-purpose library


def chromaticity(xyz: np.ndarray) -> np.ndarray:
    """xy of tristimulus values [..., 3]. Source: CIE 015."""
    return xyz[..., :2] / xyz.sum(axis=-1, keepdims=True)


@pytest.mark.parametrize("row", truth("cie_1931_xy.csv"), ids=lambda r: f"{r['kind']}={r['value']}")
def test_chromaticity_of_light(row):
    to_xyz = getattr(colour, f"{row['kind'].rsplit('_', 1)[0]}_to_xyz")
    xy = chromaticity(to_xyz(float(row["value"])))
    # The project integrates in steps of 5 nm, the truth in steps of 1 nm.
    np.testing.assert_allclose(xy, [float(row["x"]), float(row["y"])], atol=5e-5)


def test_illuminant_a_from_a_black_body():
    # CIE 015 prints (0.44758, 0.40745) for illuminant A, as carried by colour-science.
    printed = reference.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["A"]
    a = colour.temperature_to_xyz(2848 * 1.4388 / 1.435)
    np.testing.assert_allclose(chromaticity(a), printed, atol=5e-5)


@pytest.mark.parametrize("row", truth("srgb.csv"), ids=lambda r: r["linear"])
def test_srgb_transfer(row):
    assert colour.srgb8(float(row["linear"])) == int(row["code"])


def test_srgb_matches_the_reference_library():
    light = np.linspace(0, 1, 1001)
    np.testing.assert_allclose(
        colour.srgb_encode(light), reference.cctf_encoding(light), atol=1e-12
    )
    codes = np.arange(256) / 255
    np.testing.assert_allclose(
        colour.srgb_decode(codes), reference.cctf_decoding(codes), atol=1e-12
    )
    assert (colour.srgb8(colour.srgb_decode(codes)) == np.arange(256)).all()


def test_srgb_matrix():
    # IEC 61966-2-1 four-digit matrix, and its white D65 (0.3127, 0.3290).
    np.testing.assert_allclose(
        colour.XYZ_TO_RGB, reference.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB, atol=5e-4
    )
    white = np.array([0.3127, 0.3290, 1 - 0.3127 - 0.3290]) / 0.3290
    np.testing.assert_allclose(colour.xyz_to_rgb(white), [1, 1, 1], atol=2e-3)


@pytest.mark.parametrize("row", truth("lightness.csv"), ids=lambda r: r["luminance"])
def test_lightness(row):
    y = float(row["luminance"])
    assert colour.lightness(y) == pytest.approx(float(row["lightness"]), abs=1e-4)
    assert colour.lightness(y) == pytest.approx(reference.lightness(100 * y), abs=1e-4)


def test_lamps_redden_as_they_cool():
    kelvin = np.array([1000, 1200, 1500, 1850, 2000, 2700])
    rgb = colour.lamp_rgb(colour.temperature_to_xyz(kelvin))
    assert (rgb[:, 0] == 1).all()
    assert (np.diff(rgb[:, 1]) > 0).all()
    # Computed with the CIE 1 nm functions of colour-science 0.4.7, clipped and max-normalised.
    np.testing.assert_allclose(
        colour.srgb8(rgb)[[0, 2, 3, 5]],
        [[255, 23, 0], [255, 102, 0], [255, 129, 0], [255, 173, 89]],
        atol=1,
    )


def test_hex_round_trip_and_errors():
    assert colour.rgb_to_hex(colour.hex_to_rgb("#ff8000")) == "#ff8000"
    for wrong in ("ff8000", "#ff80", "#gg0000", "#ff80000"):
        with pytest.raises(ValueError, match=r"#rrggbb|hexadecimal"):
            colour.hex_to_rgb(wrong)
    with pytest.raises(ValueError, match=r"380\.\.780 nm"):
        colour.wavelength_to_xyz(379)
